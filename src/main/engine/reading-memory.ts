/**
 * Held readings in memory as typed arrays that only grow.
 *
 * Readings are never changed once stored, so a plant made earlier can go on looking at the first `length` entries of
 * the same buffers while later ones are filled in behind.
 */
import type { StoredReadings } from '../store/store.ts';

interface Base {
  id: Int32Array;
  at: Float64Array;
  atStep: Uint8Array;
  torque: Float64Array;
  unit: Uint8Array;
  decimals: Uint8Array;
  angle: Float64Array;
  /** Ids of written names. */
  tool: Int32Array;
  operator: Int32Array;
  joint: Int32Array;
  own: Uint8Array;
  sequence: Float64Array;
  source: Int32Array;
  line: Int32Array;
  fastener: Int32Array;
  batch: Int32Array;
  batchPosition: Int32Array;
  batchSize: Int32Array;
}

/** The first `length` entries of every column. */
export type BaseColumns = Readonly<Base> & { readonly length: number };

export class ReadingMemory {
  #length = 0;
  #capacity = 0;
  #base: Base = columns(0);
  readonly #fasteners = new Dictionary();
  readonly #batches = new Dictionary();

  get length(): number {
    return this.#length;
  }

  /** Store id of the newest reading held; 0: none. */
  get lastId(): number {
    return this.#length === 0 ? 0 : this.#base.id[this.#length - 1]!;
  }

  get fasteners(): readonly string[] {
    return this.#fasteners.texts;
  }

  get batches(): readonly string[] {
    return this.#batches.texts;
  }

  /** Makes room for `more` readings at once: growing by halves would copy, and keep, several times as much. */
  reserve(more: number): void {
    this.#grow(this.#length + more);
  }

  append(page: StoredReadings): void {
    const from = this.#length;
    const n = page.length;
    if (from + n > this.#capacity) this.#grow(Math.max(from + n, Math.ceil(this.#capacity * 1.5), 1024));
    const b = this.#base;
    b.id.set(page.id.subarray(0, n), from);
    b.at.set(page.at.subarray(0, n), from);
    b.atStep.set(page.atStep.subarray(0, n), from);
    b.torque.set(page.torque.subarray(0, n), from);
    b.unit.set(page.unit.subarray(0, n), from);
    b.decimals.set(page.decimals.subarray(0, n), from);
    b.angle.set(page.angle.subarray(0, n), from);
    b.tool.set(page.tool.subarray(0, n), from);
    b.operator.set(page.operator.subarray(0, n), from);
    b.joint.set(page.joint.subarray(0, n), from);
    b.own.set(page.own.subarray(0, n), from);
    b.sequence.set(page.sequence.subarray(0, n), from);
    b.source.set(page.source.subarray(0, n), from);
    b.line.set(page.line.subarray(0, n), from);
    b.batchPosition.set(page.batchPosition.subarray(0, n), from);
    b.batchSize.set(page.batchSize.subarray(0, n), from);
    b.fastener.fill(-1, from, from + n);
    b.batch.fill(-1, from, from + n);
    for (const [at, written] of page.fasteners) b.fastener[from + at] = this.#fasteners.position(written);
    for (const [at, written] of page.batches) b.batch[from + at] = this.#batches.position(written);
    this.#length = from + n;
  }

  /** The columns as they are now. */
  columns(): BaseColumns {
    const b = this.#base;
    const n = this.#length;
    return {
      length: n,
      id: b.id.subarray(0, n),
      at: b.at.subarray(0, n),
      atStep: b.atStep.subarray(0, n),
      torque: b.torque.subarray(0, n),
      unit: b.unit.subarray(0, n),
      decimals: b.decimals.subarray(0, n),
      angle: b.angle.subarray(0, n),
      tool: b.tool.subarray(0, n),
      operator: b.operator.subarray(0, n),
      joint: b.joint.subarray(0, n),
      own: b.own.subarray(0, n),
      sequence: b.sequence.subarray(0, n),
      source: b.source.subarray(0, n),
      line: b.line.subarray(0, n),
      fastener: b.fastener.subarray(0, n),
      batch: b.batch.subarray(0, n),
      batchPosition: b.batchPosition.subarray(0, n),
      batchSize: b.batchSize.subarray(0, n),
    };
  }

  #grow(capacity: number): void {
    if (capacity <= this.#capacity) return;
    const wider = columns(capacity);
    const old = this.columns();
    wider.id.set(old.id);
    wider.at.set(old.at);
    wider.atStep.set(old.atStep);
    wider.torque.set(old.torque);
    wider.unit.set(old.unit);
    wider.decimals.set(old.decimals);
    wider.angle.set(old.angle);
    wider.tool.set(old.tool);
    wider.operator.set(old.operator);
    wider.joint.set(old.joint);
    wider.own.set(old.own);
    wider.sequence.set(old.sequence);
    wider.source.set(old.source);
    wider.line.set(old.line);
    wider.fastener.set(old.fastener);
    wider.batch.set(old.batch);
    wider.batchPosition.set(old.batchPosition);
    wider.batchSize.set(old.batchSize);
    this.#base = wider;
    this.#capacity = capacity;
  }
}

class Dictionary {
  readonly texts: string[] = [];
  readonly #positions = new Map<string, number>();

  position(text: string): number {
    const held = this.#positions.get(text);
    if (held !== undefined) return held;
    const position = this.texts.length;
    this.texts.push(text);
    this.#positions.set(text, position);
    return position;
  }
}

function columns(n: number): Base {
  return {
    id: new Int32Array(n),
    at: new Float64Array(n),
    atStep: new Uint8Array(n),
    torque: new Float64Array(n),
    unit: new Uint8Array(n),
    decimals: new Uint8Array(n),
    angle: new Float64Array(n),
    tool: new Int32Array(n),
    operator: new Int32Array(n),
    joint: new Int32Array(n),
    own: new Uint8Array(n),
    sequence: new Float64Array(n),
    source: new Int32Array(n),
    line: new Int32Array(n),
    fastener: new Int32Array(n),
    batch: new Int32Array(n),
    batchPosition: new Int32Array(n),
    batchSize: new Int32Array(n),
  };
}
