/**
 * The engine: the one thing that answers every call of the contract, on one store.
 *
 * It runs in a thread of its own behind the worker protocol, or in the caller's thread (command line, tests). It holds
 * the readings as columns, does all small writes, and owns the reader thread that reads files.
 */
import { createHash, randomInt, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import {
  type CallName,
  type ChangeRow,
  type Done,
  type Replies,
  type Request,
  type SavedScope,
  scopeSchema,
} from '#core/contract/calls.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import type { IntakePreview } from '#core/contract/models/intake-model.ts';
import type { SavedStudy, StudyModel } from '#core/contract/models/study-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { anonymousPlant, operatorsForPlant } from '#core/readings/anonymous-plant.ts';
import type { Plant } from '#core/readings/plant.ts';
import { madeOnceAPlant } from '#core/review/made-once.ts';
import { said, say } from '#core/text/said.ts';
import { civilNow } from '../civil-now.ts';
import { ReaderThread } from '../reader/reader-thread.ts';
import { type Owner, openEngines, uploadFolder } from '../reader/staging.ts';
import { dailyBackup, dropOldBackups, newestBackup } from '../store/sqlite/backups.ts';
import { storeProblem } from '../store/sqlite/sqlite-problem.ts';
import { openSqliteStore } from '../store/sqlite/sqlite-store.ts';
import type { Command, Committed, Json, Store, StoreOp } from '../store/store.ts';
import { appStatus, type StatusHost } from './app-status.ts';
import type { CallHost, OwnCalls } from './call-host.ts';
import { driftOptions, lotsKey, presentThresholds, thresholdsKey } from './drift-settings.ts';
import { type Asked, analysisCalls, isAnalysisCall, notFound } from './engine-calls.ts';
import { withFormerFingerprints } from './former-fingerprints.ts';
import { heldDays, showsDays, withHeldDays } from './held-days.ts';
import {
  type HiddenNames,
  hiddenNames,
  namedByNumber,
  namedInRegister,
  namesOperators,
  namesPeople,
  numbersOf,
  problemWithout,
  withLots,
  withoutNames,
} from './hidden-names.ts';
import { inSlices } from './in-slices.ts';
import { Inbox } from './inbox.ts';
import { lineText } from './line-text.ts';
import { markCalls } from './mark-calls.ts';
import { PlantKeeper } from './plant-keeper.ts';
import { namesEntries, presentRequest, presentSavedScope, presentStudy } from './present-names.ts';
import { recipeCalls } from './recipe-calls.ts';
import { registerCalls } from './register-calls.ts';
import { type RegisterState, registerState } from './register-state.ts';
import type { RemovalAsked } from './removal.ts';
import { loadScenario, type ScenarioHost } from './sample-scenario.ts';
import { savedCalls, savedStudy } from './saved-calls.ts';
import { sourceCalls } from './source-calls.ts';

export interface OpenOptions {
  /** Path of the store file; it and its folder are made when missing. */
  readonly storePath: string;
  /** Ms since 1970 UTC. */
  readonly clock: () => number;
  readonly programVersion: string;
  /** Folder that holds the sample scenario (`register.json`, `dumps/`). */
  readonly sampleFolder: string;
  /** Who the journal names when the settings do not say. */
  readonly who: string;
  /** Folder whose new dumps a shell hands in by itself, shown on Intake; absent: none. */
  readonly watched?: string | undefined;
  /** How long a write waits for another process before it is `busy`; 30,000 by default. */
  readonly busyWaitMs?: number;
}

export interface ServeContext {
  readonly onProgress?: (progress: Progress) => void;
  /** Aborted: the call ends with the problem `cancelled` (or its value, if it was too late). */
  readonly signal?: AbortSignal;
}

export interface OfferOptions {
  /** True when the file lies in our own inbox (an upload): it may be moved and is deleted with its ticket. */
  readonly ours: boolean;
}

export interface Engine {
  /**
   * Answers a call whose request was parsed already.
   *
   * @throws ProblemError for everything that can go wrong, nothing else
   */
  serve<C extends CallName>(call: C, request: Request<C>, context?: ServeContext): Promise<Replies[C]>;
  /** Told after every commit, own or another process's, and when loading ends; returns the way to stop listening. */
  onEvent(listener: (event: StoreEvent) => void): () => void;
  /** Hands in a file; returns the ticket by which the `inbox:` calls name it. Nothing is read yet. */
  offer(path: string, name: string, options: OfferOptions): Promise<string>;
  /** Folder into which a shell may write uploads before it offers them. */
  readonly uploadFolder: string;
  /** Ends the reader thread, lets the store go. Running calls end with `cancelled`. */
  close(): Promise<void>;
}

/** How often another process's changes are looked for while nobody asks anything. */
const pollEveryMs = 1000;
/** SQLite's own check is not repeated within this time. */
const checkEveryMs = 86_400_000;
/** The daily check waits until the window stands. */
const checkAfterMs = 10_000;

/**
 * Opens a store and starts answering; the columns load in the background, from the first question that needs them on.
 *
 * @throws ProblemError when the store cannot be opened (damaged, no permission, disk full)
 */
export async function openEngine(options: OpenOptions): Promise<Engine> {
  // A log that was not folded back into the store: the last process did not end as it should.
  const endedUncleanly = existsSync(`${options.storePath}-wal`);
  const waitMs = options.busyWaitMs ?? 30_000;
  const store = openSqliteStore({
    path: options.storePath,
    programVersion: options.programVersion,
    clock: options.clock,
    waitMs,
  });
  try {
    return new StoreEngine(store, options, waitMs, endedUncleanly);
  } catch (error) {
    await store.close();
    throw storeProblem(error, options.storePath);
  }
}

class StoreEngine implements Engine {
  readonly #options: OpenOptions;
  readonly #store: Store;
  readonly #keeper: PlantKeeper;
  readonly #reader: ReaderThread;
  readonly #inbox: Inbox;
  readonly #listeners = new Set<(event: StoreEvent) => void>();
  readonly #running = new Set<AbortController>();
  readonly #poll: NodeJS.Timeout;
  readonly #firstCheck: NodeJS.Timeout;
  /** Own changes since opening, oldest first: what U takes back. */
  readonly #own: number[] = [];
  readonly #name = randomUUID();
  readonly #calls: OwnCalls<OwnCall>;
  #loading: Promise<void> | null = null;
  #damaged = false;
  #closed = false;

  constructor(store: Store, options: OpenOptions, waitMs: number, endedUncleanly: boolean) {
    this.#options = options;
    this.#store = store;
    this.#keeper = new PlantKeeper(store);
    this.#reader = new ReaderThread({
      storePath: options.storePath,
      programVersion: options.programVersion,
      waitMs,
    });
    const owner: Owner = { pid: process.pid, engine: this.#name };
    openEngines.add(this.#name);
    this.#inbox = new Inbox({
      store,
      reader: this.#reader,
      storePath: options.storePath,
      owner,
      clock: options.clock,
      watched: options.watched ?? null,
      who: () => this.#who(),
      register: () => this.#registerState(),
      committed: (change) => this.#own.push(change),
      changed: () => this.#tell({ change: this.#keeper.lastChange, touches: ['inbox'] }),
    });
    this.#calls = this.#ownCalls();
    this.#poll = setInterval(() => {
      if (this.#keeper.isLoaded) void this.#lookAround().catch(() => undefined);
    }, pollEveryMs);
    this.#poll.unref();
    if (endedUncleanly) void this.#check(true).catch(() => undefined);
    // Not before the window: a store of a million readings takes a second.
    this.#firstCheck = setTimeout(() => void this.#check(false).catch(() => undefined), checkAfterMs);
    this.#firstCheck.unref();
  }

  get uploadFolder(): string {
    return uploadFolder(this.#options.storePath);
  }

  onEvent(listener: (event: StoreEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  async offer(path: string, name: string, options: OfferOptions): Promise<string> {
    return this.#guarded(() => this.#inbox.offer(path, name, options.ours));
  }

  async serve<C extends CallName>(call: C, request: Request<C>, context: ServeContext = {}): Promise<Replies[C]> {
    const stop = new AbortController();
    const onAbort = (): void => stop.abort(context.signal?.reason);
    if (context.signal?.aborted) onAbort();
    context.signal?.addEventListener('abort', onAbort, { once: true });
    this.#running.add(stop);
    try {
      return await this.#guarded(() => this.#answerPresent(call, request, { ...context, signal: stop.signal }));
    } finally {
      context.signal?.removeEventListener('abort', onAbort);
      this.#running.delete(stop);
    }
  }

  async close(): Promise<void> {
    if (this.#closed) return;
    this.#closed = true;
    openEngines.delete(this.#name);
    clearInterval(this.#poll);
    clearTimeout(this.#firstCheck);
    for (const stop of this.#running) stop.abort();
    this.#keeper.close();
    await this.#reader.close();
    await this.#loading?.catch(() => undefined);
    await this.#warming;
    await this.#store.close();
    this.#listeners.clear();
  }

  async #guarded<T>(work: () => Promise<T>): Promise<T> {
    if (this.#closed) throw new ProblemError('cancelled', said('problem.cancelled', {}));
    try {
      return await work();
    } catch (error) {
      const problem = storeProblem(error, this.#options.storePath);
      if (problem.problem.kind === 'fault' && !(error instanceof ProblemError)) console.error(error);
      // Found damaged by a question: from now on nothing is written into it.
      if (problem.problem.kind === 'store-damaged') this.#damaged = true;
      throw problem;
    }
  }

  /** Answers with names that were entries' once taken for the entries they mean now. */
  async #answerPresent<C extends CallName>(call: C, request: Request<C>, context: ServeContext): Promise<Replies[C]> {
    const asked = namesEntries(call, request) ? presentRequest(await this.#registerState(), call, request) : request;
    const reply = await this.#answer(call, asked, context);
    // The table of calls gives each its own reply type; the compiler cannot follow it through a type variable.
    return call === 'study:read' ? ((await this.#withFormer(reply as StudyModel, context)) as Replies[C]) : reply;
  }

  /** A study with the fingerprints by which saved ones of former names of its joint are compared. */
  async #withFormer(model: StudyModel, context: ServeContext): Promise<StudyModel> {
    const saved = (await this.#savedStudies()).filter((study) => study.savedAs !== undefined);
    if (saved.length === 0) return model;
    const { choices } = await this.#inRegister({ choices: model.choices });
    const steps = withFormerFingerprints(await this.#plant(context), { ...model, choices }, saved);
    const { formerFingerprints } = await inSlices(steps, context);
    return formerFingerprints ? { ...model, formerFingerprints } : model;
  }

  async #answer<C extends CallName>(call: C, request: Request<C>, context: ServeContext): Promise<Replies[C]> {
    const names = namesPeople.has(call) ? null : await this.#hiddenNames();
    if (names === null) return this.#answerNamed(call, request, context, null);
    try {
      const asked = await this.#knownScope(call, request, names);
      const reply = await this.#answerNamed(call, asked, context, names);
      // A file taken in may have brought people along.
      return await withoutNames(call, asked, reply, (await this.#hiddenNames()) ?? names);
    } catch (error) {
      throw problemWithout(error, names);
    }
  }

  /** @param hidden not null: nobody shall be named by an analysis */
  async #answerNamed<C extends CallName>(
    call: C,
    request: Request<C>,
    context: ServeContext,
    hidden: HiddenNames | null,
  ): Promise<Replies[C]> {
    if (isAnalysisCall(call)) {
      const held = await this.#asked(context);
      // The table gives each call's answer its own reply type; the compiler cannot follow it through a type variable.
      const answer = analysisCalls[call] as unknown as (asked: Asked, request: Request<C>) => Promise<Replies[C]>;
      // The register's own pages hold texts that are edited there: only their answers are masked.
      if (hidden === null || call.startsWith('register:'))
        return answer(held, namedInRegister(request, held.plant.register, numbersOf(held.state, held.lots)));
      const numbers = numbersOf(held.state, held.lots);
      const plant = anonymousPlant(held.plant, held.state.writtenOperators, numbers);
      const asked = { ...held, plant, who: hidden.mask.person(held.who), hidden };
      return answer(asked, namedByNumber(request, held.plant.register, numbers));
    }
    const own = this.#calls[call as OwnCall] as unknown as
      | ((request: Request<C>, context: ServeContext) => Promise<Replies[C]>)
      | undefined;
    if (!own) throw notFound('call', call);
    return own(await this.#inRegister(request), context);
  }

  /** The request with badges in place of numbers, where it names operators at all. */
  async #inRegister<T>(request: T): Promise<T> {
    if (!namesOperators(request)) return request;
    const state = await this.#registerState();
    return namedInRegister(request, state.register, numbersOf(state, (await this.#store.settings())[lotsKey]));
  }

  /** What hiding names needs to know; null while they are shown. */
  async #hiddenNames(): Promise<HiddenNames | null> {
    const settings = await this.#store.settings();
    if (!driftOptions(settings).anonymousOperators) return null;
    return hiddenNames(await this.#registerState(), settings[lotsKey], (source) => this.#store.sourceRecipe(source));
  }

  /** A number by lot for everybody who has none: badges in their order would tell who is who. */
  async #drawLots(): Promise<StoreOp> {
    const settings = await this.#store.settings();
    const value = withLots(await this.#registerState(), settings[lotsKey], (n) => randomInt(n));
    return { t: 'setting', key: lotsKey, value };
  }

  async #hidesNames(): Promise<boolean> {
    return driftOptions(await this.#store.settings()).anonymousOperators;
  }

  /** A saved scope asked for by the name under which it was shown. */
  async #knownScope<C extends CallName>(call: C, request: Request<C>, { mask }: HiddenNames): Promise<Request<C>> {
    if ((call !== 'scope:delete' && call !== 'scope:save') || !('name' in request)) return request;
    const held = (await this.#savedScopes()).map((one) => one.name);
    const name = held.includes(request.name) ? request.name : held.find((one) => mask.words(one) === request.name);
    return name === undefined ? request : { ...request, name };
  }

  /** Calls that are about the store, the queue and the journal rather than an analysis. */
  #ownCalls(): OwnCalls<OwnCall> {
    const host = this.#host();
    return {
      'app:status': async () => {
        this.#load();
        return appStatus(this.#statusHost(), this.#keeper.isLoaded ? await this.#plant() : null);
      },
      'app:settings': async (request) => {
        if (request.set) {
          // Parsed as JSON by the contract.
          const wanted = request.set as { readonly [key: string]: Json };
          const ops: StoreOp[] = Object.entries(wanted).map(([key, value]) => ({ t: 'setting', key, value }));
          // Whether people are named touches every answer; how a window looks touches none.
          const hides = 'drift.anonymous' in wanted && wanted['drift.anonymous'] !== (await this.#hidesNames());
          const on = wanted['drift.anonymous'] === true;
          const subject = hides ? (on ? 'on' : 'off') : Object.keys(wanted).join(', ');
          if (hides && on) ops.push(await this.#drawLots());
          if (ops.length > 0) await this.#commit(hides ? 'hide-names' : 'settings', subject, null, ops);
        }
        const { [lotsKey]: _lots, ...settings } = await this.#store.settings();
        return thresholdsKey in settings ? presentThresholds(settings, await this.#registerState()) : settings;
      },
      'demo:load': async (_request, context) => {
        const done = await loadScenario(this.#scenarioHost(context), context);
        await this.#lookAround();
        return done;
      },

      'inbox:list': () => this.#inbox.list(),
      'inbox:read': async (request, context) =>
        this.#withHeldDays(await this.#inbox.read(request.ticket, request, context)),
      'inbox:preview': async (request) => this.#withHeldDays(await this.#inbox.preview(request.ticket)),
      'inbox:accept': async (request, context) => {
        this.#refuseDamaged();
        const outcomes = await this.#inbox.accept(request.tickets, request, context);
        await this.#lookAround();
        return outcomes;
      },
      'inbox:drop': async (request) => {
        this.#inbox.drop(request.tickets);
        return null;
      },
      'inbox:rejected': (request) => this.#inbox.rejected(request),

      ...sourceCalls(host),
      ...recipeCalls(host),
      ...markCalls(host),
      ...registerCalls(host),
      ...savedCalls(host),

      'scope:named': async (request) => {
        const [state, settings] = [await this.#registerState(), await this.#store.settings()];
        const { anonymousOperators } = driftOptions(settings);
        const numbers = numbersOf(state, settings[lotsKey]);
        return operatorsForPlant(request.operators, state.register, anonymousOperators, numbers);
      },

      'change:list': async (request): Promise<readonly ChangeRow[]> =>
        (await this.#store.changes(request.offset, request.limit)).map((change) => ({
          id: change.id,
          madeMs: change.madeMs,
          who: change.who,
          kind: change.kind,
          subject: change.subject,
          why: change.why,
          undoes: change.undoes,
          undoneBy: change.undoneBy,
        })),
      'change:undo': async (request) => {
        this.#refuseDamaged();
        let wanted = request.change;
        if (wanted === null) {
          wanted = this.#own.at(-1) ?? null;
          if (wanted === null) {
            const detail = say(said('store.undo.nothing', {}));
            throw new ProblemError('conflict', said('problem.conflict', { detail }));
          }
        }
        const done = await this.#store.undo(wanted, await this.#who(), this.#options.clock());
        const at = this.#own.indexOf(wanted);
        if (at >= 0) this.#own.splice(at, 1);
        await this.#lookAround();
        return { change: done.change };
      },
    };
  }

  /** What the groups of calls are given of the engine. */
  #host(): CallHost {
    return {
      store: this.#store,
      programVersion: this.#options.programVersion,
      plant: () => this.#plant(),
      registerState: () => this.#registerState(),
      registerNow: () => this.#keeper.registerState,
      asked: (context) => this.#asked(context),
      removalAsked: () => this.#removalAsked(),
      savedStudies: () => this.#savedStudies(),
      savedScopes: () => this.#savedScopes(),
      commit: (...change) => this.#commit(...change),
      committed: (...change) => this.#committed(...change),
    };
  }

  #statusHost(): StatusHost {
    return {
      store: this.#store,
      storePath: this.#options.storePath,
      programVersion: this.#options.programVersion,
      readOnly: this.#store.readOnly || this.#damaged,
      registerState: () => this.#registerState(),
    };
  }

  #scenarioHost(context: ServeContext): ScenarioHost {
    return {
      sampleFolder: this.#options.sampleFolder,
      store: this.#store,
      inbox: this.#inbox,
      putRegister: async (file) => {
        await this.#answer('register:put', { file, why: null }, context);
      },
      commit: (...change) => this.#commit(...change),
    };
  }

  async #savedStudies(): Promise<SavedStudy[]> {
    const state = await this.#registerState();
    return (await this.#store.studies()).map((row) => presentStudy(state, savedStudy(row)));
  }

  async #savedScopes(): Promise<SavedScope[]> {
    const state = await this.#registerState();
    return (await this.#store.scopes()).flatMap((row) => {
      const scope = scopeSchema.safeParse(row.body);
      return scope.success ? [presentSavedScope(state, { name: row.name, scope: scope.data })] : [];
    });
  }

  async #removalAsked(): Promise<RemovalAsked> {
    const [studies, scopes] = await Promise.all([this.#savedStudies(), this.#savedScopes()]);
    // Last: plant and names are then of one moment.
    const plant = await this.#plant();
    const keeper = this.#keeper;
    return {
      plant,
      state: keeper.registerState,
      writtenNames: (kind) => keeper.writtenNames(kind),
      assignedNames: (kind) => keeper.assignedNames(kind),
      studies,
      scopes,
    };
  }

  async #commit(kind: string, subject: string, why: string | null, ops: readonly StoreOp[]): Promise<Done> {
    return { change: (await this.#committed(kind, subject, why, ops)).change };
  }

  async #committed(kind: string, subject: string, why: string | null, ops: readonly StoreOp[]): Promise<Committed> {
    this.#refuseDamaged();
    const command: Command = {
      kind,
      subject: subject.slice(0, 500),
      why,
      who: await this.#who(),
      nowMs: this.#options.clock(),
      ops,
    };
    const done: Committed = await this.#store.commit(command);
    // Settings are not work: U must not take back a change of colours.
    if (kind !== 'settings' && kind !== 'hide-names') this.#own.push(done.change);
    await this.#lookAround();
    return done;
  }

  #refuseDamaged(): void {
    if (this.#damaged) {
      const store = this.#options.storePath;
      throw new ProblemError('store-damaged', said('problem.store-damaged', { store, backup: newestBackup(store) }));
    }
  }

  async #who(): Promise<string> {
    const who = (await this.#store.settings()).who;
    return typeof who === 'string' && who.trim() !== '' ? who : this.#options.who;
  }

  async #asked(context: ServeContext): Promise<Asked> {
    const plant = await this.#plant(context);
    const settings = await this.#store.settings();
    const plantName = settings.plantName;
    return {
      plant,
      state: this.#keeper.registerState,
      programVersion: this.#options.programVersion,
      sha256Hex: (text) => createHash('sha256').update(text, 'utf8').digest('hex'),
      startSha256: () => {
        const hash = createHash('sha256');
        return { update: (part) => void hash.update(part), hex: () => hash.digest('hex') };
      },
      plantName: typeof plantName === 'string' ? plantName : null,
      who: await this.#who(),
      drift: driftOptions(presentThresholds(settings, this.#keeper.registerState)),
      lots: settings[lotsKey],
      hidden: null,
      now: civilNow(this.#options.clock()),
      rawLine: async (source, line) => {
        const bytes = await this.#store.rawLines(source, line, 1);
        return bytes === null ? null : lineText(bytes);
      },
      slices: context,
    };
  }

  async #plant(context: ServeContext = {}): Promise<Plant> {
    return this.#keeper.plant((done, total) => {
      context.onProgress?.({ phase: 'loading', done, total, unit: 'readings' });
    });
  }

  /** Fills the pictures of questions; while the readings still load they stay without the days held. */
  async #withHeldDays(preview: IntakePreview): Promise<IntakePreview> {
    if (!showsDays(preview) || !this.#keeper.isLoaded) return preview;
    return withHeldDays(preview, heldDays(await this.#plant()));
  }

  /** The register, from memory when it is there: intake need not wait for a million readings. */
  async #registerState(): Promise<RegisterState> {
    if (this.#keeper.isLoaded) {
      await this.#plant();
      return this.#keeper.registerState;
    }
    return registerState(await this.#store.entries(), await this.#store.checks(), await this.#store.names());
  }

  /** Starts loading the readings, once. */
  #load(): void {
    if (this.#loading || this.#closed) return;
    this.#loading = this.#lookAround(true).catch((error: unknown) => {
      this.#loading = null;
      // Every other problem is answered to whoever asks next; a fault of ours would go unseen.
      if (!this.#closed && storeProblem(error, '').problem.kind === 'fault') console.error(error);
    });
  }

  /** Takes up what was committed meanwhile and tells whoever listens. */
  async #lookAround(load = false): Promise<void> {
    if (this.#closed || (!load && !this.#keeper.isLoaded)) {
      if (!this.#closed) this.#tell({ change: 0, touches: ['readings', 'register', 'marks', 'inbox'] });
      return;
    }
    const event = await this.#keeper.refresh();
    if (event) this.#tell(event);
    if (event?.touches.some((one) => one === 'readings' || one === 'register' || one === 'marks')) {
      // A store closed meanwhile has no plant any more: nobody will ask either.
      this.#warming = this.#warm().catch(() => undefined);
    }
  }
  #warming: Promise<void> = Promise.resolve();

  /** Makes ahead what the first question would have to wait for, in steps that let questions in between. */
  async #warm(): Promise<void> {
    const held = await this.#keeper.plant();
    const hidden = await this.#hiddenNames();
    const plant = hidden ? anonymousPlant(held, this.#keeper.registerState.writtenOperators, hidden.numbers) : held;
    for (const make of madeOnceAPlant) {
      await new Promise((resolve) => setImmediate(resolve));
      if (this.#closed) return;
      make(plant);
    }
  }

  #tell(event: StoreEvent): void {
    for (const listener of this.#listeners) listener(event);
  }

  /** SQLite's own check, in the reader thread; a damaged store is read but not written any more. */
  async #check(always: boolean): Promise<void> {
    const now = this.#options.clock();
    const last = await this.#store.checkedMs();
    if (!always && last !== null && now - last < checkEveryMs) return;
    const sound = await this.#reader.ask({ kind: 'check' });
    if (!sound) {
      this.#damaged = true;
      this.#tell({ change: 0, touches: ['settings'] });
      return;
    }
    if (this.#store.readOnly || this.#closed) return;
    if ((await this.#store.summary()).lastChange > 0) {
      // A sound store, copied: the way out should it ever be found damaged.
      await this.#reader.ask({ kind: 'back-up', path: dailyBackup(this.#options.storePath, now) });
      dropOldBackups(this.#options.storePath);
    }
    await this.#store.setCheckedMs(now);
  }
}

type OwnCall =
  | 'app:status'
  | 'app:settings'
  | 'demo:load'
  | 'inbox:list'
  | 'inbox:read'
  | 'inbox:preview'
  | 'inbox:accept'
  | 'inbox:drop'
  | 'inbox:rejected'
  | 'source:withdraw'
  | 'source:restore'
  | 'recipe:list'
  | 'recipe:put'
  | 'recipe:rename'
  | 'recipe:delete'
  | 'mark:leave-out'
  | 'mark:put-back'
  | 'mark:note'
  | 'mark:assign'
  | 'register:put'
  | 'register:removal'
  | 'register:remove'
  | 'register:export'
  | 'register:settle'
  | 'study:list'
  | 'study:save'
  | 'study:delete'
  | 'scope:list'
  | 'scope:save'
  | 'scope:delete'
  | 'scope:named'
  | 'change:list'
  | 'change:undo';
