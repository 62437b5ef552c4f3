/** One working of a study, and what its lines are put together from. */
import type { Working } from '../contract/models/study-model.ts';
import { plainDecimal, roundedText } from '../text/format.ts';
import { type Said, said } from '../text/said.ts';
import { type MathNode, num } from './math-node.ts';

/** One line of a working: the formula and the same with its numbers. */
export type Line = Working['lines'][number];

/** Decimals of indices in a working. */
export const indexDecimals = 3;

/** Caption of the line that gives the 95 % interval of a figure. */
export const interval = said('study.work.interval', {});

/** What a symbol stands for, from the catalogue. */
export const meaning = (what: string): Said => said('study.work.meaning', { what });

const method = (name: string): Said => said('study.work.method', { method: name });
const source = (name: string): Said => said('study.work.source', { source: name });
const title = (figure: string): Said => said('study.work.title', { figure });

/** Text of a value to some decimals, as a node. */
export const shown = (value: number, decimals: number): MathNode => num(roundedText(value, decimals));

/** One entry of the list of inputs; numbers are printed with every digit they have. */
export const input = (symbol: MathNode, value: number | string, what: string): Working['inputs'][number] => ({
  symbol,
  text: typeof value === 'number' ? plainDecimal(value) : value,
  meaning: meaning(what),
});

/** What most workings leave out. */
export interface Rest {
  readonly inputs?: Working['inputs'];
  readonly unmet?: readonly Said[];
  readonly fromReadings?: boolean;
}

/** Puts one working together; title, method and source come from the catalogue. */
export function work(
  figure: string,
  symbol: MathNode,
  value: number | null,
  lines: readonly Line[],
  methodName: string,
  sourceName: string,
  rest: Rest = {},
): Working {
  return {
    figure,
    title: title(figure),
    symbol,
    value,
    lines,
    inputs: rest.inputs ?? [],
    method: method(methodName),
    source: source(sourceName),
    unmet: rest.unmet ?? [],
    fromReadings: rest.fromReadings ?? true,
  };
}
