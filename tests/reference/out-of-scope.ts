/** Reference cases that no test runs, each with its reason; the one place where they are listed. */
const reasons: readonly (readonly [RegExp, string])[] = [
  // distributions.json
  [
    /^distributions\.json#p?q?t\(x, df=[\d.]+, ncp=/,
    'noncentral t: no figure uses it (definitions 8 take Bissell for one-sided limits)',
  ],
  [/^distributions\.json#[pq]tukey/, 'studentized range: no figure uses it'],
  [/^distributions\.json#tolerance-/, 'tolerance intervals: no figure of the definitions'],
  [/^distributions\.json#lgamma/, 'the library function is used as it is; checked through c4 and the gamma model'],
  // capability.json
  [/^capability\.json#(boxcox|nist-boxcox)/, 'Box-Cox transformation is not offered (definitions 9)'],
  [
    /^capability\.json#montgomery-cp-ci$/,
    'printed from rounded chi-square table values of the book; its exact twin is ci-n20-*',
  ],
  // normality.json
  [/^normality\.json#nist-ad-example$/, 'data not available; the reference file says not to test against it'],
  [/^normality\.json#ad-critical-normal$/, 'critical values, from memory: p is computed instead (1986 formula)'],
  // outliers.json
  [/^outliers\.json#nist-tietjen-moore$/, 'Tietjen-Moore test is not offered'],
  [/^outliers\.json#nist-7\.1\.6-fences$/, 'quartile fences are not offered; type 6 quantiles are tested elsewhere'],
  // anova-gauge.json
  [
    /^anova-gauge\.json#(nist-bartlett-gear|msa-gauge|type1-gauge)/,
    'Bartlett and gauge studies: no figure (definitions 17: no gauge study from dumps)',
  ],
  [
    /^anova-gauge\.json#(tukey-PlantGrowth|ttest-zarr13|nist-f-test-ceramic|f-test-ceramic-exact|mann-whitney-743)$/,
    'test not used by any figure',
  ],
  // charts.json
  [/^charts\.json#rules-definitions-/, 'definitions without numbers'],
  [
    /^charts\.json#arl-weco-[123]*4/,
    'rest on a run of 8 on one side; ours is 9 (Nelson 1984). Those without that rule are run',
  ],
  // definitions-tool.json: checks, due dates, collection
  [
    /^definitions-tool\.json#(deviation-|check-|due-|crossing-forecast|collection-|in-question)/,
    'run by the tests of the drift part',
  ],
  // strd-linreg.json: straight lines are fitted by the drift part only
  [/^strd-linreg\.json#/, 'straight lines are fitted by the drift part only'],
];

/** The reason why a case `file#id` is not run; null: it must be. */
export function outOfScope(name: string): string | null {
  return reasons.find(([pattern]) => pattern.test(name))?.[1] ?? null;
}
