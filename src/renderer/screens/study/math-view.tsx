import { createElement, type ReactNode } from 'react';
import type { MathNode } from '#core/contract/models/study-model.ts';

/** A formula as MathML, which browsers set and screen readers speak. */
export function MathView({ of, block = true }: { of: MathNode; block?: boolean }): ReactNode {
  return createElement('math', { display: block ? 'block' : 'inline' }, element(of, 0));
}

function element(node: MathNode, key: number): ReactNode {
  switch (node.kind) {
    case 'symbol': {
      const letter = createElement('mi', { key }, node.text);
      if (!node.over) return letter;
      const mark = createElement('mo', { stretchy: 'false' }, node.over === 'bar' ? '¯' : '^');
      return createElement('mover', { key, accent: 'true' }, createElement('mi', null, node.text), mark);
    }
    case 'number':
      return createElement('mn', { key }, node.text);
    case 'operator':
      return createElement('mo', { key }, node.text);
    case 'words':
      // MathML drops blanks at the ends of a text; those before and after a word must stay.
      return createElement('mtext', { key }, node.text.replace(/^ | $/g, '\u00a0'));
    case 'row':
      return createElement('mrow', { key }, ...node.of.map(element));
    case 'fraction':
      return createElement('mfrac', { key, displaystyle: 'true' }, boxed(node.over), boxed(node.under));
    case 'root':
      return createElement('msqrt', { key }, element(node.of, 0));
    case 'power':
      return createElement('msup', { key }, boxed(node.base), boxed(node.exponent));
    case 'index':
      return createElement('msub', { key }, boxed(node.base), boxed(node.below));
  }
}

/** A fraction or power takes exactly one element a place. */
const boxed = (node: MathNode): ReactNode =>
  node.kind === 'row' ? element(node, 0) : createElement('mrow', null, element(node, 0));
