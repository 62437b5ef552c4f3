/**
 * Readings as columns: one typed array a field, position = reading.
 *
 * All analysis runs on these; at a million readings one loop over a column takes milliseconds, objects would take
 * seconds and hundreds of megabytes. Absent numbers are NaN in the float columns and -1 in the index columns.
 */
export interface ReadingColumns {
  readonly length: number;
  /** Store row id; rising. */
  readonly id: Int32Array;
  /** Civil ms; NaN: no date. */
  readonly at: Float64Array;
  /** Precision of the time: 0 none, 1 ms, 2 s, 3 min, 4 date only. */
  readonly atStep: Uint8Array;
  /** As recorded, signed, in `unit`; NaN: none. */
  readonly torque: Float64Array;
  /** Position in `torqueUnitCodes`. */
  readonly unit: Uint8Array;
  /** Decimals of the torque as written. */
  readonly decimals: Uint8Array;
  /** Degrees as recorded, signed; NaN: none. */
  readonly angle: Float64Array;
  /** Positions in `Register.tools`, `.operators`, `.joints`; -1: none named. */
  readonly tool: Int32Array;
  readonly operator: Int32Array;
  readonly joint: Int32Array;
  /** The wrench's own result: 0 not said, 1 good, 2 bad. */
  readonly own: Uint8Array;
  /** The device's own running number; NaN: none. */
  readonly sequence: Float64Array;
  /** Store id of the first file that showed the reading, and the line in it (1-based physical line). */
  readonly source: Int32Array;
  readonly line: Int32Array;
  /** Positions in the dictionaries of `Plant.names`; -1: none. */
  readonly fastener: Int32Array;
  readonly batch: Int32Array;
  /** Position in the batch as written; -1: none. */
  readonly batchPosition: Int32Array;
  readonly batchSize: Int32Array;
  /** 1: shown by a file that is not withdrawn. Everything else is out of every figure. */
  readonly inForce: Uint8Array;
}

/** Precisions of a written time, by the code in `atStep`. */
export const timeStepsMs = [0, 1, 1000, 60_000, 86_400_000] as const;

/** Makes empty columns with room for `length` readings, all absent. */
export function emptyColumns(length: number): ReadingColumns {
  return {
    length,
    id: new Int32Array(length),
    at: new Float64Array(length).fill(Number.NaN),
    atStep: new Uint8Array(length),
    torque: new Float64Array(length).fill(Number.NaN),
    unit: new Uint8Array(length),
    decimals: new Uint8Array(length),
    angle: new Float64Array(length).fill(Number.NaN),
    tool: new Int32Array(length).fill(-1),
    operator: new Int32Array(length).fill(-1),
    joint: new Int32Array(length).fill(-1),
    own: new Uint8Array(length),
    sequence: new Float64Array(length).fill(Number.NaN),
    source: new Int32Array(length),
    line: new Int32Array(length),
    fastener: new Int32Array(length).fill(-1),
    batch: new Int32Array(length).fill(-1),
    batchPosition: new Int32Array(length).fill(-1),
    batchSize: new Int32Array(length).fill(-1),
    inForce: new Uint8Array(length).fill(1),
  };
}
