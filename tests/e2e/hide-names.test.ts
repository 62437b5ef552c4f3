/** Names hidden by one tick: nobody is named on any screen until it is taken out again. */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

const { operators }: { operators: { name: string }[] } = JSON.parse(
  readFileSync(path.join(root, 'sample-data', 'register.json'), 'utf8'),
);
const plain = (text: string | null): string => (text ?? '').replace(/[\u2060\u2009]/g, '').replaceAll('\u00a0', ' ');

describe('hiding names', () => {
  let app: Application;
  const heading = async (): Promise<string> => plain(await app.page.locator('main h1').first().textContent());
  /** Names anywhere in the page: words, labels, titles, texts for screen readers. */
  const named = async (): Promise<string[]> => {
    const page = plain(await app.page.content());
    return operators.flatMap(({ name }) => (page.includes(name) ? [name] : []));
  };
  const settings = (): ReturnType<Application['page']['getByRole']> =>
    app.page.getByRole('button', { name: 'Settings' });

  beforeAll(async () => {
    app = await startApplication();
    const { page } = app;
    await page.getByRole('button', { name: 'Try with invented data' }).click();
    const files = readdirSync(path.join(root, 'sample-data', 'dumps')).length;
    await page.getByText(new RegExp(`from ${files} files`)).waitFor({ timeout: 60_000 });
  });
  afterAll(async () => {
    await app.close();
  });

  it('takes names off the screen that is open, and off the operator chosen in it', async () => {
    const { page } = app;
    await page.keyboard.press('2');
    await expect.poll(heading).toMatch(/judged/);
    await page.getByRole('button', { name: /^Period:/ }).click();
    await page.getByRole('button', { name: 'Everything' }).click();
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'R. Banerjee (139)' }).click();
    await expect.poll(heading).toMatch(/^R\. Banerjee \(139\)/);
    const before = /[\d ]+ of/.exec(await heading())?.[0];

    await settings().click();
    await page.getByRole('checkbox', { name: 'Hide names: operators by number' }).check();
    await expect.poll(heading).toMatch(/^Operator \d/);
    expect(/[\d ]+ of/.exec(await heading())?.[0]).toBe(before);
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await expect.poll(named).toEqual([]);
  });

  it('masks the operator in the line as written, and says so', async () => {
    const { page } = app;
    await page.getByRole('grid', { name: 'Readings' }).focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('Enter');
    const line = page.locator('aside code, dl code').first();
    await expect.poll(async () => plain(await line.textContent())).toMatch(/Operator \d/);
    expect(plain(await line.textContent())).not.toMatch(/\b139\b/);
    await page.getByText('Names are hidden: the operator stands here by number').waitFor();
    await page.keyboard.press('Escape');
  });

  it('names nobody on any screen, and keeps names where they are kept', async () => {
    const { page } = app;
    const screens = {
      '1': 'Imported',
      '2': 'First-pass rate by operator and tool',
      '3': 'How operators stop',
      '5': 'Source, line',
    };
    for (const [key, ready] of Object.entries(screens)) {
      await page.keyboard.press(key);
      await page.getByText(ready).first().waitFor();
      expect(await named(), key).toEqual([]);
    }
    await page.keyboard.press('4');
    await page.locator('.choices-fields select').first().selectOption('Rack stay M8');
    await page
      .getByRole('heading', { name: /Ppk|not/ })
      .first()
      .waitFor();
    expect(await named(), 'study').toEqual([]);
    await page.keyboard.press('6');
    await page.getByText('Who changed what, when and why').first().click();
    await page.getByText('turned hiding names').first().waitFor();
    expect(await named()).toEqual([]);
    await page.getByText('9 people, named on the page').click();
    await page.getByText('Settings can hide names everywhere else').waitFor();
    expect((await named()).length).toBe(operators.length);
  });

  it('stays when something else is set, and goes where Drift takes it out', async () => {
    const { page } = app;
    await settings().click();
    await page
      .getByRole('button', { name: 'Compact' })
      .or(page.getByRole('radio', { name: 'Compact' }))
      .first()
      .click();
    await page.keyboard.press('Escape');
    await page.keyboard.press('3');
    const hide = page.getByRole('checkbox', { name: /hide names/ });
    await hide.waitFor();
    expect(await hide.isChecked()).toBe(true);
    expect(await named()).toEqual([]);
    await hide.uncheck();
    await expect.poll(async () => (await named()).length).toBeGreaterThan(0);
    await settings().click();
    expect(await page.getByRole('checkbox', { name: 'Hide names: operators by number' }).isChecked()).toBe(false);
    await page.keyboard.press('Escape');
    expect(app.complaints).toEqual([]);
  });
});
