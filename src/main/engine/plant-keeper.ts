/**
 * Keeps the plant in memory in step with the store, and makes a new immutable `Plant` after every change.
 *
 * There is one path for changes, own or another process's: `PRAGMA data_version` or the journal says that something
 * was committed, the kinds of the new journal entries say what must be read again.
 */
import type { StoreEvent } from '#core/contract/events.ts';
import { judgeAll } from '#core/judging/judge.ts';
import type { ReadingColumns } from '#core/readings/columns.ts';
import type { Disposition, LeftOut, Plant, ReadingNote, SourceFile } from '#core/readings/plant.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { NameKind, Store, StoredMark, StoredSource } from '../store/store.ts';
import { ReadingMemory } from './reading-memory.ts';
import { type RegisterState, registerState } from './register-state.ts';

type Touched = StoreEvent['touches'][number];

/** Readings read between two yields: no stall is longer than a few tens of milliseconds. */
const pageRows = 20_000;

export class PlantKeeper {
  readonly #store: Store;
  readonly #memory = new ReadingMemory();
  #plant: Plant | null = null;
  #register: RegisterState | null = null;
  #sources: readonly StoredSource[] = [];
  #marks: readonly StoredMark[] = [];
  #lastChange = 0;
  #dataVersion = -1;
  #turn: Promise<unknown> = Promise.resolve();
  #closed = false;

  constructor(store: Store) {
    this.#store = store;
  }

  /** Whether the readings are in memory. */
  get isLoaded(): boolean {
    return this.#plant !== null;
  }

  get lastChange(): number {
    return this.#lastChange;
  }

  /** The register's ids and names, in step with the plant last given out. */
  get registerState(): RegisterState {
    if (!this.#register) throw new Error('the plant is not loaded yet');
    return this.#register;
  }

  /** Ids of the names as their files write them, by position of the plant's readings. */
  writtenNames(kind: NameKind): Int32Array {
    return this.#memory.columns()[kind];
  }

  /** Names that readings were assigned to by a person. */
  assignedNames(kind: NameKind): ReadonlySet<string> {
    const names = new Set<string>();
    for (const mark of this.#marks) {
      if (mark.kind !== kind) continue;
      // A name as written, or null for none.
      const written = JSON.parse(mark.value) as string | null;
      if (written !== null) names.add(written);
    }
    return names;
  }

  get sources(): readonly StoredSource[] {
    return this.#sources;
  }

  /** The plant as the store is now; waits until it is loaded. */
  async plant(onProgress?: (done: number, total: number) => void): Promise<Plant> {
    await this.refresh(onProgress);
    if (!this.#plant) throw new Error('the plant is not loaded');
    return this.#plant;
  }

  /**
   * Reads what changed since the last look. One look at a time.
   *
   * @returns what was touched; null when nothing changed
   */
  refresh(onProgress?: (done: number, total: number) => void): Promise<StoreEvent | null> {
    const turn = this.#turn.then(() => this.#look(onProgress));
    this.#turn = turn.catch(() => undefined);
    return turn;
  }

  /** Ends loading; whoever waits gets an error. */
  close(): void {
    this.#closed = true;
  }

  async #look(onProgress?: (done: number, total: number) => void): Promise<StoreEvent | null> {
    const version = await this.#store.dataVersion();
    const fresh = await this.#store.changesAfter(this.#lastChange);
    if (this.#plant !== null && version === this.#dataVersion && fresh.length === 0) return null;
    const first = this.#plant === null;
    const touched = new Set<Touched>(fresh.flatMap((change) => touchedBy(change.kind)));
    if (first) for (const one of ['readings', 'register', 'marks'] as const) touched.add(one);
    if (!first && fresh.length === 0) {
      this.#dataVersion = version;
      return null;
    }
    if (touched.has('readings')) await this.#readReadings(onProgress);
    if (touched.has('readings') || touched.has('register') || this.#register === null) {
      this.#register = registerState(
        await this.#store.entries(),
        await this.#store.checks(),
        await this.#store.names(),
      );
    }
    if (touched.has('marks') || touched.has('register')) this.#marks = await this.#store.activeMarks();
    if (touched.has('readings') || touched.has('register') || touched.has('marks')) {
      this.#plant = await this.#derive(touched);
    }
    this.#lastChange = fresh.at(-1)?.id ?? this.#lastChange;
    this.#dataVersion = version;
    return { change: this.#lastChange, touches: [...touched] };
  }

  async #readReadings(onProgress?: (done: number, total: number) => void): Promise<void> {
    const { readings: total } = await this.#store.summary();
    this.#memory.reserve(Math.max(0, total - this.#memory.length));
    for (;;) {
      if (this.#closed) throw new Error('closed while loading');
      const page = await this.#store.readingsAfter(this.#memory.lastId, pageRows);
      this.#memory.append(page);
      onProgress?.(this.#memory.length, total);
      if (page.length < pageRows) break;
      await new Promise((resolve) => setImmediate(resolve));
    }
    // After the rows: a source committed between the two looks is then known, its rows come with the next look.
    this.#sources = await this.#store.sources();
  }

  async #derive(touched: ReadonlySet<Touched>): Promise<Plant> {
    const state = this.registerState;
    const base = this.#memory.columns();
    const n = base.length;
    const named = (kind: NameKind, ids: Int32Array): Int32Array => {
      const positions = state.positionOfName[kind];
      const out = new Int32Array(n);
      for (let i = 0; i < n; i++) {
        const id = ids[i]!;
        out[i] = id < 0 ? -1 : (positions[id] ?? -1);
      }
      return out;
    };
    const tool = named('tool', base.tool);
    const operator = named('operator', base.operator);
    const joint = named('joint', base.joint);
    const inForce = await this.#inForce(base.source, base.id);

    const leftOut = new Map<number, LeftOut>();
    const notes = new Map<number, ReadingNote[]>();
    for (const mark of this.#marks) {
      const position = positionOfId(base.id, mark.reading);
      if (position < 0) continue;
      switch (mark.kind) {
        case 'left-out':
          leftOut.set(position, { reason: mark.value, by: mark.who, decidedMs: mark.madeMs, change: mark.change });
          break;
        case 'note': {
          // Written by the engine as JSON of these two.
          const note = JSON.parse(mark.value) as { readonly disposition: Disposition; readonly text: string };
          const list = notes.get(position) ?? [];
          list.push({ ...note, by: mark.who, decidedMs: mark.madeMs, change: mark.change });
          notes.set(position, list);
          break;
        }
        case 'set-aside':
          inForce[position] = 0;
          break;
        case 'tool':
        case 'operator':
        case 'joint': {
          // As above: a name as written, or null for none.
          const written = JSON.parse(mark.value) as string | null;
          const id = written === null ? null : state.nameId(mark.kind, written);
          const column = mark.kind === 'tool' ? tool : mark.kind === 'operator' ? operator : joint;
          column[position] = id === null ? -1 : (state.positionOfName[mark.kind][id] ?? -1);
          break;
        }
      }
    }
    const readings: ReadingColumns = { ...base, tool, operator, joint, inForce };
    const sources: SourceFile[] = this.#sources.map((source) => ({
      id: source.id,
      name: source.name,
      sha256: source.sha256,
      bytes: source.bytes,
      withdrawn: source.withdrawn,
      takenInMs: source.takenMs,
      newestFirst: source.facts.newestFirst,
      alreadyHeld: source.accounting.alreadyHeld,
    }));
    const last = this.#plant;
    await new Promise((resolve) => setImmediate(resolve));
    const keepsOrder = last !== null && !touched.has('readings') && !touched.has('register') && !this.#assigned;
    const order = keepsOrder ? last.order : timeOrder(readings, state.register, sources);
    await new Promise((resolve) => setImmediate(resolve));
    const judged = keepsOrder && last ? last.judged : judgeAll(readings, state.register);
    this.#assigned = this.#marks.some((mark) => mark.kind === 'tool' || mark.kind === 'joint');
    return {
      readings,
      register: state.register,
      names: { fasteners: this.#memory.fasteners, batches: this.#memory.batches },
      order,
      judged,
      leftOut,
      notes,
      sources,
    };
  }
  /** Whether assignments are, or were until now, part of the columns: then marks change order and verdicts too. */
  #assigned = true;

  async #inForce(source: Int32Array, id: Int32Array): Promise<Uint8Array> {
    const inForce = new Uint8Array(source.length).fill(1);
    const withdrawn = new Set(this.#sources.filter((one) => one.withdrawn).map((one) => one.id));
    if (withdrawn.size === 0) return inForce;
    for (let i = 0; i < source.length; i++) if (withdrawn.has(source[i]!)) inForce[i] = 0;
    const sightings = await this.#store.sightings();
    for (let i = 0; i < sightings.length; i += 3) {
      if (withdrawn.has(sightings[i]!)) continue;
      const position = positionOfId(id, sightings[i + 1]!);
      if (position >= 0) inForce[position] = 1;
    }
    return inForce;
  }
}

/** Position of a store id in a rising column; -1: not there. */
export function positionOfId(ids: Int32Array, id: number): number {
  // Ids are dense nearly always: the place is known without a search.
  const guess = id - (ids[0] ?? 0);
  if (ids[guess] === id) return guess;
  let low = 0;
  let high = ids.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const there = ids[middle]!;
    if (there === id) return middle;
    if (there < id) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}

/** What a journal entry's kind says must be read again; an unknown kind: everything. */
function touchedBy(kind: string): readonly Touched[] {
  switch (kind) {
    case 'intake':
      return ['readings', 'register', 'inbox'];
    case 'withdraw':
    case 'restore':
      return ['readings', 'inbox'];
    case 'register':
    case 'remove':
      return ['register'];
    case 'settle':
      // What was saved names the entry anew.
      return ['register', 'marks', 'studies', 'settings'];
    case 'leave-out':
    case 'put-back':
    case 'note':
      return ['marks'];
    case 'assign':
      return ['register', 'marks'];
    case 'recipe':
      return ['recipes'];
    case 'study':
    case 'scope':
      return ['studies'];
    case 'settings':
      return ['settings'];
    case 'hide-names':
      // Nothing held has changed, but every answer that names people has.
      return ['settings', 'marks', 'studies', 'inbox'];
    default:
      return ['readings', 'register', 'marks', 'recipes', 'studies', 'settings', 'inbox'];
  }
}
