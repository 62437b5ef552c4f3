/**
 * Interpreted rows on their way to the store: one typed array a field, so that a million rows cost no objects.
 *
 * A batch is handed to the sink and used again for the next rows as soon as the sink's promise is done: copy what must
 * live longer. Absent: NaN in float arrays, -1 in index arrays, `noUnit` in `unit`.
 */
export const batchCapacity = 8192;

/** In `RowBatch.unit`: the unit is not known (yet asked). */
export const noUnit = 255;

export interface RowBatch {
  /** Rows filled, at most `batchCapacity`. */
  length: number;
  /** Civil ms; NaN: no date. */
  readonly at: Float64Array;
  /** Precision of the time, as in readings/columns.ts: 0 none, 1 ms, 2 s, 3 min, 4 date only. */
  readonly atStep: Uint8Array;
  /** As recorded, signed; NaN: none (angle only). */
  readonly torque: Float64Array;
  /** Position in `torqueUnitCodes`. */
  readonly unit: Uint8Array;
  /** Decimals of the torque as written. */
  readonly decimals: Uint8Array;
  /** Degrees, signed; NaN: none. */
  readonly angle: Float64Array;
  /** 0 not said, 1 good, 2 bad. */
  readonly own: Uint8Array;
  /** A number column that may be the device's running number; NaN: none. */
  readonly sequence: Float64Array;
  /** Positions in the lists of `FileNames`, which last for the whole file; -1: none. */
  readonly tool: Int32Array;
  readonly operator: Int32Array;
  readonly joint: Int32Array;
  /** Positions in the lists of `FileNames` that come with this batch; -1: none. */
  readonly fastener: Int32Array;
  readonly batch: Int32Array;
  readonly station: Int32Array;
  readonly note: Int32Array;
  /** As written; -1: none. */
  readonly batchPosition: Int32Array;
  readonly batchSize: Int32Array;
  /** Set in the file, in the row's unit; NaN: none. */
  readonly target: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** First physical line of the record, from 1, and how many lines it spans. */
  readonly line: Int32Array;
  readonly lines: Int32Array;
}

/**
 * Names as written (outer blanks removed). `tool`, `operator` and `joint` list the whole file in order of appearance and
 * only grow. `fastener`, `batch`, `station` and `note` may be different on every line, so they hold **this batch's names
 * only** and start anew with each batch: resolve them while the batch is at hand, or memory would grow with the file.
 */
export interface FileNames {
  readonly tool: readonly string[];
  readonly operator: readonly string[];
  readonly joint: readonly string[];
  readonly fastener: readonly string[];
  readonly batch: readonly string[];
  readonly station: readonly string[];
  readonly note: readonly string[];
}

/** An empty batch with room for `capacity` rows. */
export function emptyRowBatch(capacity: number = batchCapacity): RowBatch {
  return {
    length: 0,
    at: new Float64Array(capacity),
    atStep: new Uint8Array(capacity),
    torque: new Float64Array(capacity),
    unit: new Uint8Array(capacity),
    decimals: new Uint8Array(capacity),
    angle: new Float64Array(capacity),
    own: new Uint8Array(capacity),
    sequence: new Float64Array(capacity),
    tool: new Int32Array(capacity),
    operator: new Int32Array(capacity),
    joint: new Int32Array(capacity),
    fastener: new Int32Array(capacity),
    batch: new Int32Array(capacity),
    station: new Int32Array(capacity),
    note: new Int32Array(capacity),
    batchPosition: new Int32Array(capacity),
    batchSize: new Int32Array(capacity),
    target: new Float64Array(capacity),
    low: new Float64Array(capacity),
    high: new Float64Array(capacity),
    line: new Int32Array(capacity),
    lines: new Int32Array(capacity),
  };
}
