/**
 * The machine's wall clock as civil time: the one place where a zone plays a part.
 *
 * @param ms since 1970 UTC; absent: now
 */
export function civilNow(ms: number = Date.now()): number {
  return ms - new Date(ms).getTimezoneOffset() * 60_000;
}
