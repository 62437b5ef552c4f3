/** Shapes the Readings screen is sent. */
import type { Said } from '../../text/said.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';
import type { ReadingRow } from './shared.ts';

export interface ReadingsPage {
  /** Readings that match scope and filters. */
  readonly total: number;
  /** Readings in scope, before the filters. */
  readonly inScope: number;
  /** Readings in force at all. */
  readonly held: number;
  readonly offset: number;
  readonly rows: readonly ReadingRow[];
  /** The filters read back: "Brake caliper M6, T-305, torque low: 9 of 72 125 readings." */
  readonly sentence: Said;
  /** One a filter, in the order of the request: the words of its chip. */
  readonly filterWords: readonly Said[];
  readonly pictures: ReadingsPictures | null;
  /** Set when nothing matches. */
  readonly empty: EmptyReadings | null;
}

export interface EmptyReadings {
  readonly said: Said;
  /** What leaving out one filter alone would give, only those that give any; `filter` points into the request's list. */
  readonly without: readonly { readonly filter: number; readonly count: number; readonly said: Said }[];
}

/** The pictures over the columns. Each counts the readings that pass all OTHER filters; `kept` those that pass all. */
export interface ReadingsPictures {
  readonly at: NumberPicture | null;
  readonly torque: NumberPicture | null;
  readonly torquePlace: NumberPicture | null;
  readonly angle: NumberPicture | null;
  readonly anglePlace: NumberPicture | null;
  readonly attempt: NumberPicture | null;
  readonly joint: NamePicture;
  readonly tool: NamePicture;
  readonly operator: NamePicture;
  readonly source: NamePicture;
  readonly verdict: NamePicture;
  readonly ownResult: NamePicture;
}

/** Bins of equal width from `from` to `to`; the last one includes its upper end. */
export interface NumberPicture {
  readonly from: number;
  readonly to: number;
  readonly counts: Uint32Array;
  readonly kept: Uint32Array;
  /** Values outside the bins (beyond the drawn range), and readings without a value. */
  readonly below: number;
  readonly above: number;
  readonly none: number;
}

/** Counted values, most frequent first, at most 200; `others` are the readings under the names not listed. */
export interface NamePicture {
  readonly names: readonly {
    readonly name: string;
    readonly label: string;
    readonly count: number;
    readonly kept: number;
  }[];
  readonly distinct: number;
  readonly others: number;
  /** Readings that name none. */
  readonly none: number;
}

export interface ReadingDetail {
  readonly row: ReadingRow;
  /** Heading, e.g. "Brake caliper M6 no. 3, HC-24155", and the line under it. */
  readonly heading: Said;
  readonly under: Said;
  readonly torque: DetailValue | null;
  readonly angle: DetailValue | null;
  /** Why there is no verdict; null when there is one. */
  readonly unjudged: Said | null;
  /** Revision in force at the reading; null: none. */
  readonly revision: {
    readonly label: string;
    readonly from: number;
    readonly by: string | null;
    readonly why: string | null;
  } | null;
  /** The adapter's working, when one was in use. */
  readonly adapter: Said | null;
  /** Every try at the same fastener, in order, this one included; empty when it stands alone. */
  readonly tries: readonly { readonly id: string; readonly said: Said; readonly here: boolean }[];
  readonly chainBy: 'identity' | 'time' | null;
  /** The line as written in the file; null while it cannot be read, and where it is not shown. */
  readonly rawLine: string | null;
  /** Where nobody shall be named: what was masked in the line, or why it is not shown. Null: it is as written. */
  readonly rawNote: Said | null;
  readonly sourceName: string;
  readonly line: number;
  /** The tool's own verdict beside ours, where they differ. */
  readonly ownDiffers: Said | null;
  /** Value on the limit to the digits shown, needs loosening first, short second angle ... */
  readonly remarks: readonly Said[];
  readonly notes: readonly {
    readonly disposition: string;
    readonly text: string;
    readonly by: string;
    readonly decidedMs: number;
    readonly change: number;
  }[];
  readonly leftOut: {
    readonly reason: string;
    readonly by: string;
    readonly decidedMs: number;
    readonly change: number;
  } | null;
  /** Three before and three after, same tool. */
  readonly before: readonly ReadingRow[];
  readonly after: readonly ReadingRow[];
}

export interface DetailValue {
  /** As recorded. */
  readonly recorded: number;
  readonly decimals: number;
  readonly unit: TorqueUnit | 'deg';
  /** In the unit of the limits, folded into the joint's direction, adapter applied; null: other direction. */
  readonly judged: number | null;
  readonly judgedUnit: TorqueUnit | 'deg';
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  readonly place: number | null;
  readonly said: Said;
}
