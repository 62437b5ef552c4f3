import { msPerDay } from './civil-time.ts';

/**
 * A civil time before this comes from a clock that was never set: 1 January 2005. Tools of this trade restart at 1970,
 * 1980 or 2000 after their battery was changed (common practice, no source).
 */
export const clockSetFrom = 12_784 * msPerDay;
