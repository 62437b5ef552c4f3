/** A real clock's time (ms since 1970 UTC) as the civil time of this computer, for printing. */
export function localTime(ms: number): number {
  return ms - new Date(ms).getTimezoneOffset() * 60_000;
}
