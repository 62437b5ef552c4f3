/** The shifts of a plant on a band of 24 hours. */

export interface PlannedShift {
  readonly name: string;
  readonly startMinute: number;
  readonly endMinute: number;
  /** Cut out of the band; a night shift's may lie after midnight. */
  readonly breaks?: readonly { readonly startMinute: number; readonly endMinute: number }[];
}

/** A stretch of the band; a shift past midnight has two. */
export interface BandPiece {
  /** Position in the list of shifts. */
  readonly shift: number;
  readonly from: number;
  readonly to: number;
  /** The piece that carries the name: the longer one. */
  readonly named: boolean;
}

export interface ShiftBand {
  readonly pieces: readonly BandPiece[];
  /** Breaks of the shifts in force, as stretches of the day; one past midnight is two. */
  readonly cuts: readonly { readonly from: number; readonly to: number }[];
  /** Minutes of the day under no shift: readings then are "outside shifts". */
  readonly uncovered: number;
  /** Minutes under more than one shift: the first in the list holds. */
  readonly doubled: number;
}

const day = 1440;

/**
 * Divides 24 hours by shifts. `endMinute <= startMinute` runs past midnight (definitions 2); where shifts overlap the
 * earlier one in the list is drawn.
 */
export function shiftBand(shifts: readonly PlannedShift[]): ShiftBand {
  const owner = new Int16Array(day).fill(-1);
  let doubled = 0;
  shifts.forEach((shift, index) => {
    const length = (((shift.endMinute - shift.startMinute) % day) + day) % day || day;
    for (let k = 0; k < length; k += 1) {
      const minute = (shift.startMinute + k) % day;
      if (owner[minute] === -1) owner[minute] = index;
      else doubled += 1;
    }
  });
  const pieces: { shift: number; from: number; to: number }[] = [];
  let uncovered = 0;
  for (let minute = 0; minute < day; minute += 1) {
    const shift = owner[minute]!;
    if (shift < 0) {
      uncovered += 1;
      continue;
    }
    const last = pieces[pieces.length - 1];
    if (last && last.shift === shift && last.to === minute) last.to = minute + 1;
    else pieces.push({ shift, from: minute, to: minute + 1 });
  }
  const cuts = shifts.flatMap((shift, index) =>
    (shift.breaks ?? []).flatMap((pause) => {
      const parts =
        pause.endMinute > pause.startMinute
          ? [{ from: pause.startMinute, to: pause.endMinute }]
          : [
              { from: pause.startMinute, to: day },
              { from: 0, to: pause.endMinute },
            ];
      return parts.filter((part) => part.to > part.from && owner[part.from] === index);
    }),
  );
  return {
    cuts,
    pieces: pieces.map((piece) => ({
      ...piece,
      named: !pieces.some(
        (other) =>
          other !== piece &&
          other.shift === piece.shift &&
          (other.to - other.from > piece.to - piece.from ||
            (other.to - other.from === piece.to - piece.from && other.from < piece.from)),
      ),
    })),
    uncovered,
    doubled,
  };
}
