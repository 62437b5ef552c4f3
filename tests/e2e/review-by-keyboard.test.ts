/** A shift reviewed without a mouse: load, review, dispose of a failing reading, undo, print; then its rows. */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

describe('a shift, by keyboard alone', () => {
  let app: Application;
  beforeAll(async () => {
    app = await startApplication();
  });
  afterAll(async () => {
    await app.close();
  });

  const focused = (): Promise<string> =>
    app.page.evaluate(() => {
      const at = document.activeElement;
      return `${at?.getAttribute('aria-label') ?? ''} ${at?.textContent ?? ''}`;
    });

  it('opens on Intake while nothing is held, and loads the sample scenario', async () => {
    const { page } = app;
    const load = page.getByRole('button', { name: 'Try with invented data' });
    await load.waitFor();
    await load.focus();
    await page.keyboard.press('Enter');
    // All files of the scenario, not the first of them.
    const files = readdirSync(path.join(root, 'sample-data', 'dumps')).length;
    await page.getByText(new RegExp(`from ${files} files`)).waitFor({ timeout: 60_000 });
    await page.keyboard.press('2');
    await page.getByRole('heading', { level: 1, name: /fasteners? judged/ }).waitFor();
  });

  it('reaches the main figure and the lists in few presses of Tab', async () => {
    const { page } = app;
    await page.locator('#content').focus();
    const seen: string[] = [];
    for (let i = 0; i < 20; i += 1) {
      await page.keyboard.press('Tab');
      seen.push(await focused());
    }
    expect(seen.findIndex((text) => text.startsWith('Limit ribbon.'))).toBeLessThan(12);
    expect(seen.some((text) => /torque (low|high)|angle (low|high)/.test(text))).toBe(true);
  });

  it('goes to an earlier shift and back again', async () => {
    const { page } = app;
    const period = page.locator('.period-words');
    const before = await period.textContent();
    await page.keyboard.press('[');
    await expect.poll(() => period.textContent()).not.toBe(before);
    await page.goBack();
    await expect.poll(() => period.textContent()).toBe(before);
  });

  it('walks the failing readings, writes a note in place, and takes it back', async () => {
    const { page } = app;
    // A shift that holds failing readings: the last seven days do.
    await page.getByRole('button', { name: '7 days' }).focus();
    await page.keyboard.press('Enter');
    const rows = page.getByRole('grid', { name: 'Failing readings' }).locator('tbody tr[aria-selected]');
    // Over several days each row names its day: the rows of the week have come.
    await expect.poll(() => rows.first().textContent()).toMatch(/^\d+ Nov /);
    await page.keyboard.press('j');
    await page.keyboard.press('j');
    expect(await rows.nth(1).getAttribute('aria-selected')).toBe('true');
    await page.keyboard.press('n');
    await page.keyboard.type('Loosened, thread cleaned, tightened again');
    await page.keyboard.press('Tab');
    await page.keyboard.type('cleaned');
    await page.keyboard.press('Control+Enter');
    await expect.poll(() => rows.nth(1).textContent()).toContain('cleaned: Loosened, thread cleaned');
    await page.keyboard.press('u');
    await expect.poll(() => rows.nth(1).textContent()).not.toContain('thread cleaned');
    await page.keyboard.press('Escape');
    expect(await page.getByRole('grid', { name: 'Failing readings' }).locator('[aria-selected="true"]').count()).toBe(
      0,
    );
  });

  it('shows the main figure as a table, with every mark in it', async () => {
    const { page } = app;
    await page.locator('#content').focus();
    await page.keyboard.press('t');
    const table = page.locator('.figure-table tbody tr');
    await expect.poll(() => table.count()).toBeGreaterThan(5);
    await page.keyboard.press('t');
    await expect.poll(() => page.locator('.figure-table').count()).toBe(0);
  });

  it('prints the shift', async () => {
    const { page } = app;
    await page.getByRole('button', { name: 'Whole day' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: /fasteners? judged/ }).waitFor();
    const made = page.waitForEvent('download', { timeout: 60_000 });
    await page.locator('#content').focus();
    await page.keyboard.press('p');
    const file = await (await made).path();
    expect(readFileSync(file).subarray(0, 5).toString('latin1')).toBe('%PDF-');
  });

  it('opens the rows behind a failing reading, with the line as the file has it', async () => {
    const { page } = app;
    await page.keyboard.press('j');
    await page.keyboard.press('Enter');
    const panel = page.locator('.side-panel');
    await panel.getByText('As written').waitFor();
    expect(((await panel.locator('code').textContent()) ?? '').length).toBeGreaterThan(10);
    const grid = page.getByRole('grid', { name: 'Readings' });
    await expect.poll(() => grid.locator('[aria-selected="true"]').count()).toBe(1);
    await page.keyboard.press('Escape');
    await expect.poll(() => panel.count()).toBe(0);
  });

  it('filters by a picture and clears the filter with Escape', async () => {
    const { page } = app;
    const rows = page.getByRole('grid', { name: 'Readings' });
    const all = Number(await rows.getAttribute('aria-rowcount'));
    const names = page.locator('.filter-row .names').nth(1);
    await names.focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Space');
    await expect.poll(async () => Number(await rows.getAttribute('aria-rowcount'))).toBeLessThan(all);
    await page.keyboard.press('Escape');
    await page.keyboard.press('Escape');
    await expect.poll(async () => Number(await rows.getAttribute('aria-rowcount'))).toBe(all);
  });

  it('has no finding of axe on either screen, light or dark, wide or narrow', async () => {
    const { page } = app;
    for (const theme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme: theme });
      for (const width of [1440, 1100]) {
        await page.setViewportSize({ width, height: 900 });
        for (const [key, ready] of [
          ['2', '.review-below'],
          ['5', '.reading-row'],
        ] as const) {
          await page.locator('#content').focus();
          await page.keyboard.press(key);
          await page.locator(ready).first().waitFor();
          expect(await accessibilityFindings(page)).toEqual([]);
          const sideways = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
          expect(sideways).toBe(0);
        }
      }
    }
  });

  it('leaves no complaint in the console', () => {
    expect(app.complaints).toEqual([]);
  });
});
