/** Words at the right of a strip. */
import type { Drawing, TextStyle } from './figure.ts';

/** Lines of words one under the other, at the right end of the strip: `x`, `y` in data units, the first `first` pixels below. */
export const rightWords = (
  lines: readonly { text: string; style: TextStyle }[],
  y: number,
  x: number,
  first: number,
): readonly Drawing[] =>
  lines.map(({ text, style }, k) => ({
    kind: 'text',
    colour: 'ink-3',
    ...style,
    text,
    x,
    y,
    dxPx: 12,
    dyPx: first + 14.5 * k,
  }));
