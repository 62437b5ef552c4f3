import { useEffect, useState } from 'react';
import { msPerMinute } from '#core/time/civil-time.ts';
import { useStatus } from './use-status.ts';

const stepMs = 15 * msPerMinute;

/**
 * The time that due dates are counted from, as civil time to the quarter of an hour (so that the question stays the
 * same and its answer can be kept). Never before the newest reading held: a clock that is behind would make everything
 * look early.
 */
export function useNow(): number | null {
  const status = useStatus();
  const [clock, setClock] = useState(quarterHour);
  useEffect(() => {
    const timer = setInterval(() => setClock(quarterHour()), msPerMinute);
    return () => clearInterval(timer);
  }, []);
  return status === null ? null : Math.max(clock, status.to ?? clock);
}

function quarterHour(): number {
  const now = new Date();
  return Math.floor((now.getTime() - now.getTimezoneOffset() * msPerMinute) / stepMs) * stepMs;
}
