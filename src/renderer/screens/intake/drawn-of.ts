import type { WouldAdd } from '#core/contract/models/intake-model.ts';

/** Readings that the panels draw, of those that they stand for; fewer where a day holds more than can be told apart. */
export function drawnOf(wouldAdd: Pick<WouldAdd, 'days' | 'untimed'>): { readonly drawn: number; readonly of: number } {
  const panels = wouldAdd.untimed ? [...wouldAdd.days, wouldAdd.untimed] : wouldAdd.days;
  return {
    drawn: panels.reduce((sum, panel) => sum + panel.at.length, 0),
    of: panels.reduce((sum, panel) => sum + panel.count, 0),
  };
}

/** So many panels a column of the screen has room for, each with its hours. */
const mostDays = 7;

/** The picture with the first days alone; the others are counted. */
export function firstDays(wouldAdd: WouldAdd): WouldAdd {
  const { days, moreDays } = wouldAdd;
  if (days.length <= mostDays) return wouldAdd;
  return { ...wouldAdd, days: days.slice(0, mostDays), moreDays: moreDays + days.length - mostDays };
}
