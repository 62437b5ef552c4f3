/** Intake while a file asks: its rows are drawn as read so far, answers redraw them, and nothing is said too early. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

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

const plain = (text: string | null): string => (text ?? '').replace(/[\u2060\u2009\u00a0]/g, '');
const words = async (place: Locator): Promise<string> => plain(await place.first().textContent());
const soon = <T>(what: () => Promise<T>, timeout = 15_000) => expect.poll(what, { timeout });
const heading = (): Promise<string> => words(page.locator('main h1'));
const picture = (): Promise<string> => words(page.locator('.would-add'));
const figure = async (): Promise<string> =>
  plain(await page.locator('.would-add [role=group]').first().getAttribute('aria-label'));
const drop = async (name: string, text: string): Promise<void> => {
  const place = path.join(application.folder, name);
  writeFileSync(place, text);
  await page.setInputFiles('[data-testid=files]', place);
  await page.locator('.queue-open', { hasText: name }).click();
};
/** Torques around 24, of fixed numbers. */
const torque = (i: number): string => (24 + (((i * 37) % 100) - 50) / 100).toFixed(2);

describe('a file that asks', () => {
  it('is drawn before it is answered, both days named, and judged where both agree', async () => {
    await page.keyboard.press('6');
    await page.waitForSelector('.register');
    await page.setInputFiles('[data-testid=register-file]', path.join(root, 'sample-data', 'register.json'));
    await page.getByRole('button', { name: 'Take it in' }).click();
    await soon(() => page.locator('.register .entry', { hasText: 'T-' }).count()).toBeGreaterThan(7);
    await page.keyboard.press('1');
    // 9 November or 11 September: the register has the same verdicts for both. 5 November or 11 May: in May it has no limits.
    const rows = ['09/11/2026', '05/11/2026'].flatMap((date, d) =>
      Array.from(
        { length: 20 },
        (_, i) => `${date} 06:${String(10 + i)}:00;T-207;Rack stay M8;${torque(20 * d + i)};Nm;58;OK;160`,
      ),
    );
    await drop('loan.csv', `Date and time;Tool;Joint;Torque;Unit;Angle;Result;User\n${rows.join('\n')}\n`);
    await soon(picture).toMatch(/as read so far; the open question decides40 readings, 0 outside, 20 unjudged/);
    expect(await picture()).toMatch(/20 readings are left unjudged: the other day has other limits/);
    expect(await figure()).toMatch(/as read so far.*20 inside, 0 outside, 20 unjudged.*names both/);
    await page.locator('.would-add [role=group]').focus();
    await page.keyboard.press('t');
    await soon(() => words(page.locator('.would-add table'))).toMatch(/Mon 9 Nov 2026 or Fri 11 Sep 2026/);
    await page.keyboard.press('Escape');
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('is redrawn by the answer, without a word of what was open', async () => {
    await page.locator('.question-card input[type=radio]').first().click();
    await page.getByRole('button', { name: 'Read it as choice 1' }).click();
    await soon(() => page.locator('.would-add.so-far').count()).toBe(0);
    expect(await picture()).toMatch(/What it would add40 readings, 0 outside, 0 unjudged/);
    expect(await figure()).toMatch(/on 2 days: 40 inside/);
  });

  it('shows rows without names, unit, tool, joint and time in the order of the file, and unjudged', async () => {
    await drop('rundown.csv', `${Array.from({ length: 40 }, (_, i) => `${torque(i)};${50 + (i % 9)}.5`).join('\n')}\n`);
    await soon(heading).toMatch(/40 readings are ready\. 5 questions first/);
    await soon(picture).toMatch(/the open questions decide40 readings, 0 outside, 40 unjudged/);
    expect(await picture()).toMatch(/column 1 is drawn as if it did/);
    expect(await picture()).toMatch(/The unit is not known/);
  });

  it('asks one question after another by the keyboard alone, names and units as they are written', async () => {
    const asked = (): Promise<string> => words(page.locator('.question-card'));
    await soon(asked).toMatch(/What does column 1 hold/);
    // Each card takes the focus: its digits choose, and Enter answers.
    const answer = async (key: string, next: RegExp | null): Promise<void> => {
      await page.locator('.question-card').focus();
      await page.keyboard.press(key);
      await page.locator('.question-card .choice.on input').focus();
      await page.keyboard.press('Enter');
      if (next) await soon(asked).toMatch(next);
    };
    await answer('1', /What does column 2 hold/);
    expect(await page.evaluate(() => document.activeElement?.classList.contains('question-card'))).toBe(true);
    expect(await page.locator('.question-card .choice.on').count()).toBe(0);
    await answer('1', /In which unit/);
    // kN·m and cN·m must not be printed as KN·m and CN·m: the first letter is a prefix of the unit.
    const letter = await page
      .locator('.question-card .choice', { hasText: 'kN·m' })
      .first()
      .locator('.choice-title')
      .evaluate((element) => getComputedStyle(element, '::first-letter').textTransform);
    expect(letter).toBe('none');
    await page.keyboard.press('1');
    expect(await words(page.locator('.question-card footer button'))).toBe('Read it as N·m');
    await page.locator('.question-card footer button').click();
    await soon(asked).toMatch(/Which tool/);
    expect(await words(page.locator('.answers'))).toMatch(/unit: N·m/);
    expect(await picture()).not.toMatch(/The unit is not known/);
    expect(await accessibilityFindings(page)).toEqual([]);
  });

  it('begins the same question of another file without the choice made in the first', async () => {
    await drop('other.csv', `${Array.from({ length: 30 }, (_, i) => `${torque(i)};${40 + (i % 7)}.5`).join('\n')}\n`);
    await soon(() => words(page.locator('.question-card'))).toMatch(/What does column 1 hold/);
    await page.locator('.question-card').focus();
    await page.keyboard.press('2');
    await soon(() => page.locator('.question-card .choice.on').count()).toBe(1);
    await drop('third.csv', `${Array.from({ length: 30 }, (_, i) => `${torque(i)};${30 + (i % 5)}.5`).join('\n')}\n`);
    await soon(() => words(page.locator('.queue-item.on'))).toMatch(/third\.csv/);
    await soon(() => page.locator('.question-card .choice.on').count()).toBe(0);
  });

  it('of a file of which every line is rejected shows how it was read, and reads it by a corrected column', async () => {
    const rows = Array.from({ length: 6 }, (_, i) => `2026-11-09 06:1${i}:00;T-207;Rack stay M8;--;${torque(i)}`);
    await drop('wrong column.csv', `Date and time;Tool;Joint;Torque [Nm];Angle\n${rows.join('\n')}\n`);
    await soon(heading).toMatch(/None of the 6 lines is a reading/);
    await page.getByLabel('What column 4 holds').selectOption('note');
    await page.getByLabel('What column 5 holds').selectOption('torque');
    await soon(heading).toMatch(/6 readings are ready\. One question first: In which unit/);
    await soon(picture).toMatch(/6 readings, 0 outside, 6 unjudged/);
  });

  it('lists a dozen of many rejected lines, with their sums, and the others on demand', async () => {
    const rows = Array.from({ length: 60 }, (_, i) => {
      const value = i % 2 === 0 ? torque(i) : '--';
      return `2026-11-09 06:${String(i).padStart(2, '0')}:00;T-207;Rack stay M8;${value};Nm;58`;
    });
    await drop('front line.csv', `Date and time;Tool;Joint;Torque;Unit;Angle\n${rows.join('\n')}\n`);
    const lines = page.locator('table.rejected tbody tr');
    await soon(() => lines.count()).toBe(12);
    expect(await words(page.locator('.reasons'))).toMatch(/30 lines: torque is not a number/);
    expect(await words(lines)).toMatch(/^3torque is not a number/);
    await page.getByRole('button', { name: 'Show all 30' }).click();
    await soon(() => lines.count()).toBe(30);
  });

  it('leaves the console clean', () => {
    expect(application.complaints).toEqual([]);
  });
});
