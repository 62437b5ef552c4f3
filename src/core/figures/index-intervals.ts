/** Capability indices as dot and interval on one axis, the requirement as a tick on the row it applies to. */
import type { IndexRow } from '../contract/models/study-model.ts';
import type { Drawing, Figure, Pane, Scale } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

export interface IndexIntervalsOptions {
  readonly width: number;
  /** Height of a row in CSS pixels. */
  readonly rowHeight?: number;
  /** Name of the row that is set off; none: no row. */
  readonly selected?: string | null;
}

/** Pixels of the parts, for buttons laid over the rows. */
export interface IndexIntervalsLayout {
  readonly height: number;
  readonly rowHeight: number;
  /** Top of each row. */
  readonly rowTop: readonly number[];
}

const headHeight = 20;
const footHeight = 24;
const groupGap = 8;
/** Overall indices stand apart from those of the spread within groups. */
const overallNames: readonly string[] = ['Ppk', 'Pp', 'Cpm'];

/** Where the rows lie. */
export function indexIntervalsLayout(rows: readonly IndexRow[], options: IndexIntervalsOptions): IndexIntervalsLayout {
  const rowHeight = options.rowHeight ?? 27;
  const rowTop: number[] = [];
  let y = headHeight;
  rows.forEach((row, k) => {
    if (splitBefore(rows, k)) y += groupGap;
    rowTop.push(y);
    y += rowHeight;
    void row;
  });
  return { height: y + footHeight + 4, rowHeight, rowTop };
}

const splitBefore = (rows: readonly IndexRow[], k: number): boolean => {
  const before = rows[k - 1];
  const here = rows[k];
  return (
    before !== undefined &&
    here !== undefined &&
    overallNames.includes(before.name) !== overallNames.includes(here.name)
  );
};

/**
 * Builds the figure. A row without a value keeps its place and says so.
 *
 * @param rows in the order drawn, top first
 */
export function indexIntervals(rows: readonly IndexRow[], options: IndexIntervalsOptions): Figure {
  const layout = indexIntervalsLayout(rows, options);
  const { width } = options;
  const left = 112;
  const right = 100;
  const x = indexScale(rows);
  // One unit of the vertical scale is one pixel, counted downwards from the top of the first row.
  const bottom = layout.height - footHeight;
  const y: Scale = { min: bottom - headHeight, max: 0 };
  const rowMiddle = (k: number): number => (layout.rowTop[k] ?? 0) + layout.rowHeight / 2 - headHeight;
  const back: Drawing[] = [];
  const front: Drawing[] = [];
  const words: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.indices.interval-head', {}),
      x: width,
      y: 0,
      dyPx: -10,
      align: 'right',
      colour: 'ink-3',
    },
  ];
  rows.forEach((row, k) => {
    const at = rowMiddle(k);
    const chosen = row.name === options.selected;
    if (chosen) {
      back.push({
        kind: 'rects',
        colour: 'you-wash',
        rects: [{ x0: -8, x1: width + 8, y0: at - layout.rowHeight / 2, y1: at + layout.rowHeight / 2 }],
      });
      back.push({
        kind: 'rects',
        colour: 'you',
        rects: [{ x0: -8, x1: -6, y0: at - layout.rowHeight / 2, y1: at + layout.rowHeight / 2 }],
      });
    }
    if (splitBefore(rows, k)) {
      back.push({ kind: 'rule', across: 'x', at: at - layout.rowHeight / 2 - groupGap / 2, colour: 'rule' });
    }
    words.push({ kind: 'text', text: row.name, x: 2, y: at, size: 13, strong: true, colour: 'ink' });
    if (row.value === null) {
      words.push({
        kind: 'text',
        text: figureText('figure.indices.none', {}),
        x: width,
        y: at,
        size: 12,
        align: 'right',
        colour: 'ink-3',
      });
      return;
    }
    words.push({
      kind: 'text',
      text: figureFormat.number(row.value, 2),
      x: 86,
      y: at,
      size: 15,
      strong: true,
      align: 'right',
      // An index that would hold only if the process were stable stands back.
      colour: row.holds ? 'ink' : 'ink-2',
    });
    const colour = chosen ? 'ink' : 'inside';
    if (row.low95 !== null && row.high95 !== null) {
      front.push({
        kind: 'segments',
        x0: [row.low95],
        x1: [row.high95],
        y0: [at],
        y1: [at],
        colour,
        width: 2,
        ...(row.holds ? {} : { dash: [4, 2] }),
      });
    }
    front.push(
      row.holds
        ? { kind: 'dots', x: [row.value], y: [at], colour, radius: 4 }
        : { kind: 'marks', mark: 'outside-control', x: [row.value], y: [at], colour, size: 8 },
    );
    words.push({
      kind: 'text',
      text:
        row.low95 === null || row.high95 === null
          ? figureText('figure.indices.no-interval', {})
          : figureText('figure.indices.interval', { low95: row.low95, high95: row.high95 }),
      x: width,
      y: at,
      size: 12,
      align: 'right',
      colour: chosen ? 'ink' : 'ink-2',
    });
  });
  rows.forEach((row, k) => {
    if (row.required === null) return;
    const at = rowMiddle(k);
    front.push({
      kind: 'rule',
      across: 'y',
      at: row.required,
      from: at + layout.rowHeight / 2,
      to: k === 0 ? -2 : at - layout.rowHeight / 2,
      colour: 'ink',
      width: 2,
    });
    front.unshift({ kind: 'rule', across: 'y', at: row.required, colour: 'rule-2', dash: [1, 3] });
    front.push({
      kind: 'text',
      text: figureText('figure.indices.required', { value: row.required, name: row.name }),
      x: row.required,
      y: 0,
      dyPx: -10,
      align: requiredAlign(row.required, x),
      strong: true,
      colour: 'ink',
    });
  });
  const ticks = valueTicks(x.min, x.max, Math.max(3, Math.floor((width - left - right) / 64)));
  const decimals = Math.max(1, ticks.decimals);
  front.push({
    kind: 'axis',
    side: 'bottom',
    line: true,
    ticks: ticks.values.map((value) => ({ at: value, label: figureFormat.number(value, decimals) })),
  });
  const shape = { top: headHeight, height: bottom - headHeight, y } as const;
  const panes: Pane[] = [
    { ...shape, left: 0, width, x: { min: 0, max: width }, drawings: [...back, ...words] },
    { ...shape, left, width: width - left - right, x, drawings: front },
  ];
  return {
    title: figureText('figure.indices.title', {}),
    summary: figureText('figure.indices.summary', {
      items: rows.flatMap((row) =>
        row.value === null
          ? []
          : [
              figureText('figure.indices.item', {
                name: row.name,
                value: row.value,
                low95: row.low95,
                high95: row.high95,
                required: row.required,
              }),
            ],
      ),
    }),
    panes,
    table: {
      head: [
        figureText('figure.table.index', {}),
        figureText('figure.table.value', {}),
        figureText('figure.table.low', {}),
        figureText('figure.table.high', {}),
        figureText('figure.table.required', {}),
        figureText('figure.table.note', {}),
      ],
      numeric: [1, 2, 3, 4],
      rows: rows.map((row) => [
        row.name,
        row.value === null ? '' : figureFormat.number(row.value, 2),
        row.low95 === null ? '' : figureFormat.number(row.low95, 2),
        row.high95 === null ? '' : figureFormat.number(row.high95, 2),
        row.required === null ? '' : figureFormat.number(row.required, 2),
        row.note === null ? '' : figureSay(row.note),
      ]),
    },
  };
}

const requiredAlign = (required: number, x: Scale): 'left' | 'center' | 'right' => {
  const share = (required - x.min) / (x.max - x.min);
  return share < 0.2 ? 'left' : share > 0.8 ? 'right' : 'center';
};

/** Every value, interval end and requirement lies inside, with some room. */
function indexScale(rows: readonly IndexRow[]): Scale {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const row of rows) {
    for (const value of [row.value, row.low95, row.high95, row.value === null ? null : row.required]) {
      if (value === null) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low > high) {
    const required = rows.find((row) => row.required !== null)?.required ?? 1;
    return { min: required - 0.5, max: required + 0.5 };
  }
  const room = Math.max(0.05, (high - low) * 0.1);
  return { min: low - room, max: high + room };
}
