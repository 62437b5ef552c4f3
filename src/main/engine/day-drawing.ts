/** The picture of one day of a file that is about to be taken in. */
import type { WouldAddDay } from '#core/contract/models/intake-model.ts';

const drawnPerDay = 600;

/** At most 600 readings of a day: failing ones first, the others evenly thinned. */
export class DayDrawing {
  count = 0;
  readonly #at: number[] = [];
  readonly #place: number[] = [];
  readonly #torque: number[] = [];
  readonly #angle: number[] = [];
  readonly #kind: number[] = [];
  #every = 1;
  #passing = 0;

  add(at: number, place: number, torque: number, angle: number, kind: number): void {
    this.count++;
    const marked = kind >= 1 && kind <= 4;
    if (!marked && this.#passing++ % this.#every !== 0) return;
    if (marked && this.#at.length >= drawnPerDay * 2) return;
    this.#at.push(at);
    this.#place.push(place);
    this.#torque.push(torque);
    this.#angle.push(angle);
    this.#kind.push(kind);
    if (this.#at.length >= drawnPerDay * 2) this.#thin();
  }

  /** @param of what is drawn upwards */
  done(day: number, of: 'place' | 'torque' | 'angle', orDays: readonly number[] = []): WouldAddDay {
    while (this.#at.length > drawnPerDay && this.#thin());
    const n = Math.min(this.#at.length, drawnPerDay);
    const values = of === 'place' ? this.#place : of === 'torque' ? this.#torque : this.#angle;
    return {
      day,
      orDays,
      count: this.count,
      at: Float64Array.from(this.#at.slice(0, n)),
      place: Float64Array.from(values.slice(0, n)),
      kind: Uint8Array.from(this.#kind.slice(0, n)),
    };
  }

  /** Drops every second of the readings that do not fail; false when there are none to drop. */
  #thin(): boolean {
    this.#every *= 2;
    let kept = 0;
    let seen = 0;
    const n = this.#at.length;
    for (let i = 0; i < n; i++) {
      const kind = this.#kind[i]!;
      const marked = kind >= 1 && kind <= 4;
      if (!marked && seen++ % 2 === 1) continue;
      this.#at[kept] = this.#at[i]!;
      this.#place[kept] = this.#place[i]!;
      this.#torque[kept] = this.#torque[i]!;
      this.#angle[kept] = this.#angle[i]!;
      this.#kind[kept] = kind;
      kept++;
    }
    for (const list of [this.#at, this.#place, this.#torque, this.#angle, this.#kind]) list.length = kept;
    return kept < n;
  }
}
