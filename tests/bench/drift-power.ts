/**
 * `npm run bench:drift [-- --plants N]`: how often the drift analysis finds what is planted, in the right lane, and how
 * often it cries wolf; over simulated plants (at least 500 in all), seeds 1, 2, 3 ...
 *
 * Each rate is printed with its 95 % Wilson interval.
 */
import { parseArgs } from 'node:util';
import { countOutcomes, meanText, outcomeKinds, rateText } from './drift-outcomes.ts';

const { values } = parseArgs({ args: process.argv.slice(2), options: { plants: { type: 'string', default: '120' } } });
const each = Number(values.plants);

const started = performance.now();
let plants = 0;
const falseShares: Record<'own' | 'response', number[]> = { own: [], response: [] };
for (const kind of outcomeKinds) {
  const counts = countOutcomes(kind, each, 1);
  plants += each;
  console.log(`\n${kind.name}: ${kind.about} (${each} plants)`);
  for (const line of counts.lines) console.log(`  ${line.what.padEnd(74)} ${rateText(line.count, line.of)}`);
  for (const lane of ['own', 'response'] as const) {
    console.log(`  ${`false discovery rate, ${lane}`.padEnd(74)} ${meanText(counts.falseShares[lane])}`);
    falseShares[lane].push(...counts.falseShares[lane]);
  }
  if (kind.name === 'none') {
    const { seen, expected } = counts.alarms;
    console.log(
      `  ${'EWMA alarms of own readings: seen; at most expected'.padEnd(74)} ${seen}; ${expected.toFixed(1)}`,
    );
  }
  if (kind.name === 'stop') {
    console.log(
      '  A tool stopped 4 % early is read at another torque: the doubt of the slope of angle on torque, fitted on a short\n' +
        '  baseline, lets the response lane take part of it for a move. Definitions 16 state about 10 % of such plants; the\n' +
        '  5 % of Benjamini-Hochberg hold for lanes in which nothing differs but chance, and over all plants together.',
    );
  }
}
console.log(`\nAll ${plants} plants together`);
for (const lane of ['own', 'response'] as const) {
  console.log(`  ${`false discovery rate, ${lane} (5 % stated)`.padEnd(74)} ${meanText(falseShares[lane])}`);
}
console.log(`\n${((performance.now() - started) / 1000).toFixed(0)} s`);
