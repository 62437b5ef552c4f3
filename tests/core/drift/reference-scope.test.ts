import { expect, test } from 'vitest';
import { referenceCases } from './reference.ts';

/** Cases of the reference files that the tests of this folder do not run, and why. */
const elsewhere: Record<string, [RegExp, string][]> = {
  'definitions-drift.json': [],
  'definitions-tool.json': [
    [/^(guard-band|proof-|accuracy-ratio|ppk-at-permitted-error)/, 'guard band, proof and ratios: tests of the study'],
    [/^collection-/, 'what a memory may hold: tests of the review'],
  ],
  'trend.json': [
    [/^correlation-/, 'correlation coefficients: the program computes none'],
    [/^nist-(runs|acf)-lew$/, 'runs test and autocorrelation plot: the program has neither'],
  ],
  'tools.json': [
    [/^type2-class-a-limits$/, 'a fact of the standard, not computed: the plant enters the permissible deviation'],
    [/^structure-2017$/, 'titles of standards, nothing to compute'],
    [/^(limits-by-class-2017|readings-per-point)$/, 'from memory, standard not opened: must not be test truth'],
  ],
};

/** Cases that tests of this folder name in their titles. */
const here: Record<string, RegExp> = {
  'definitions-drift.json':
    /^(rank-of-tools|trend-pin_|change-pin_|ewma-pin_|effects|move-after-block-6|variance-inflation|designs|untangle|tangled|lane-moved|angle-lane)/,
  'definitions-tool.json': /^(deviation-|check-|due-|crossing-forecast|in-question)/,
  'trend.json':
    /^(nile|lakehuron|nhtemp|strd_|nist_zarr13|montgomery_cusum|nist_flowrate|airquality_wind|nile-pettitt-1898|mk-)/,
  'tools.json': /^(recalibration-default|deviation-)/,
};

for (const [file, known] of Object.entries(elsewhere)) {
  test(`every case of ${file} is run here or has a reason`, () => {
    const open = referenceCases(file)
      .map((one) => one.id)
      .filter((id) => !here[file]!.test(id) && !known.some(([pattern]) => pattern.test(id)));
    expect(open).toEqual([]);
  });
}
