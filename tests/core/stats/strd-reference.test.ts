/** NIST StRD univariate and one-way sets; the digits reached (log relative error) stand in the titles. */
import { expect, test } from 'vitest';
import { oneWayAnova } from '#core/stats/compare-groups.ts';
import { sampleMoments } from '#core/stats/sample-moments.ts';
import { casesOf, digits, type ReferenceCase } from './reference-cases.ts';

function univariateValues(one: ReferenceCase): number[] {
  if (one.input.values) return one.input.values;
  if (one.input.digits) return [...one.input.digits].map(Number);
  const { first, then_repeat, times } = one.input.rule;
  const values: number[] = [first];
  for (let i = 0; i < times; i++) values.push(...then_repeat);
  return values;
}

/**
 * Digits the standard deviation can have. The data are decimals held in binary: at NumAcc3 and NumAcc4 (1 000 000.2,
 * 10 000 000.2 with s = 0.1) their rounding alone leaves about 9 and 8 digits to any computation in doubles.
 */
const deviationDigits: Record<string, number> = { NumAcc3: 9, NumAcc4: 8 };

for (const one of casesOf('strd-univariate.json')) {
  const moments = sampleMoments(univariateValues(one));
  const mean = digits(moments?.mean ?? Number.NaN, one.expect.mean);
  const s = digits(moments?.standardDeviation ?? Number.NaN, one.expect.sd_n_minus_1);
  test(`strd-univariate.json#${one.id}: digits of mean ${mean.toFixed(1)}, of s ${s.toFixed(1)}`, () => {
    expect(moments?.n).toBe(one.input.n);
    expect(mean).toBeGreaterThanOrEqual(13);
    expect(s).toBeGreaterThanOrEqual(deviationDigits[one.id] ?? 13);
  });
}

/** Groups of a set: as given, or written as decimal literals by its rule. */
function anovaGroups(one: ReferenceCase): number[][] {
  if (one.input.groups) return one.input.groups;
  const { n_per_group, base, center_offsets } = one.input.rule;
  const literal = (tenths: number): number => Number(`${base + Math.floor(tenths / 10)}.${tenths % 10}`);
  return center_offsets.map((offset: number) => {
    const center = Math.round(offset * 10);
    const values = [literal(center)];
    for (let i = 0; i < (n_per_group - 1) / 2; i++) values.push(literal(center - 1), literal(center + 1));
    return values;
  });
}

/**
 * Digits F can have when decimals are held in doubles (tests/reference/README.md: 14.5 to 15, 9 to 10 and 3 to 4 for a
 * good two-pass computation on the three difficulties).
 */
const anovaDigits = (id: string): number => {
  const set = Number(/^SmLs0(\d)/.exec(id)?.[1] ?? 0);
  if (set >= 7) return 2;
  if (set >= 4) return 8.5;
  return id === 'AtmWtAg' ? 8 : 12.5;
};

for (const one of casesOf('strd-anova.json')) {
  const result = oneWayAnova(anovaGroups(one));
  const F = result.ok ? digits(result.value.F, one.expect.F) : 0;
  test(`strd-anova.json#${one.id}: digits of F ${F.toFixed(1)}`, () => {
    expect(result.ok && result.value.betweenDf).toBe(one.expect.df_between);
    expect(result.ok && result.value.withinDf).toBe(one.expect.df_within);
    expect(F).toBeGreaterThanOrEqual(anovaDigits(one.id));
  });
}
