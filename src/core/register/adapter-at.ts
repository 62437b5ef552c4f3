import type { AdapterPeriod, Tool } from './register.ts';

/**
 * The adapter that was on a tool at a time: from its start on, until it was taken off (exclusive).
 *
 * @param at civil ms; NaN: a reading without a time, which has the adapter of its tool only where there is exactly one
 */
export function adapterAt(tool: Pick<Tool, 'adapters'>, at: number): AdapterPeriod | null {
  const { adapters } = tool;
  if (Number.isNaN(at)) return adapters.length === 1 ? (adapters[0] ?? null) : null;
  return adapters.findLast((one) => at >= one.from && at < (one.to ?? Number.POSITIVE_INFINITY)) ?? null;
}
