/** Drift and Study with the sample scenario in a real browser, by keyboard where the keys are ours. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Download, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-drift-study-'));
const storePath = path.join(folder, 'plant.tightbook');
let application: Application;
let page: Page;

beforeAll(async () => {
  execFileSync(process.execPath, [path.join(root, 'out', 'main', 'cli.js'), 'demo', '--store', storePath]);
  application = await startApplication({ storePath });
  page = application.page;
  await page.waitForSelector('.top-bar');
});

afterAll(async () => {
  await application?.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

const words = async (place: Locator): Promise<string> => (await place.textContent()) ?? '';
const heading = (): Promise<string> => words(page.locator('main h1').first());

async function download(act: () => Promise<unknown>): Promise<{ name: string; bytes: Buffer }> {
  const [file]: [Download, unknown] = await Promise.all([page.waitForEvent('download', { timeout: 60_000 }), act()]);
  const place = path.join(folder, file.suggestedFilename());
  await file.saveAs(place);
  return { name: file.suggestedFilename(), bytes: readFileSync(place) };
}

describe('Drift', () => {
  it('opens with the tool whose calibration was planted to drift, and steps through the list by J and K', async () => {
    await page.keyboard.press('3');
    await page.waitForSelector('.strips canvas');
    expect(await heading()).toMatch(/^T-207 reads \d\.\d % low/);
    expect(await words(page.locator('.caution'))).toMatch(/responsible engineer/);
    await page.keyboard.press('j');
    await expect.poll(heading).not.toMatch(/^T-207/);
    await page.keyboard.press('k');
    await expect.poll(heading).toMatch(/^T-207/);
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('shows the strips as a table when T is pressed on them', async () => {
    await page.locator('.strips .figure-holder').focus();
    await page.keyboard.press('t');
    expect(await words(page.locator('.strips table thead'))).toContain('EWMA');
    expect(await page.locator('.strips table tbody tr').count()).toBeGreaterThan(20);
    await page.keyboard.press('t');
    await page.waitForSelector('.strips canvas');
  });

  it('shows the working of the move by W, with the number of the strips in it, and hides it again', async () => {
    await page.locator('main h1').first().click();
    await page.keyboard.press('w');
    const working = page.locator('.tool-working');
    expect(await words(working)).toContain('cluster-robust standard error');
    expect(await working.locator('math').count()).toBeGreaterThan(4);
    await working.locator('select').selectOption('response-ewma');
    expect(await words(working)).toContain('limit factor');
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.locator('main h1').first().click();
    await page.keyboard.press('w');
    await expect.poll(() => working.count()).toBe(0);
  });

  it('zooms the time axis by + and shows all of it by 0', async () => {
    const foot = page.locator('.strips-foot');
    expect(await words(foot)).toContain('zoom the time axis');
    await page.keyboard.press('+');
    await expect.poll(() => words(foot)).toMatch(/\d+ Nov to \d+ Nov of the time axis is shown/);
    await page.locator('.strips .figure-holder').focus();
    await page.keyboard.press('t');
    await page.waitForSelector('.strips table');
    const some = await page.locator('.strips table tbody tr').count();
    await page.keyboard.press('t');
    await page.keyboard.press('0');
    await expect.poll(() => words(foot)).not.toContain('is shown');
    await page.locator('.strips .figure-holder').focus();
    await page.keyboard.press('t');
    await page.waitForSelector('.strips table');
    expect(await page.locator('.strips table tbody tr').count()).toBeGreaterThan(some);
    await page.keyboard.press('t');
    await page.waitForSelector('.strips canvas');
  });

  it('refuses an empty check with a sentence, and says out of tolerance after a failing one', async () => {
    await page.locator('main h1').first().click();
    await page.keyboard.press('l');
    await page.getByRole('button', { name: 'Save the check' }).click();
    expect(await words(page.locator('.inline-form .problem'))).toMatch(/^Enter at least one pull/);
    for (let pull = 1; pull <= 3; pull += 1) {
      await page.getByLabel(`Pull ${pull}: shown by the tool`).fill('24,02');
      await page.getByLabel(`Pull ${pull}: reference`, { exact: true }).fill('25.30');
    }
    expect(await words(page.locator('table.pulls tbody tr').first())).toMatch(/−5\.1\s*outside ± 4\.0 %/);
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.getByRole('button', { name: 'Save the check' }).click();
    await expect.poll(heading, { timeout: 20_000 }).toMatch(/^T-207 is out of tolerance/);
  });

  it('asks why before a tool is quarantined, and marks it', async () => {
    await page.getByRole('button', { name: 'Quarantine' }).click();
    await page.locator('.inline-form').getByRole('button', { name: 'Quarantine' }).click();
    expect(await words(page.locator('.inline-form .problem'))).toContain('Say why');
    await page.getByLabel('Why').fill('failed its check');
    await page.locator('.inline-form').getByRole('button', { name: 'Quarantine' }).click();
    await page.locator('.tool-name em', { hasText: 'quarantined' }).waitFor();
  });

  it('leads from the readings in doubt to exactly those readings, and back', async () => {
    const link = page.locator('.drift-two .link').first();
    const count = (await words(link)).replace(/\D/g, '');
    await link.click();
    await page.waitForURL(/readings/);
    await expect.poll(() => words(page.locator('main')), { timeout: 15_000 }).toContain(`${count} readings`);
    await page.goBack();
    await page.waitForSelector('.strips canvas');
  });

  it('hands out the strips and the numbers', async () => {
    await page.locator('main h1').first().click();
    const svg = await download(() => page.keyboard.press('f'));
    expect(svg.bytes.toString('utf8')).toContain('T-207 over time');
    const json = await download(() => page.keyboard.press('e'));
    expect(JSON.parse(json.bytes.toString('utf8')).tools.length).toBeGreaterThan(4);
  });

  it('prints the card of a tool on one page', async () => {
    await page.locator('main h1').first().click();
    const card = await download(() => page.keyboard.press('p'));
    expect(card.name).toMatch(/\.pdf$/);
    const text = card.bytes.toString('latin1');
    expect(text.startsWith('%PDF')).toBe(true);
    expect(text.match(/\/Type *\/Page\b/g)).toHaveLength(1);
  });
});

describe('Study', () => {
  it('asks for a joint first, then says its verdict', async () => {
    await page.keyboard.press('4');
    await page.locator('.joint-list .button').first().waitFor();
    expect(await heading()).toBe('Choose a joint to study.');
    await page.locator('.joint-list .button').first().click();
    await page.waitForSelector('.verdict');
    expect(await heading()).toMatch(/Ppk is \d\.\d\d/);
    await page.waitForSelector('.axis-region canvas');
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('shows the working of the selected index as MathML whose text carries the result', async () => {
    await page.keyboard.press('w');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('working');
    const shown = /Ppk is (\d\.\d\d)/.exec(await heading())?.[1] ?? 'none';
    expect(await page.locator('#working math').count()).toBeGreaterThan(3);
    expect(await words(page.locator('#working'))).toContain(shown);
  });

  it('tries limits out without touching the verdict', async () => {
    const before = await heading();
    await page.getByLabel('low', { exact: true }).fill('22.9');
    await page.keyboard.press('Enter');
    await page.waitForSelector('.hypothetical');
    expect(await words(page.locator('.hypothetical'))).toContain('Hypothetical');
    expect(await heading()).toBe(before);
    await page.locator('.hypothetical .link').click();
    await page.locator('.hypothetical').waitFor({ state: 'detached' });
  });

  it('refuses "outlier" as a reason, leaves a reading out with a better one, and puts it back', async () => {
    await page.locator('.axis-region .figure-holder').focus();
    await page.keyboard.press('Home');
    for (let step = 0; step < 40 && (await page.locator('.selected-reading button').count()) === 0; step += 1) {
      await page.keyboard.press('ArrowRight');
    }
    await page.keyboard.press('x');
    await page.getByLabel('What happened at the joint').fill('outlier');
    await page.keyboard.press('Enter');
    expect(await words(page.locator('.inline-form .problem'))).toContain('Say what happened at the joint');
    await page.getByLabel('What happened at the joint').fill('socket slipped off the nut');
    await page.keyboard.press('Enter');
    await page.locator('.left-out li').waitFor();
    expect(await words(page.locator('.left-out'))).toContain('socket slipped off the nut');
    expect(await words(page.locator('.left-out'))).toMatch(/put back, Ppk would be \d\.\d\d/);
  });

  it('saves a study, finds the same figures when it is opened again, and says what changed', async () => {
    await page.getByRole('button', { name: 'Save this study under a name' }).click();
    await page.getByPlaceholder('Name of the study').fill('November');
    await page.keyboard.press('Enter');
    await expect.poll(() => words(page.locator('.saved'))).toContain('same figures to the last digit');
    await page.locator('.left-out').getByRole('button', { name: 'Put back' }).click();
    await expect
      .poll(() => words(page.locator('.saved')), { timeout: 15_000 })
      .toMatch(/figures differ since it was saved/);
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('writes the numbers and a report that stands alone', async () => {
    await page.locator('main h1').first().click();
    const csv = await download(() => page.keyboard.press('e'));
    expect(csv.bytes.toString('utf8')).toContain('Ppk');
    await page.locator('.verdict-files').getByRole('button', { name: 'Print report' }).click();
    const html = await download(() => page.getByRole('button', { name: 'One HTML file' }).click());
    const text = html.bytes.toString('utf8');
    expect(text).toContain('<math');
    expect(text).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/);
  });

  it.each([
    [1300, 'the working over the indices'],
    [1100, 'choices as one line, the probability plot under the histogram'],
  ])('holds at %i pixels: %s', async (width) => {
    await page.setViewportSize({ width, height: 900 });
    for (const key of ['3', '4']) {
      await page.keyboard.press(key);
      await page.waitForSelector(key === '3' ? '.strips canvas' : '.axis-region canvas');
      expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(
        0,
      );
      expect(await accessibilityFindings(page)).toEqual([]);
    }
  });

  it('left no warning in the console', () => {
    expect(application.complaints).toEqual([]);
  });
});
