/** A name renamed and merged in a real browser: what it comes to is said before, and saved work and windows follow. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-former-'));
const storePath = path.join(folder, 'plant.tightbook');
let application: Application;
let page: Page;

function cli(...args: string[]): Promise<void> {
  return new Promise((done, failed) => {
    execFile(process.execPath, [path.join(root, 'out', 'main', 'cli.js'), ...args, '--store', storePath], (error) =>
      error ? failed(error) : done(),
    );
  });
}

beforeAll(async () => {
  const register = path.join(folder, 'register.json');
  const limits = [{ from: '2026-01-01', unit: 'N.m', low: 24.1, high: 26 }];
  writeFileSync(register, JSON.stringify({ joints: [{ name: 'Stem bolt', limits }], tools: [{ serial: 'T-1' }] }));
  await cli('register', register);
  // 24.00 to 24.59 N.m: ten below the limit of the other joint.
  const rows = Array.from({ length: 60 }, (_, i) => {
    const at = `2026-11-20 06:${String(i).padStart(2, '0')}:00`;
    return `${at};T-1;Stm bolt;${(24 + i / 100).toFixed(2)};Nm`;
  });
  const dump = path.join(folder, 'dump.csv');
  writeFileSync(dump, `Date and time;Tool;Joint;Torque;Unit\n${rows.join('\n')}\n`);
  await cli('intake', dump);
  application = await startApplication({ storePath });
  page = application.page;
  await page.waitForSelector('.top-bar');
}, 90_000);

afterAll(async () => {
  await application?.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

const plain = (text: string | null): string => (text ?? '').replace(/[\u2060\u2009\u00a0]/g, '');
const words = async (place: Locator): Promise<string> => plain(await place.first().textContent());
const soon = <T>(what: () => Promise<T>) => expect.poll(what, { timeout: 15_000 });
const entry = (name: string, inside: Page = page): Locator =>
  inside.locator('.register .entry', { hasText: name }).first();
const heading = (inside: Page = page): Promise<string> => words(inside.locator('main h1'));
const card = (): Locator => page.locator('.register-left .question-card');
const saved = (): Promise<string> => words(page.locator('.saved'));

describe('a name that is renamed and merged', () => {
  it('is studied and the study kept', async () => {
    await page.keyboard.press('6');
    await entry('Stm bolt').click();
    await soon(() => heading()).toBe('Stm bolt');
    await page.keyboard.press('4');
    await page.getByRole('button', { name: 'Save this study under a name' }).click();
    await page.locator('.save-form input').fill('March');
    await page.keyboard.press('Enter');
    await soon(saved).toContain('Same readings, same figures to the last digit.');
  });

  it('tells what renaming and merging come to, before either is done', async () => {
    await page.locator('.saved h2').click();
    await page.keyboard.press('6');
    await soon(() => words(card())).toMatch(
      /60 readings count as Stem bolt from then on\. All of them get another verdict\./,
    );
    expect(await words(card())).toContain('50 of 60 readings would change from unjudged to inside');
    expect(await words(card())).toContain('10 of 60 readings would change from unjudged to torque low');
    expect(await words(card())).toContain('The saved study “March” follows and names Stem bolt.');
    await page.getByLabel('It is').fill('Stem stud');
    await soon(() => words(card())).toContain(
      'Stm bolt is called Stem stud from then on. Its 60 readings stay with it. No verdict changes.The saved study “March” follows and names Stem stud.',
    );
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('renamed, is followed by another window and by the saved study, which says that the name alone differs', async () => {
    const other = await application.context.newPage();
    await other.goto(page.url());
    await other.waitForSelector('.register .entry');
    await entry('Stm bolt', other).click();
    await soon(() => heading(other)).toBe('Stm bolt');
    await page.getByRole('button', { name: 'Rename to Stem stud' }).click();
    await soon(() => heading(other)).toBe('Stem stud');
    await soon(() => heading()).toBe('Stem stud');
    await other.keyboard.press('4');
    await soon(() => other.locator('.study-aside select').first().inputValue()).toBe('Stem stud');
    await soon(() => words(other.locator('.study-main'))).toContain('Fingerprint of readings and choices');
    await other.close();
    await page.locator('.register-title').click();
    await page.keyboard.press('4');
    await soon(saved).toContain(
      'The fingerprint is another one only because the joint’s name is part of it: Stm bolt then, Stem stud now.',
    );
    await page.locator('.saved h2').click();
    await page.keyboard.press('u');
    await soon(saved).not.toContain('fingerprint');
    await soon(saved).toContain('Same readings, same figures to the last digit.');
  });

  it('merged, is named by what it counts as, and the saved study tells what that changed', async () => {
    await page.keyboard.press('6');
    await page.getByRole('button', { name: 'Yes, Stem bolt' }).click();
    await soon(() => heading()).toBe('Stem bolt');
    await page.locator('.register-title').click();
    await page.keyboard.press('4');
    // Ten fail by the limits of the other joint, and what follows one that failed is a further try of the same fastener.
    await soon(saved).toMatch(
      /Changed since it was saved: readings 60 then, 50 now; other limits; .* The joint was called Stm bolt then and is Stem bolt now\./,
    );
  });

  it('is found by what files call it', async () => {
    await page.locator('.saved h2').click();
    await page.keyboard.press('/');
    await page.keyboard.type('Stm b');
    await page.getByRole('option', { name: 'joint Stem bolt, also written Stm bolt' }).click();
    await soon(() => words(page.locator('main h1'))).toMatch(/60/);
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('leaves the console clean', () => {
    expect(application.complaints).toEqual([]);
  });
});
