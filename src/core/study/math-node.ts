/** Builders of formulas as data, and their plain text. */
import type { MathNode } from '../contract/models/study-model.ts';

export type { MathNode };

/** An italic letter or name. */
export const sym = (text: string, over?: 'bar' | 'hat'): MathNode =>
  over ? { kind: 'symbol', text, over } : { kind: 'symbol', text };
export const num = (text: string | number): MathNode => ({ kind: 'number', text: String(text).replace('-', '−') });
export const op = (text: string): MathNode => ({ kind: 'operator', text });
export const words = (text: string): MathNode => ({ kind: 'words', text });
export const frac = (over: MathNode, under: MathNode): MathNode => ({ kind: 'fraction', over, under });
export const root = (of: MathNode): MathNode => ({ kind: 'root', of });
export const power = (base: MathNode, exponent: MathNode | string): MathNode => ({
  kind: 'power',
  base,
  exponent: typeof exponent === 'string' ? num(exponent) : exponent,
});
export const sub = (base: MathNode, below: MathNode | string): MathNode => ({
  kind: 'index',
  base,
  below: typeof below === 'string' ? words(below) : below,
});
/** A row; strings become operators. */
export const row = (...of: readonly (MathNode | string)[]): MathNode => ({
  kind: 'row',
  of: of.map((part) => (typeof part === 'string' ? op(part) : part)),
});

/** The mean, x with a bar. */
export const xBar = sym('x', 'bar');
export const sigmaHat = sym('σ', 'hat');

/** A formula as one line of text, with the brackets that the layout makes unnecessary. */
export function mathText(node: MathNode): string {
  switch (node.kind) {
    case 'symbol':
      return node.over === 'bar' ? `${node.text}\u0304` : node.over === 'hat' ? `${node.text}\u0302` : node.text;
    case 'number':
    case 'words':
      return node.text;
    case 'operator':
      return /^[(),;]$/.test(node.text) ? node.text : ` ${node.text} `;
    case 'row':
      return node.of.map(mathText).join('').replace(/ {2,}/g, ' ').replace(/, ?/g, ', ').trim();
    case 'fraction':
      return `${bracketed(node.over)}/${bracketed(node.under)}`;
    case 'root':
      return `√(${mathText(node.of)})`;
    case 'power':
      return `${bracketed(node.base)}^${bracketed(node.exponent)}`;
    case 'index':
      return `${mathText(node.base)}_${mathText(node.below)}`;
  }
}

function bracketed(node: MathNode): string {
  const text = mathText(node);
  if (node.kind === 'row' && isOperator(node.of[0], '(') && isOperator(node.of[node.of.length - 1], ')')) return text;
  return node.kind === 'row' || /[\s/]/.test(text) ? `(${text})` : text;
}

const isOperator = (node: MathNode | undefined, text: string): boolean =>
  node?.kind === 'operator' && node.text === text;
