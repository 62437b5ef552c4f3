import { describe, expect, it } from 'vitest';
import { saysWhatHappened } from '#core/study/leave-out-reason.ts';

describe('a reason for leaving a reading out', () => {
  it.each([
    '',
    '   ',
    'outlier',
    'Outlier!',
    'an obvious outlier',
    'statistical outlier by Grubbs test',
    'too high',
    '???',
  ])('refuses "%s"', (reason) => expect(saysWhatHappened(reason)).toBe(false));
  it.each([
    'socket slipped off the nut',
    'wrong bolt length, replaced',
    'outlier: bolt was cross-threaded',
    'Gewinde beschädigt',
  ])('accepts "%s"', (reason) => expect(saysWhatHappened(reason)).toBe(true));
});
