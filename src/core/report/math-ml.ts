/** Formulas as MathML (W3C MathML Core): read by browsers and by word processors, spoken by screen readers. */
import type { MathNode } from '../contract/models/study-model.ts';
import { escapeMarkup } from './escape-markup.ts';

/** One formula as a `math` element. */
export function mathMl(node: MathNode, display: 'block' | 'inline' = 'block'): string {
  return `<math xmlns="http://www.w3.org/1998/Math/MathML" display="${display}">${inner(node)}</math>`;
}

function inner(node: MathNode): string {
  switch (node.kind) {
    case 'symbol': {
      const letter = `<mi>${escapeMarkup(node.text)}</mi>`;
      if (!node.over) return letter;
      return `<mover accent="true">${letter}<mo stretchy="false">${node.over === 'bar' ? '¯' : '^'}</mo></mover>`;
    }
    case 'number':
      return `<mn>${escapeMarkup(node.text)}</mn>`;
    case 'operator':
      return `<mo>${escapeMarkup(node.text)}</mo>`;
    case 'words':
      // MathML drops blanks at the ends of a text; those before and after a word must stay.
      return `<mtext>${escapeMarkup(node.text.replace(/^ | $/g, '\u00a0'))}</mtext>`;
    case 'row':
      return `<mrow>${node.of.map((part, i) => apart(part, i, node.of.length)).join('')}</mrow>`;
    case 'fraction':
      return `<mfrac>${boxed(node.over)}${boxed(node.under)}</mfrac>`;
    case 'root':
      return `<msqrt>${inner(node.of)}</msqrt>`;
    case 'power':
      return `<msup>${boxed(node.base)}${boxed(node.exponent)}</msup>`;
    case 'index':
      return `<msub>${boxed(node.base)}${boxed(node.below)}</msub>`;
  }
}

/** Words within a row stand apart from their neighbours; MathML drops plain blanks at the ends of a text. */
function apart(node: MathNode, index: number, count: number): string {
  if (node.kind !== 'words') return inner(node);
  const before = index > 0 ? '\u00a0' : '';
  const after = index < count - 1 ? '\u00a0' : '';
  return `<mtext>${before}${escapeMarkup(node.text.trim())}${after}</mtext>`;
}

/** A fraction or power takes exactly one element a place. */
const boxed = (node: MathNode): string => (node.kind === 'row' ? inner(node) : `<mrow>${inner(node)}</mrow>`);
