/** Readings written in a random layout come back equal, or the file asks a question that its layout justifies. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Written, writtenDump } from './layout-generator.ts';
import { addsUp, physicalLines, readText } from './read-text.ts';

const runs = Number(process.env.INTAKE_RUNS ?? 3000);
const seed = Number(process.env.INTAKE_SEED ?? 20_261_126);

test(`reads back ${runs} random layouts (seed ${seed})`, { timeout: 600_000 }, async () => {
  console.info(`round trip: ${runs} layouts, seed ${seed}`);
  let asked = 0;
  await fc.assert(
    fc.asyncProperty(writtenDump, fc.constantFrom(0, 1, 7, 64), async (written, piece) => {
      const result = await readText(written.text, piece > 0 ? { pieceBytes: piece * 13 } : {});
      asked += result.reading.questions.length > 0 ? 1 : 0;
      check(written, result);
      // What the file leaves open is asked, never guessed.
      const ids = result.reading.questions.map((question) => question.id);
      expect(ids.includes('date-order'), written.seed).toBe(written.orderIsOpen);
      expect(ids.includes('decimal-mark'), written.seed).toBe(written.markIsOpen);
      // The same file with the questions answered: everything is equal.
      if (result.reading.questions.length > 0) {
        const answers: Record<string, string> = {};
        for (const question of result.reading.questions) {
          if (question.id === 'date-order')
            answers['date-order'] = written.seed.includes('"date":"mdy/"') ? 'mdy' : 'dmy';
          if (question.id === 'decimal-mark')
            answers['decimal-mark'] = written.seed.includes('"mark":","') ? 'comma' : 'point';
        }
        const again = await readText(written.text, { answers });
        expect(again.reading.questions.map((question) => question.id)).toEqual([]);
        check(written, again);
        expectEqual(written, again);
      }
    }),
    { numRuns: runs, seed, endOnFailure: false },
  );
  console.info(`round trip: ${asked} of ${runs} asked, all of them with a reason`);
});

function check(written: Written, result: Awaited<ReturnType<typeof readText>>): void {
  const { reading } = result;
  expect(reading.problem, written.seed).toBeNull();
  expect(addsUp(reading)).toBe(true);
  expect(reading.lineTotal).toBe(physicalLines(written.text.replace(/^\ufeff/, '')));
  const ids = reading.questions.map((question) => question.id);
  for (const id of ids) {
    expect(['date-order', 'decimal-mark'], `${id} ${written.seed}`).toContain(id);
  }
  if (ids.includes('date-order')) expect(written.orderIsOpen, written.seed).toBe(true);
  if (ids.includes('decimal-mark')) expect(written.markIsOpen, written.seed).toBe(true);
  for (const question of reading.questions) {
    expect(question.choices.length).toBeGreaterThan(1);
    for (const choice of question.choices) expect(choice.evidence.length).toBeGreaterThan(0);
  }
  if (ids.length === 0) expectEqual(written, result);
}

function expectEqual(written: Written, result: Awaited<ReturnType<typeof readText>>): void {
  expect(result.rejected, written.seed).toEqual([]);
  const rows = result.rows.map((row) => ({
    at: row.at,
    torque: row.torque,
    angle: row.angle,
    tool: row.tool,
    joint: row.joint,
    operator: row.operator,
    own: row.own,
  }));
  expect(rows, written.seed).toEqual(written.truth);
  expect(new Set(result.rows.map((row) => row.unit)), written.seed).toEqual(new Set([written.unit]));
}
