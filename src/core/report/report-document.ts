/**
 * A report as data: blocks in reading order, turned into HTML, PDF or a word-processor file by their own writers.
 *
 * Texts may hold the marks of said.ts (`**strong**`, `{low|…}`); writers must escape everything else.
 */
import type { MathNode } from '../contract/models/study-model.ts';
import type { Figure } from '../figures/figure.ts';

/** Sheets a report is made for. */
export type Paper = 'A4' | 'letter';

export interface ReportDocument {
  readonly title: string;
  /** Left and right of the line at the top of each part. */
  readonly owner: string;
  readonly kindOfReport: string;
  /** Foot of each page: what identifies these figures. */
  readonly foot: string;
  readonly landscape: boolean;
  readonly blocks: readonly ReportBlock[];
}

export type ReportBlock =
  | { readonly kind: 'title'; readonly text: string }
  | { readonly kind: 'heading'; readonly text: string; readonly note?: string }
  | { readonly kind: 'facts'; readonly rows: readonly (readonly [string, string])[] }
  | {
      readonly kind: 'verdict';
      readonly headline: string;
      readonly text: string;
      readonly lines: readonly string[];
      /** Interval against the requirement, on one axis; null: no glyph. */
      readonly glyph: {
        readonly value: number;
        readonly low95: number | null;
        readonly high95: number | null;
        readonly required: number;
      } | null;
    }
  | { readonly kind: 'paragraph'; readonly lead?: string; readonly text: string }
  | {
      readonly kind: 'columns';
      readonly left: readonly ReportBlock[];
      readonly right: readonly ReportBlock[];
      /** Widths in parts of the whole; left out: equal. */
      readonly widths?: readonly [number, number];
    }
  | { readonly kind: 'figure'; readonly figure: Figure; readonly width: number; readonly height: number }
  | ReportTable
  | { readonly kind: 'math'; readonly label: string; readonly lines: readonly MathNode[]; readonly note: string }
  | { readonly kind: 'caution'; readonly text: string }
  | { readonly kind: 'signatures'; readonly labels: readonly string[] }
  | { readonly kind: 'page-break' };

export interface ReportTable {
  readonly kind: 'table';
  readonly caption: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Columns set to the right. */
  readonly numeric: readonly boolean[];
  readonly small?: boolean;
}
