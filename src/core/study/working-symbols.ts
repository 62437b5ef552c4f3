/** Symbols that several workings of a study share. */
import { sym } from './math-node.ts';

export const U = sym('U');
export const L = sym('L');
export const s = sym('s');
export const n = sym('n');
export const nu = sym('ν');
