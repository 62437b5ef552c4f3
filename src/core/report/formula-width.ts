/** How wide a formula is set, in average characters: parts of a fraction lie over each other. */
import type { MathNode } from '../contract/models/study-model.ts';

/** An estimate good enough to decide between one line and two. */
export function formulaWidth(node: MathNode): number {
  switch (node.kind) {
    case 'symbol':
    case 'number':
      return node.text.length;
    case 'operator':
      return node.text.length + 1;
    case 'words':
      return node.text.length * 0.9 + 1;
    case 'row':
      return node.of.reduce((sum, part) => sum + formulaWidth(part), 0);
    case 'fraction':
      return Math.max(formulaWidth(node.over), formulaWidth(node.under)) * 0.9 + 0.5;
    case 'root':
      return formulaWidth(node.of) + 1.5;
    case 'power':
      return formulaWidth(node.base) + formulaWidth(node.exponent) * 0.7;
    case 'index':
      return formulaWidth(node.base) + formulaWidth(node.below) * 0.7;
  }
}
