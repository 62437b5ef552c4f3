/** From any figure of Review down to the readings behind it and back; readings assigned and noted in groups; scopes kept. */
import { readdirSync } from 'node:fs';
import path from 'node:path';
import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

describe('down to the readings and back', () => {
  let app: Application;
  const plain = (text: string | null): string => (text ?? '').replace(/[\u2060\u2009]/g, '').replaceAll('\u00a0', ' ');
  const heading = async (): Promise<string> => plain(await app.page.locator('main h1').textContent());
  const rows = (): Locator => app.page.getByRole('grid', { name: 'Readings' });
  const count = async (): Promise<number> => Number(await rows().getAttribute('aria-rowcount')) - 1;
  const back = async (): Promise<void> => {
    await app.page.goBack();
    await expect.poll(heading).toMatch(/judged/);
  };

  beforeAll(async () => {
    app = await startApplication();
  });
  afterAll(async () => {
    await app.close();
  });

  it('opens on the sample, all of it', async () => {
    const { page } = app;
    await page.getByRole('button', { name: 'Try with invented data' }).click();
    const files = readdirSync(path.join(root, 'sample-data', 'dumps')).length;
    await page.getByText(new RegExp(`from ${files} files`)).waitFor({ timeout: 60_000 });
    await page.keyboard.press('2');
    await expect.poll(heading).toMatch(/judged/);
    await page.getByRole('button', { name: /^Period:/ }).click();
    await page.getByRole('button', { name: 'Everything' }).click();
    await expect.poll(heading).toMatch(/^11813 of 11835 fasteners judged/);
    await page.keyboard.press('Escape');
    await expect.poll(() => page.locator('.popover').count()).toBe(0);
  });

  it('says what is held without the years of a clock that was not set, and counts those readings', async () => {
    const held = plain(await app.page.locator('.held').textContent());
    expect(held).toContain('3 Nov to 24 Nov 2026');
    expect(held).toContain('14 from a clock not set');
    expect(await heading()).toContain('14 readings come from a clock that was not set (dated 1 Jan 2000)');
  });

  it('opens exactly the readings that a cause counts, and goes back to the same review', async () => {
    const { page } = app;
    const causes = page.getByRole('grid', { name: 'Why readings failed' }).locator('tbody tr');
    const seen: [string, number][] = [];
    for (let row = 0; row < 5; row += 1) {
      const button = causes.nth(row).locator('button.count');
      const wanted = Number(plain(await button.textContent()));
      await button.click();
      await expect.poll(count).toBe(wanted);
      seen.push([await heading(), wanted]);
      await back();
    }
    expect(new Set(seen.map(([words]) => words)).size).toBe(5);
    expect(await heading()).toMatch(/^11813 of 11835/);
  });

  it('opens the readings of a notice, of an operator and of a cell', async () => {
    const { page } = app;
    const notice = page.locator('li', { hasText: 'in the other direction' }).getByRole('button');
    const wanted = Number(/\d+/.exec(plain(await notice.textContent()))?.[0]);
    await notice.click();
    await expect.poll(count).toBe(wanted);
    expect(await heading()).toMatch(/^Other direction: 47 of 11999/);
    await back();
    await page.getByRole('button', { name: 'A. Novak (165)' }).click();
    await expect.poll(heading).toMatch(/^A\. Novak \(165\)/);
    expect(await rows().locator('.reading-row', { hasText: 'A. Novak' }).count()).toBeGreaterThan(10);
    await back();
    await page.locator('.matrix tbody tr').first().locator('td button').first().click();
    await expect.poll(heading).toMatch(/^K\. Osei \(114\), T-114/);
    await back();
  });

  it('assigns a joint to readings whose file named a wrong one, and the undo takes all of them back', async () => {
    const { page } = app;
    await page.locator('.causes tbody tr', { hasText: 'Rack-stay M8' }).locator('button.count').click();
    await expect.poll(count).toBe(8);
    await rows().focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('Shift+End');
    await page.getByRole('button', { name: 'Assign' }).click();
    await page.locator('.row-form').getByLabel('Joint').selectOption('Rack stay M8');
    await page.locator('.row-form').getByRole('button', { name: 'Assign' }).click();
    // No reading is left at the wrong name; the filter says so.
    await expect.poll(count).toBe(0);
    await back();
    await expect.poll(heading).toMatch(/^11821 of 11835 fasteners judged/);
    await page.keyboard.press('u');
    await expect.poll(heading).toMatch(/^11813 of 11835 fasteners judged/);
  });

  it('writes one note on several readings', async () => {
    const { page } = app;
    await page.locator('.causes tbody tr', { hasText: 'Stem clamp M6' }).first().locator('button.count').click();
    await expect.poll(heading).toMatch(/Stem clamp M6/);
    await rows().focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('n');
    await page.getByLabel('Note on 3 readings').fill('Stems replaced at the end of the line');
    await page.getByLabel(/became of it|disposition/i).selectOption('replaced');
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.keyboard.press('Control+Enter');
    await expect.poll(() => rows().locator('.reading-row', { hasText: 'Stems replaced' }).count()).toBe(3);
    await page.locator('#content').focus();
    await page.keyboard.press('u');
    await expect.poll(() => rows().locator('.reading-row', { hasText: 'Stems replaced' }).count()).toBe(0);
    await back();
  });

  it('keeps a scope by name, and comes back to it from another', async () => {
    const { page } = app;
    await page.getByRole('button', { name: '7 days' }).click();
    await expect.poll(heading).toMatch(/^3706 of 3714/);
    await page.getByRole('button', { name: 'Saved' }).click();
    await page.getByRole('textbox').last().fill('Week 48');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Week 48', exact: true }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Late', exact: true }).click();
    await expect.poll(heading).toMatch(/^359 fasteners/);
    await page.getByRole('button', { name: 'Saved' }).click();
    await page.getByRole('button', { name: 'Week 48', exact: true }).click();
    await expect.poll(heading).toMatch(/^3706 of 3714/);
    await page.goBack();
    await expect.poll(heading).toMatch(/^359 fasteners/);
    await page.goForward();
    await expect.poll(heading).toMatch(/^3706 of 3714/);
    // The scope goes along to Readings and to Drift's names.
    await page.keyboard.press('5');
    await expect.poll(heading).toMatch(/readings\.$/);
    expect(await page.locator('.period-words').textContent()).toContain('18 Nov to 24 Nov 2026');
  });

  it('settles a name by another than the likeliest, and the journal takes it back', async () => {
    const { page } = app;
    await page.keyboard.press('6');
    await page.getByText('2 names to settle').waitFor();
    await page.getByRole('button', { name: 'Next name' }).click();
    await page.getByText('Rack-stay M8” appears in').waitFor();
    await page.getByLabel('It is').fill('Rack stay M8 (left)');
    await page.getByRole('button', { name: 'Rename to Rack stay M8 (left)' }).click();
    await page.locator('.register .entry', { hasText: 'Rack stay M8 (left)' }).waitFor();
    await page.locator('.register .entry', { hasText: 'Who changed what' }).click();
    const journal = page.getByRole('table', { name: 'Journal' }).locator('tbody tr');
    await expect
      .poll(async () => plain(await journal.first().textContent()))
      .toMatch(/settled the name joint Rack-stay M8 as Rack stay M8 \(left\)/);
    expect(await accessibilityFindings(page)).toEqual([]);
    await journal.first().getByRole('button', { name: 'Take back' }).click();
    await expect.poll(async () => plain(await journal.nth(1).textContent())).toMatch(/taken back by no\. \d+$/);
    await expect.poll(async () => plain(await page.locator('.register-told').textContent())).toMatch(/is taken back/);
    await page.getByText('2 names to settle').waitFor();
  });

  it('prints what is to be done today on one page', async () => {
    const { page } = app;
    await page.keyboard.press('2');
    await page.getByRole('button', { name: 'To do today' }).click();
    await page.locator('.due-table tbody tr').first().waitFor();
    await page.evaluate(() => {
      window.print = () => undefined;
    });
    for (const format of ['A4', 'Letter'] as const) {
      await page.locator('.due').getByRole('button', { name: /print/i }).click();
      // What the print dialog would see; it takes the class off again when it closes.
      const classes = (): Promise<string> => page.evaluate(() => document.documentElement.className);
      await expect.poll(classes).toContain('print-due');
      const pdf = await page.pdf({ format });
      expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
      await expect.poll(classes).not.toContain('print-due');
    }
    expect(await page.locator('.due-table').textContent()).toContain('T-131');
  });

  it('leaves no complaint in the console', () => {
    expect(app.complaints).toEqual([]);
  });
});
