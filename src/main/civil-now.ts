/** The machine's wall clock as civil time: the one place where a zone plays a part. */
export function civilNow(clock: Date = new Date()): number {
  return clock.getTime() - clock.getTimezoneOffset() * 60_000;
}
