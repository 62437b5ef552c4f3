/** Estimates with intervals, one a row, on one scale with a line at zero. */
import type { Drawing, Figure, Pane, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

export interface IntervalRow {
  /** Stands left of the rows it opens; empty: goes on with the group before. */
  readonly group: string;
  readonly label: string;
  readonly value: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  /** The interval excludes zero by the stated test: set in ink and bold. */
  readonly strong: boolean;
  /** Said in place of an interval; null: there is one. */
  readonly why: string | null;
  /** Number of this row and of the following ones that share one joined bar; 1: its own. */
  readonly joined?: number;
}

export interface IntervalRowsOptions {
  readonly width: number;
  readonly rowHeight?: number;
  /** Pixels for the groups and for the labels. */
  readonly groupWidth?: number;
  readonly labelWidth?: number;
  readonly title: string;
  readonly summary: string;
  readonly decimals?: number;
}

/** Height that `intervalRows` needs. */
export function intervalRowsHeight(rows: number, rowHeight = 26): number {
  return 10 + rows * rowHeight + 26;
}

/**
 * Builds the figure: zero is always in view, every interval lies inside the scale, and a row that cannot be told keeps
 * its place with the reason.
 */
export function intervalRows(rows: readonly IntervalRow[], options: IntervalRowsOptions): Figure {
  const rowHeight = options.rowHeight ?? 26;
  const decimals = options.decimals ?? 1;
  const groupWidth = options.groupWidth ?? (rows.some((row) => row.group !== '') ? 46 : 0);
  const labelWidth = options.labelWidth ?? 108;
  const left = groupWidth + labelWidth;
  const right = 42;
  const height = rows.length * rowHeight;
  const y: Scale = { min: height, max: 0 };
  const x = zeroScale(rows);
  const words: Drawing[] = [];
  const front: Drawing[] = [{ kind: 'rule', across: 'y', at: 0, colour: 'rule-2' }];
  rows.forEach((row, k) => {
    const at = (k + 0.5) * rowHeight;
    if (row.group !== '' && k > 0) {
      words.push({ kind: 'rule', across: 'x', at: k * rowHeight, colour: 'rule' });
    }
    if (row.group !== '') words.push({ kind: 'text', text: row.group, x: 0, y: at, colour: 'ink-2' });
    words.push({
      kind: 'text',
      text: shortened(row.label, labelWidth - 6),
      x: groupWidth,
      y: at,
      strong: row.strong,
      colour: 'ink',
    });
    if (row.value === null) {
      if (row.joined !== undefined && row.joined > 1) {
        front.push({
          kind: 'rects',
          colour: 'band',
          stroke: 'rule-2',
          rects: [{ x0: null, x1: null, y0: at - rowHeight * 0.34, y1: at + rowHeight * (row.joined - 0.66) }],
        });
      }
      if (row.why !== null) {
        front.push({
          kind: 'text',
          text: row.why,
          x: x.min,
          y: at + (((row.joined ?? 1) - 1) * rowHeight) / 2,
          dxPx: 6,
          colour: 'ink-3',
          halo: (row.joined ?? 1) <= 1,
        });
      }
      return;
    }
    const colour = row.strong ? 'ink' : 'inside';
    if (row.low95 !== null && row.high95 !== null) {
      front.push({ kind: 'segments', x0: [row.low95], x1: [row.high95], y0: [at], y1: [at], colour, width: 1.5 });
    }
    front.push({ kind: 'dots', x: [row.value], y: [at], colour, radius: 3.2 });
    words.push({
      kind: 'text',
      text: figureFormat.signed(row.value, decimals),
      x: options.width,
      y: at,
      strong: row.strong,
      align: 'right',
      colour: row.strong ? 'ink' : 'ink-2',
    });
  });
  const room = options.width - left - right;
  const ticks = valueTicks(x.min, x.max, Math.max(4, Math.floor(room / 34)));
  front.push({
    kind: 'axis',
    side: 'bottom',
    line: true,
    ticks: ticks.values.map((value) => ({
      at: value,
      label: value === 0 ? '0' : figureFormat.signed(value, ticks.decimals),
    })),
  });
  const shape = { top: 10, height, y } as const;
  const panes: Pane[] = [
    { ...shape, left: 0, width: options.width, x: { min: 0, max: options.width }, drawings: words },
    { ...shape, left, width: room, x, drawings: front },
  ];
  let group = '';
  return {
    title: options.title,
    summary: options.summary,
    panes,
    table: {
      head: [
        figureText('figure.table.group', {}),
        figureText('figure.table.name', {}),
        '%',
        figureText('figure.table.low', {}),
        figureText('figure.table.high', {}),
      ],
      numeric: [2, 3, 4],
      rows: rows.map((row) => {
        if (row.group !== '') group = row.group;
        const number = (value: number | null): string =>
          value === null ? '' : figureFormat.signed(value, Math.max(2, decimals));
        return [
          group,
          row.label,
          row.value === null ? (row.why ?? '') : number(row.value),
          number(row.low95),
          number(row.high95),
        ];
      }),
    },
  };
}

function zeroScale(rows: readonly IntervalRow[]): Scale {
  let low = 0;
  let high = 0;
  for (const row of rows) {
    for (const value of [row.value, row.low95, row.high95]) {
      if (value === null) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low === high) return { min: -1, max: 1 };
  const room = (high - low) * 0.08;
  return { min: Math.min(low - room, -0.15 * (high - low)), max: Math.max(high + room, 0.15 * (high - low)) };
}

/** Cuts a label that would run into the figure; the whole text is in the table form of the figure. */
function shortened(text: string, widthPx: number): string {
  const most = Math.floor(widthPx / 5.6);
  return text.length <= most ? text : `${text.slice(0, Math.max(1, most - 1))}…`;
}
