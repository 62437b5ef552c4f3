/** Which readings a question is about. The same scope is shared by Review, Drift and Readings and by the command line. */
export interface Scope {
  /** Civil ms, inclusive; null: open. With `shift`, the first day on which an occurrence may start. */
  readonly from: number | null;
  /** Civil ms, exclusive; null: open. */
  readonly to: number | null;
  /** Names as the register writes them; empty: all. */
  readonly shifts: readonly string[];
  readonly joints: readonly string[];
  readonly tools: readonly string[];
  readonly operators: readonly string[];
}

/** The scope that leaves nothing out. */
export const everything: Scope = { from: null, to: null, shifts: [], joints: [], tools: [], operators: [] };
