/** Intake and Register in a real browser: dumps dropped and asked about, taken in and undone; limits, names, checks. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

const sample = path.join(root, 'sample-data');
const dumps = readdirSync(path.join(sample, 'dumps')).sort();
let application: Application;
let page: Page;

beforeAll(async () => {
  application = await startApplication();
  page = application.page;
  await page.waitForSelector('.top-bar');
});

afterAll(async () => {
  await application?.close();
});

/** Thin spaces and word joiners of the screen taken out. */
const plain = (text: string | null): string => (text ?? '').replace(/[\u2060\u2009\u00a0]/g, '');
const words = async (place: Locator): Promise<string> => plain(await place.first().textContent());
const heading = (): Promise<string> => words(page.locator('main h1'));
const told = (): Promise<string> => words(page.locator('.intake-told, .register-told'));
/** An expectation that may take a moment: two cores may be busy with other things. */
const soon = <T>(what: () => Promise<T>, timeout = 15_000) => expect.poll(what, { timeout });
const go = (key: string): Promise<void> => page.keyboard.press(key);
const entry = (name: string): Locator => page.locator('.register .entry', { hasText: name }).first();

describe('Register, before anything is held', () => {
  it('says that it is empty, and refuses a file that is no register with a sentence', async () => {
    await go('6');
    await soon(heading).toMatch(/The register is empty/);
    const place = path.join(application.folder, 'wrong.json');
    writeFileSync(place, '{"joints":[{"name":"X","colour":"red"}]}');
    await page.setInputFiles('[data-testid=register-file]', place);
    await soon(() => words(page.locator('.edit-form'))).toMatch(/key "colour" is not known/);
    expect(await page.getByRole('button', { name: 'Take it in' }).isDisabled()).toBe(true);
    await page.getByRole('button', { name: 'Cancel' }).click();
  });

  it('takes a register file in after saying what it would change', async () => {
    await page.setInputFiles('[data-testid=register-file]', path.join(sample, 'register.json'));
    await soon(() => words(page.locator('.edit-form'))).toMatch(/new joint Rear axle nut/);
    await page.getByRole('button', { name: 'Take it in' }).click();
    await soon(told).toMatch(/register\.json was taken in/);
    await soon(() => page.locator('.register .entry', { hasText: 'T-' }).count()).toBeGreaterThan(7);
  });
});

describe('Intake', () => {
  it('reads many files as one queue and takes them in at one press, each line in one part', async () => {
    await go('1');
    await page.setInputFiles(
      '[data-testid=files]',
      dumps.map((file) => path.join(sample, 'dumps', file)),
    );
    const accept = page.getByRole('button', { name: `Accept all ${dumps.length} that are ready` });
    await accept.waitFor({ timeout: 60_000 });
    await accept.click();
    await expect
      .poll(told, { timeout: 60_000 })
      .toMatch(/^21 files taken in: 11999 readings new, 3375 held already, 3/);
    await soon(heading).toMatch(/11999 readings from 21 files/);
  });

  it('undoes one file and brings it back', async () => {
    const row = page.locator('.imported .queue-item', { hasText: 'T-410_2026-11-24' });
    await row.getByRole('button', { name: /^Undo/ }).click();
    await soon(told).toMatch(/634 readings out of force/);
    await soon(heading).toMatch(/11365 readings from 20 files/);
    await row.getByRole('button', { name: /^Bring back/ }).click();
    await soon(told).toMatch(/634 readings in force again/);
  });

  it('refuses what is no dump in one sentence, and goes on', async () => {
    await page.setInputFiles('[data-testid=files]', path.join(sample, 'to-try', 'canteen menu.csv'));
    await soon(heading).toMatch(/No column of this file can be a torque/);
    await page.getByRole('button', { name: 'Leave aside' }).click();
    await soon(() => page.locator('.queue-open').count()).toBe(0);
  });

  it('asks what the file cannot say; keys choose without leaving the screen; nothing is applied before a press', async () => {
    await page.setInputFiles('[data-testid=files]', path.join(sample, 'to-try', 'loan wrench T-221.csv'));
    await page.waitForSelector('.question-card .strip canvas');
    expect(await accessibilityFindings(page)).toEqual([]);
    expect(await page.getByRole('button', { name: /once answered/ }).isDisabled()).toBe(true);
    await page.keyboard.press('1');
    expect(page.url()).toMatch(/#\/intake$/);
    expect(await page.locator('.question-card .choice.on').count()).toBe(1);
    expect(await page.locator('.question-card').count()).toBe(1);
    await page.getByText('Use for every file with these columns', { exact: true }).click();
    await page.getByRole('button', { name: 'Read it as choice 1' }).click();
    await page.waitForSelector('.answers');
    expect(await words(page.locator('.answers'))).toMatch(/day first, then month/);
    await soon(() => words(page.locator('.accounting'))).toMatch(/193 lines = 190 \+ 0 \+ 2 \+ 1/);
    await soon(() => words(page.locator('.intake-main-column'))).toMatch(/What it would add190 readings/);
  });

  it('shows the rejected lines alone when their part of the bar is pressed', async () => {
    await page.getByRole('button', { name: '2 rejected' }).click();
    expect(await page.locator('.quoted-line').count()).toBe(2);
    expect(await words(page.locator('.quoted'))).toContain('--,--');
    await page.getByRole('button', { name: 'Show all lines' }).click();
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('takes the file in by the key A and keeps its recipe, which can be renamed', async () => {
    await page.locator('.intake-main').click({ position: { x: 5, y: 5 } });
    await page.keyboard.press('a');
    await soon(told).toMatch(/190 readings taken in/);
    await page.getByRole('button', { name: /^Rename recipe/ }).click();
    await page.getByRole('textbox', { name: 'New name' }).fill('Loan wrench');
    await page.getByRole('button', { name: 'Save' }).click();
    await soon(() => words(page.locator('.recipes .file-name'))).toBe('Loan wrench');
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.locator('.recipes').getByRole('button', { name: 'Export' }).click(),
    ]);
    const place = path.join(application.folder, 'recipes.json');
    await file.saveAs(place);
    expect(JSON.parse(readFileSync(place, 'utf8'))).toMatchObject([{ name: 'Loan wrench', dateOrder: 'dmy' }]);
  });
});

describe('Register', () => {
  it('settles a name that was typed wrongly', async () => {
    await go('6');
    const yes = page.getByRole('button', { name: 'Yes, 147' });
    await page.waitForSelector('.register-left .question-card');
    for (let i = 0; i < 3 && (await yes.count()) === 0; i += 1)
      await page.getByRole('button', { name: 'Next name' }).click();
    await yes.click();
    await soon(told).toMatch(/0147 counts as 147/);
  });

  it('says which verdicts a draft would change, and none when it begins after the last reading', async () => {
    await entry('Rack stay M8').click();
    await soon(heading).toBe('Rack stay M8');
    await page.getByRole('button', { name: 'New revision' }).click();
    await page.getByLabel('Torque low').first().fill('23,9');
    await page.locator('.draft-form input[type=date]').fill('2026-11-15');
    const title = (): Promise<string> => words(page.locator('.register-columns > .question-card h2'));
    await soon(title).toBe('Draft C would change past verdicts');
    expect(await words(page.locator('.register-columns > .question-card'))).toMatch(
      /\d+ of \d+ readings would change from inside to torque low/,
    );
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.locator('.card-choices input').first().click();
    await soon(title).toBe('Draft C changes no past verdict');
    await page.locator('.card-choices input').last().click();
    await soon(title).toBe('Draft C would change past verdicts');
    await page.getByRole('button', { name: 'Put C in force' }).click();
    await soon(() => page.locator('.revisions tbody tr').count()).toBe(3);
  });

  it('takes the revision back by the key U', async () => {
    await page.locator('.register-title').click();
    await page.keyboard.press('u');
    await soon(() => page.locator('.revisions tbody tr').count()).toBe(2);
  });

  it('logs a check in place, with a comma or a point as typed', async () => {
    await entry('T-118').click();
    await soon(heading).toBe('T-118');
    await page.waitForSelector('.checks tbody tr');
    await page.keyboard.press('l');
    const pulls = page.locator('.pulls fieldset');
    await pulls.nth(0).getByLabel('Shown').fill('24,12');
    await pulls.nth(0).getByLabel('Reference').fill('24');
    await pulls.nth(1).getByLabel('Shown').fill('24.12');
    await pulls.nth(1).getByLabel('Reference').fill('24.00');
    await soon(() => words(page.locator('.edit-form [role=status]'))).toMatch(/Mean D \+0\.50 % over 2 pulls/);
    await page.locator('.edit-form').getByRole('button', { name: 'Save' }).click();
    await soon(() => words(page.locator('.checks tbody tr'))).toMatch(/24\.12.*24\.00.*\+0\.5/);
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('moves the end of a shift by the keyboard and says what it leaves uncovered', async () => {
    await page.locator('.register .entry', { hasText: 'Shifts' }).click();
    await page.getByRole('slider', { name: 'Start of Early' }).focus();
    await page.keyboard.press('ArrowRight');
    await soon(() => words(page.locator('.register-narrow .caption'))).toMatch(/0\.25 hours a day lie outside/);
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.getByRole('button', { name: 'Cancel' }).click();
  });

  it('leaves the console clean', () => {
    expect(application.complaints).toEqual([]);
  });
});
