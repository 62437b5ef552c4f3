/** What was found or answered for a layout is reused for the next file of that layout, and never forced on one it does not fit. */
import { expect, test } from 'vitest';
import { type Recipe, recipeSchema } from '../../../src/core/intake/recipe.ts';
import { say } from '../../../src/core/text/said.ts';
import { readText } from './read-text.ts';

const layout = (first: string, second: string): string =>
  `Date;Tool;Torque;Text\n${first};T-411;24,81;a\n${second};T-411;24,7;b\n`;
const answers = { 'date-order': 'mdy', 'torque-unit': 'lbf.ft', joint: 'Crank arm', 'role:4': 'note' };

async function saved(): Promise<Recipe> {
  const { reading } = await readText(layout('05/03/2026', '06/03/2026'), { answers });
  expect(reading.questions).toEqual([]);
  return recipeSchema.parse(JSON.parse(JSON.stringify(reading.recipe)));
}

test('answers are kept under the fingerprint and used at once for the next file', async () => {
  const recipe = await saved();
  expect(recipe).toMatchObject({ dateOrder: 'mdy', unit: 'lbf.ft', joint: { from: 'answer', value: 'Crank arm' } });
  const asked: string[] = [];
  const { reading, rows } = await readText(layout('07/08/2026', '07/09/2026'), {
    recipeFor: (fingerprint) => {
      asked.push(fingerprint);
      return fingerprint === recipe.fingerprint ? recipe : null;
    },
  });
  expect(asked).toEqual([recipe.fingerprint]);
  expect(reading.questions).toEqual([]);
  expect(rows[0]).toMatchObject({ at: '2026-07-08', unit: 'lbf.ft', joint: 'Crank arm', tool: 'T-411', note: 'a' });
  expect(reading.recipeInfo?.used).toBe(true);
  expect(say(reading.recipeInfo!.said!)).toBe('Read as saved for these columns ("dump").');
});

test('a file that refutes the recipe is read without it, says so and asks', async () => {
  const recipe = await saved();
  const { reading, rows, passes } = await readText(layout('14/08/2026', '07/09/2026'), { recipeFor: () => recipe });
  expect(passes).toBe(2);
  expect(reading.recipeInfo).toMatchObject({ used: false });
  expect(say(reading.recipeInfo!.said!)).toContain('does not fit this file any more');
  expect(reading.layout?.dateOrder).toBe('dmy');
  expect(reading.questions.map((card) => card.id)).toEqual(['torque-unit', 'joint']);
  expect(rows[0]?.at).toBe('2026-08-14');
});

test('an answer wins over the recipe', async () => {
  const recipe = await saved();
  const { rows } = await readText(layout('07/08/2026', '07/09/2026'), {
    recipeFor: () => recipe,
    answers: { 'date-order': 'dmy' },
  });
  expect(rows[0]?.at).toBe('2026-08-07');
});

test('the fingerprint tells layouts apart and files of one layout not', async () => {
  const of = async (text: string): Promise<string | undefined> => (await readText(text)).reading.recipe?.fingerprint;
  const first = await of(layout('05/03/2026', '06/03/2026'));
  expect(await of(layout('15/03/2026', '06/04/2026'))).toBe(first);
  expect(await of(layout('05/03/2026', '06/03/2026').replaceAll(';', '|'))).not.toBe(first);
  expect(await of(layout('05/03/2026', '06/03/2026').replace('Text', 'Memo'))).not.toBe(first);
});

test('a file that names its tool in its own name keeps that rule, not the name', async () => {
  const text = 'Date;Joint;Torque [Nm]\n2026-03-05;Stem;24,81\n';
  const first = await readText(text, { name: 'T-411 monday.csv', answers: { tool: 'T-411' } });
  const { recipe } = first.reading;
  expect(recipe?.tool).toEqual({ from: 'file-name' });
  const second = await readText(text, { name: 'T-207 monday.csv', recipeFor: () => recipe });
  expect(second.reading.questions).toEqual([]);
  expect(second.rows[0]?.tool).toBe('T-207');
  // Without a name in the file name it is asked again: another wrench has the same layout.
  const third = await readText(text, { name: 'monday.csv', recipeFor: () => recipe });
  expect(third.reading.questions.map((card) => card.id)).toEqual(['tool']);
});
