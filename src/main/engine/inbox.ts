/** The queue of files: offered, read into staging, previewed, taken in or dropped. */
import { randomUUID } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Progress } from '#core/contract/events.ts';
import type { InboxModel, IntakeOutcome, IntakePreview, RejectedPage } from '#core/contract/models/intake-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import type { DumpReading, RejectedRow } from '#core/intake/dump-reading.ts';
import { type Recipe, recipeSchema } from '#core/intake/recipe.ts';
import { rejectCodes } from '#core/intake/vocabulary.ts';
import { whatIsOpen } from '#core/intake/what-is-open.ts';
import { said } from '#core/text/said.ts';
import { civilNow } from '../civil-now.ts';
import type { ReaderProgress, ReaderValues, ReadJob } from '../reader/reader-jobs.ts';
import type { ReaderThread } from '../reader/reader-thread.ts';
import { readRowFile } from '../reader/row-file.ts';
import { stagedRejects } from '../reader/staged-file.ts';
import {
  clearStaged,
  dropOldUploads,
  type FixedNames,
  inboxFolder,
  isAlive,
  listTickets,
  type Owner,
  readStaged,
  removeTicket,
  type StagedReading,
  stagedFiles,
  type TicketState,
  ticketFolder,
  uploadFolder,
  writeState,
} from '../reader/staging.ts';
import { storeProblem } from '../store/sqlite/sqlite-problem.ts';
import type { Store, StoreOp } from '../store/store.ts';
import { type FileSight, fileSight } from './file-plant.ts';
import {
  importedSource,
  intakeOutcome,
  intakePreview,
  openQuestions,
  rejectedLine,
  type TicketFacts,
} from './intake-answers.ts';
import { knownNames } from './known-names.ts';
import { lineText } from './line-text.ts';
import type { RegisterState } from './register-state.ts';
import { shownBy } from './shown-by.ts';
import { SightFollower } from './sight-follower.ts';
import { freshTicket, openHypotheses, overlapAnswer, queueItem, type Ticket } from './ticket.ts';

interface Context {
  readonly onProgress?: ((progress: Progress) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

export interface InboxHost {
  readonly store: Store;
  readonly reader: ReaderThread;
  readonly storePath: string;
  readonly owner: Owner;
  /** Folder whose new dumps come in by themselves; null: none. */
  readonly watched: string | null;
  clock(): number;
  who(): Promise<string>;
  /** The register, without waiting for the readings. */
  register(): Promise<RegisterState>;
  /** After every commit of the inbox. */
  committed(change: number): void;
  /** After every change of the queue. */
  changed(): void;
}

const tellEveryMs = 100;

/** Rejected lines that an outcome lists at most; the rest is counted and can be paged through. */
const listedRejects = 100_000;

export class Inbox {
  readonly #host: InboxHost;
  readonly #tickets = new Map<string, Ticket>();
  #telling: NodeJS.Timeout | null = null;
  #toTell = false;
  #shown: { readonly change: number; readonly counts: ReturnType<typeof shownBy> } | null = null;

  constructor(host: InboxHost) {
    this.#host = host;
    try {
      mkdirSync(uploadFolder(host.storePath), { recursive: true });
    } catch {
      // A folder that cannot be written: readings can still be looked at, and taking in says why it cannot be done.
    }
    this.#adopt();
    dropOldUploads(host.storePath, host.clock());
  }

  /** Hands in a file; nothing of it is read yet. */
  async offer(path: string, name: string, ours: boolean): Promise<string> {
    let bytes: number;
    try {
      const facts = await stat(path);
      if (facts.isDirectory()) throw new ProblemError('refused-input', said('store.not-a-file', { name }));
      // Reading a pipe nobody writes to would wait for ever.
      if (!facts.isFile()) throw new ProblemError('refused-input', said('store.not-a-plain-file', { name }));
      bytes = facts.size;
    } catch (error) {
      throw fileProblem(error, path, name);
    }
    const state: TicketState = {
      ticket: randomUUID(),
      name,
      path,
      ours,
      bytes,
      offeredMs: this.#host.clock(),
      phase: 'waiting',
      answers: {},
      set: {},
      useRecipe: true,
      owner: this.#host.owner,
    };
    try {
      writeState(this.#host.storePath, state);
    } catch (error) {
      throw storeProblem(error, inboxFolder(this.#host.storePath));
    }
    this.#tickets.set(state.ticket, freshTicket(state));
    this.#changed();
    return state.ticket;
  }

  async list(): Promise<InboxModel> {
    const { lastChange } = await this.#host.store.summary();
    const [sources, recipes] = await Promise.all([this.#host.store.sources(), this.#host.store.recipes()]);
    // The list is asked for after every event; a million sightings need not be counted again each time.
    if (this.#shown?.change !== lastChange) {
      this.#shown = { change: lastChange, counts: shownBy(sources, await this.#host.store.sightings()) };
    }
    const shown = this.#shown.counts;
    return {
      queue: [...this.#tickets.values()].reverse().map((ticket) => queueItem(ticket, this.#facts(ticket))),
      imported: sources
        .map((source) => {
          const counts = shown.get(source.id);
          return importedSource(source, counts?.onlyHere ?? 0, counts?.elsewhere ?? 0);
        })
        .reverse(),
      recipes: recipes.map((recipe) => {
        const parsed = recipeSchema.safeParse(recipe.body);
        const body = parsed.success ? parsed.data : null;
        return {
          fingerprint: recipe.fingerprint,
          name: recipe.name,
          savedMs: recipe.savedMs,
          usedFiles: sources.filter((source) => source.facts.recipe === recipe.fingerprint).length,
          said: said('store.recipe.summary', {
            columns: body?.layout.columns ?? 0,
            unit: body?.unit ?? null,
            order: body?.dateOrder ?? null,
            mark: body?.decimalMark ?? null,
          }),
        };
      }),
      watched: this.#host.watched,
    };
  }

  /** Reads a ticket's file, or reads it again with answers. */
  async read(
    name: string,
    wish: { readonly answers: Readonly<Record<string, string>>; readonly set: FixedNames; readonly useRecipe: boolean },
    context: Context,
  ): Promise<IntakePreview> {
    const ticket = this.#ticket(name);
    if (ticket.running) await ticket.running.catch(() => undefined);
    ticket.state = { ...ticket.state, ...wish };
    await this.#read(ticket, context);
    return intakePreview(this.#facts(ticket));
  }

  /** What is known of a ticket so far; looked at anew where the register or the readings held have changed since. */
  async preview(name: string): Promise<IntakePreview> {
    const ticket = this.#ticket(name);
    const { staged } = ticket;
    await this.#lookAgain(ticket).catch((error: unknown) => {
      // What was seen before is better than nothing. Taken in, dropped or read again meanwhile, the rows are no more.
      const isThere = this.#tickets.has(name) && ticket.staged === staged && !ticket.takingIn;
      if (isThere && storeProblem(error, this.#host.storePath).problem.kind === 'fault') throw error;
    });
    return intakePreview(this.#facts(ticket));
  }

  /** A file that waits is shown as the register of now judges it: limits may have come since it was read. */
  async #lookAgain(ticket: Ticket): Promise<void> {
    const { staged } = ticket;
    if (!staged || staged.reading.problem !== null || ticket.running || ticket.takingIn || ticket.same) return;
    if (ticket.looking) return ticket.looking;
    const { lastChange } = await this.#host.store.summary();
    if (ticket.seenWith?.change === lastChange) return;
    const state = await this.#host.register();
    const register = JSON.stringify(state.register);
    const isJudged = ticket.seenWith?.register === register;
    if (ticket.running || ticket.takingIn || ticket.looking || ticket.staged !== staged)
      return ticket.looking ?? undefined;
    const work = this.#look(ticket, staged, state, isJudged ? 'held' : 'all', {}).finally(() => {
      ticket.looking = null;
    });
    ticket.looking = work;
    await work;
    if (ticket.staged === staged) ticket.seenWith = { register, change: lastChange };
  }

  /** Judges the rows of a read file, and counts which of them are held; with open questions only what is certain. */
  async #look(
    ticket: Ticket,
    staged: StagedReading,
    register: RegisterState,
    what: 'all' | 'held',
    options: { readonly signal?: AbortSignal | undefined; readonly follower?: SightFollower | undefined },
  ): Promise<void> {
    const { reading } = staged;
    const { reader, storePath } = this.#host;
    const { signal } = options;
    const open = whatIsOpen(reading);
    const judge = async (): Promise<FileSight> => {
      const seen = open === null ? await options.follower?.done(staged.rows) : null;
      const rows = readRowFile(join(ticketFolder(storePath, ticket.state.ticket), stagedFiles.rows));
      const whole = { count: staged.rows, names: staged.names, newestFirst: reading.newestFirst, rows, open };
      return seen ?? fileSight(whole, register, signal);
    };
    const [sight, held] = await Promise.all([
      what === 'all' ? judge() : null,
      // Which rows are held cannot be told before they are read for good.
      open === null
        ? reader.ask({ kind: 'probe', ticket: ticket.state.ticket, overlap: overlapAnswer(ticket) }, { signal })
        : null,
    ]);
    // Meanwhile it may have been read again.
    if (ticket.staged !== staged) return;
    if (sight) {
      ticket.wouldAdd = staged.rows === 0 ? null : sight.wouldAdd;
      ticket.notices = sight.notices;
    }
    ticket.held = held;
  }

  /** Takes files in, one after another; each stands alone. */
  async accept(
    names: readonly string[],
    options: { readonly saveRecipe: boolean; readonly dryRun: boolean },
    context: Context,
  ): Promise<IntakeOutcome[]> {
    const outcomes: IntakeOutcome[] = [];
    for (const name of names) {
      const ticket = this.#ticket(name);
      try {
        if (ticket.running) await ticket.running.catch(() => undefined);
        if (ticket.staged === null && ticket.same === null && ticket.problem === null)
          await this.#read(ticket, context);
        else await this.#readAgainIfSettled(ticket, context);
        outcomes.push(await this.#accept(ticket, options, context));
      } catch (error) {
        const problem = storeProblem(error, this.#host.storePath);
        // One file alone: the caller is told. Of several each stands alone: the others' outcomes must not be lost.
        if (names.length === 1 && ticket.problem === null) throw problem;
        outcomes.push(
          intakeOutcome(
            { ...this.#facts(ticket), problem: problem.problem },
            { source: null, dryRun: options.dryRun, rejected: [] },
          ),
        );
      }
    }
    return outcomes;
  }

  /** A file taken in since may settle what this one leaves open (of the same layout and tool, or the same readings). */
  async #readAgainIfSettled(ticket: Ticket, context: Context): Promise<void> {
    if (!ticket.staged || openHypotheses(ticket.staged.reading) === null) return;
    if ((await this.#host.store.sources()).length > ticket.readAtSources) await this.#read(ticket, context);
  }

  drop(names: readonly string[]): void {
    for (const name of names) {
      const ticket = this.#tickets.get(name);
      if (!ticket) continue;
      this.#tickets.delete(name);
      removeTicket(this.#host.storePath, ticket.state);
    }
    this.#changed();
  }

  async rejected(request: {
    readonly ticket: string | null;
    readonly source: number | null;
    readonly offset: number;
    readonly limit: number;
  }): Promise<RejectedPage> {
    if (request.ticket !== null) {
      const reading = this.#ticket(request.ticket).staged?.reading;
      const { storePath } = this.#host;
      const rows = reading ? await stagedRejects(storePath, request.ticket, request.offset, request.limit) : [];
      return {
        rejected: rows.map(rejectedLine),
        total: reading?.rejected ?? 0,
        byReason: reading?.rejectedByReason ?? [],
      };
    }
    const source = request.source ?? 0;
    const { store } = this.#host;
    const { rows, total } = await store.rejected(source, request.offset, request.limit);
    const byReason = await store.rejectedCounts(source);
    const rejected: RejectedRow[] = [];
    for (const row of rows) {
      const code = rejectCodes.find((one) => one === row.code);
      if (code === undefined) continue;
      const bytes = await store.rawLines(source, row.line, row.lines);
      rejected.push({ ...row, code, span: null, text: bytes ? lineText(bytes) : '' });
    }
    return {
      rejected: rejected.map(rejectedLine),
      total,
      byReason: byReason.flatMap((row) => {
        const reason = rejectCodes.find((one) => one === row.code);
        return reason === undefined ? [] : [{ reason, said: said('intake.reason', { reason }), count: row.count }];
      }),
    };
  }

  async #accept(
    ticket: Ticket,
    options: { readonly saveRecipe: boolean; readonly dryRun: boolean },
    context: Context,
  ): Promise<IntakeOutcome> {
    const { store, reader } = this.#host;
    if (ticket.staged && ticket.same === null) {
      // Taken in since it was read: by another window, or by this one just before it was killed.
      const { sha256 } = ticket.staged;
      ticket.same = (await store.sources()).find((source) => source.sha256 === sha256) ?? null;
    }
    const facts = this.#facts(ticket);
    const refused = facts.problem !== null || facts.reading?.problem != null;
    const reading = ticket.staged?.reading ?? null;
    const rejected =
      reading && reading.rejected > 0
        ? await stagedRejects(this.#host.storePath, ticket.state.ticket, 0, listedRejects)
        : [];
    const nothing = { source: null, dryRun: options.dryRun, rejected };
    if (refused || openQuestions(facts).length > 0) return intakeOutcome(facts, nothing);
    if (options.dryRun) return intakeOutcome(facts, nothing);
    if (ticket.same) {
      // A person who hands a withdrawn file in again wants it back.
      if (ticket.same.withdrawn) {
        const done = await store.commit({
          kind: 'restore',
          subject: ticket.same.name,
          why: null,
          who: await this.#host.who(),
          nowMs: this.#host.clock(),
          ops: [{ t: 'source', id: ticket.same.id, withdrawn: false }],
        });
        this.#host.committed(done.change);
      }
      this.#remove(ticket);
      return intakeOutcome(facts, { source: ticket.same.id, dryRun: false, rejected });
    }
    ticket.takingIn = true;
    this.#changed();
    try {
      const taken = await reader.ask(
        {
          kind: 'take-in',
          ticket: ticket.state.ticket,
          name: ticket.state.name,
          who: await this.#host.who(),
          nowMs: this.#host.clock(),
          overlap: overlapAnswer(ticket),
          answers: ticket.state.answers,
          notices: facts.notices.map((notice) => ({
            key: notice.kind,
            args: JSON.stringify({ said: notice.said, count: notice.count }),
            lines: JSON.stringify(notice.lines),
          })),
        },
        {
          signal: context.signal,
          onProgress: (progress) =>
            context.onProgress?.({
              phase: progress.phase,
              done: progress.done,
              total: progress.total,
              unit: 'readings',
            }),
        },
      );
      ticket.held = taken;
      this.#host.committed(taken.change);
      const done = intakeOutcome(this.#facts(ticket), { source: taken.source, dryRun: false, rejected });
      if (options.saveRecipe && reading?.recipe) await this.#saveRecipe(reading.recipe);
      this.#remove(ticket);
      return done;
    } finally {
      ticket.takingIn = false;
    }
  }

  async #saveRecipe(recipe: Recipe): Promise<void> {
    const op: StoreOp = {
      t: 'recipe',
      fingerprint: recipe.fingerprint,
      // Plain JSON by its schema.
      row: { name: recipe.name, body: JSON.parse(JSON.stringify(recipe)) },
    };
    await this.#host.store.commit({
      kind: 'recipe',
      subject: recipe.name,
      why: null,
      who: await this.#host.who(),
      nowMs: this.#host.clock(),
      ops: [op],
    });
  }

  #remove(ticket: Ticket): void {
    this.#tickets.delete(ticket.state.ticket);
    removeTicket(this.#host.storePath, ticket.state);
    this.#changed();
  }

  #read(ticket: Ticket, context: Context): Promise<void> {
    const work = this.#readNow(ticket, context).finally(() => {
      ticket.running = null;
      ticket.progress = null;
      this.#changed();
    });
    ticket.running = work;
    // Whoever waits on `running` hears of the failure; nobody may be waiting.
    work.catch(() => undefined);
    return work;
  }

  async #readNow(ticket: Ticket, context: Context): Promise<void> {
    const { store, reader, storePath } = this.#host;
    Object.assign(ticket, {
      staged: null,
      held: null,
      same: null,
      problem: null,
      wouldAdd: null,
      notices: [],
      seenWith: null,
      firstLines: null,
      progress: { done: 0, total: ticket.state.bytes, lines: 0 },
    } satisfies Partial<Ticket>);
    this.#setPhase(ticket, 'reading');
    this.#changed();
    try {
      const { lastChange } = await store.summary();
      const [register, recipes, sources] = await Promise.all([this.#host.register(), store.recipes(), store.sources()]);
      const size = (await stat(ticket.state.path)).size;
      ticket.state = { ...ticket.state, bytes: size };
      const job = {
        kind: 'read' as const,
        ticket: ticket.state.ticket,
        path: ticket.state.path,
        name: ticket.state.name,
        answers: ticket.state.answers,
        set: ticket.state.set,
        recipes: ticket.state.useRecipe
          ? recipes.flatMap((recipe) => {
              const parsed = recipeSchema.safeParse(recipe.body);
              return parsed.success ? [parsed.data] : [];
            })
          : [],
        known: knownNames(register),
        now: civilNow(this.#host.clock()),
        held: null,
        heldSha256: sources.filter((source) => source.bytes === size).map((source) => source.sha256),
      };
      const options = {
        signal: context.signal,
        onFirstLines: (reading: DumpReading) => {
          ticket.firstLines = reading;
        },
        onProgress: (progress: ReaderProgress) => {
          ticket.progress = { done: progress.done, total: progress.total ?? size, lines: progress.lines };
          context.onProgress?.({ phase: 'reading', done: progress.done, total: progress.total, unit: 'bytes' });
        },
      };
      const rowFile = join(ticketFolder(storePath, ticket.state.ticket), stagedFiles.rows);
      // Two threads: this one judges the rows by the register while the reader reads on.
      const follow = (): SightFollower => new SightFollower(rowFile, register, context.signal);
      let follower = follow();
      const readAgain = (again: ReadJob): Promise<ReaderValues['read']> =>
        reader.ask(again, { ...options, onBlock: (block) => follower.saw(block) });
      let read = await readAgain(job);
      const open = read.staged ? openHypotheses(read.staged.reading) : null;
      if (open && sources.length > 0) {
        // What the file leaves open may be settled by what is held: then it is read once more, and nobody is asked.
        const held = await reader.ask(
          { kind: 'evidence', ticket: ticket.state.ticket, open },
          { signal: context.signal },
        );
        if (held) {
          follower = follow();
          read = await readAgain({ ...job, held, heldSha256: [] });
        }
      }
      ticket.readAtSources = sources.length;
      if (read.same !== null) {
        ticket.same = sources.find((source) => source.sha256 === read.same) ?? null;
        this.#setPhase(ticket, 'read');
        return;
      }
      const staged = read.staged;
      if (!staged) return;
      ticket.staged = staged;
      const { reading } = staged;
      if (reading.problem === null) {
        await this.#look(ticket, staged, register, 'all', { signal: context.signal, follower });
        ticket.seenWith = { register: JSON.stringify(register.register), change: lastChange };
      }
      this.#setPhase(ticket, reading.problem === null ? 'read' : 'failed');
    } catch (error) {
      const problem = fileProblem(error, ticket.state.path, ticket.state.name);
      clearStaged(storePath, ticket.state.ticket);
      ticket.staged = null;
      ticket.held = null;
      if (problem.problem.kind === 'cancelled') this.#setPhase(ticket, 'waiting');
      else {
        ticket.problem = problem.problem;
        this.#setPhase(ticket, 'failed');
      }
      throw problem;
    }
  }

  /** Tells of a change at once, and of a run of them (two hundred files in one drag) ten times a second. */
  #changed(): void {
    if (this.#telling !== null) {
      this.#toTell = true;
      return;
    }
    this.#host.changed();
    this.#telling = setTimeout(() => {
      this.#telling = null;
      if (!this.#toTell) return;
      this.#toTell = false;
      this.#changed();
    }, tellEveryMs);
    // Nobody waits for it: a process that ends need not stay for it.
    this.#telling.unref();
  }

  #setPhase(ticket: Ticket, phase: TicketState['phase']): void {
    ticket.state = { ...ticket.state, phase, owner: this.#host.owner };
    writeState(this.#host.storePath, ticket.state);
  }

  #facts(ticket: Ticket): TicketFacts {
    return {
      ticket: ticket.state.ticket,
      name: ticket.state.name,
      bytes: ticket.state.bytes,
      answers: ticket.state.answers,
      complete: ticket.staged !== null || ticket.same !== null || ticket.problem !== null,
      reading: ticket.staged?.reading ?? ticket.firstLines,
      sha256: ticket.staged?.sha256 || ticket.same?.sha256 || null,
      held: ticket.held,
      same: ticket.same,
      problem: ticket.problem,
      wouldAdd: ticket.wouldAdd,
      notices: ticket.notices,
      alsoIn: (question) =>
        [...this.#tickets.values()]
          .filter(
            (other) =>
              other !== ticket &&
              (other.staged?.reading.questions.some((card) => card.id === question) ||
                (question === 'overlap' && other.held?.overlap != null && overlapAnswer(other) === null)),
          )
          .map((other) => other.state.ticket),
    };
  }

  #ticket(name: string): Ticket {
    const ticket = this.#tickets.get(name);
    if (!ticket) throw new ProblemError('not-found', said('problem.not-found', { what: 'file in the queue', name }));
    return ticket;
  }

  /** Takes over the tickets of processes that are gone, and our own of an earlier life. */
  #adopt(): void {
    for (const state of listTickets(this.#host.storePath)) {
      if (isAlive(state.owner)) continue;
      const ticket = freshTicket(state);
      if (state.phase === 'read') ticket.staged = readStaged(this.#host.storePath, state.ticket);
      else clearStaged(this.#host.storePath, state.ticket);
      ticket.state = { ...state, owner: this.#host.owner };
      try {
        writeState(this.#host.storePath, ticket.state);
      } catch {
        // A folder that cannot be written is of no use: the file can be offered again.
        continue;
      }
      this.#tickets.set(state.ticket, ticket);
    }
  }
}

/** A file error as a problem that names the file as the person knows it. */
function fileProblem(error: unknown, path: string, name: string): ProblemError {
  if (error instanceof Error && 'code' in error && (error.code === 'ENOENT' || error.code === 'ENOTDIR')) {
    return new ProblemError('refused-input', said('store.file-gone', { name }));
  }
  return storeProblem(error, path);
}
