/** Adapters of a wrench written in a real browser, and entries removed that were made by mistake; each taken back by U. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-edits-'));
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
  const limits = [{ from: '2026-01-01', unit: 'N.m', low: 23, high: 25 }];
  const register = path.join(folder, 'register.json');
  writeFileSync(
    register,
    JSON.stringify({
      joints: [
        { name: 'Stem', limits },
        { name: 'Crnak', limits },
      ],
      tools: [{ serial: 'T-1', lengthMm: 300 }],
      operators: [{ badge: '114' }],
      shifts: [
        { name: 'Early', start: '06:00', end: '14:00' },
        { name: 'Erly', start: '05:00', end: '14:00' },
      ],
    }),
  );
  await cli('register', register);
  // 05:30 to 06:29, one a minute, 24.00 to 24.59 N.m: all inside.
  const rows = Array.from({ length: 60 }, (_, i) => {
    const at = `2026-11-20 ${i < 30 ? '05' : '06'}:${String((i + 30) % 60).padStart(2, '0')}:00`;
    return `${at};T-1;Stem;${(24 + i / 100).toFixed(2)};Nm`;
  });
  const dump = path.join(folder, 'dump.csv');
  writeFileSync(dump, `Date and time;Tool;Joint;Torque;Unit\n${rows.join('\n')}\n`);
  await cli('intake', dump);
  application = await startApplication({ storePath });
  page = application.page;
  await page.waitForSelector('.top-bar');
  await page.keyboard.press('6');
  await page.waitForSelector('.register .entry');
}, 90_000);

afterAll(async () => {
  await application?.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

const plain = (text: string | null): string => (text ?? '').replace(/[\u2060\u2009\u00a0]/g, '');
const words = async (place: Locator): Promise<string> => plain(await place.first().textContent());
const heading = (): Promise<string> => words(page.locator('main h1'));
const told = (): Promise<string> => words(page.locator('.register-told'));
const soon = <T>(what: () => Promise<T>) => expect.poll(what, { timeout: 15_000 });
const entry = (name: string): Locator => page.locator('.register .entry', { hasText: name }).first();
const button = (name: string | RegExp, inside: Locator | Page = page): Locator => inside.getByRole('button', { name });
const takeBack = async (): Promise<void> => {
  await page.locator('.register-title').click();
  await page.keyboard.press('u');
};

describe('adapters of a wrench', () => {
  const region = (): Locator => page.locator('.adapters');
  const card = (): Promise<string> => words(region().locator('.question-card'));
  const rows = (): Locator => region().locator('tbody tr:not(.under)');
  const dates = (): Locator => region().locator('input[type=date]');
  const times = (): Locator => region().locator('input[type=time]');

  it('are entered; what that changes is said before', async () => {
    await entry('T-1').click();
    await soon(() => words(region())).toContain('None: torque counts as T-1 shows it.');
    await button('Enter an adapter').click();
    expect(await region().getByLabel('L, effective length, mm').inputValue()).toBe('300');
    await soon(card).toContain('Fill in E, a and when it was put on');
    await region().getByLabel('E, offset, mm').fill('30');
    await dates().first().fill('2026-11-20');
    await times().first().fill('06:00');
    // By hand: 1.1 times 24.30 to 24.59 is above 25, thirty readings from 06:00 on.
    await soon(card).toMatch(/30 verdicts of readings already held would change/);
    expect(await card()).toContain('30 readings already held would count with another torque at the fastener: +10.0%');
    expect(await card()).toContain('Stem: 30 of 60 readings would change from inside to torque high.');
    expect(await accessibilityFindings(page)).toEqual([]);
    await button('Save', region()).click();
    await soon(told).toBe('The adapter of T-1 is saved. U takes it back.');
    await soon(() => words(rows())).toMatch(/20 Nov 2026, 06:00still on300300°1\.100030/);
  });

  it('are not left to overlap or to end before they start, and a draft outlives a look at another screen', async () => {
    await button('Enter an adapter').click();
    await region().getByLabel('E, offset, mm').fill('20');
    await dates().first().fill('2026-11-21');
    await soon(card).toMatch(/it has no end and runs into the next one, which is put on Sat 21 Nov 2026/);
    expect(await button('Save', region()).isDisabled()).toBe(true);
    await page.keyboard.press('Escape');
    await page.locator('.register-title').click();
    await page.keyboard.press('5');
    await page.keyboard.press('6');
    await soon(() => region().getByLabel('E, offset, mm').inputValue()).toBe('20');
    await button('Cancel', region()).click();

    await button(/^End the adapter put on 20 Nov 2026, 06:00/).click();
    await dates().last().fill('2026-11-19');
    await soon(card).toMatch(/it is taken off on 19 Nov 2026, \d\d:\d\d, not after it was put on/);
    await dates().last().fill('2026-11-20');
    await times().last().fill('06:10');
    await soon(card).toContain('20 verdicts of readings already held would change');
    await button('Save', region()).click();
    await soon(() => words(rows())).toMatch(/20 Nov 2026, 06:0020 Nov 2026, 06:10300300°1\.100010/);
  });

  it('are corrected and taken out, and U takes back one change after the other', async () => {
    await button(/^Edit the adapter/).click();
    await region().getByLabel('a, degrees').fill('90');
    await soon(card).toContain('10 verdicts of readings already held would change');
    await button('Save', region()).click();
    await soon(() => words(rows())).toMatch(/90°1\.0000/);
    await button(/^Remove the adapter/).click();
    await soon(card).toContain('This adapter was never on T-1');
    await button('Remove it', region()).click();
    await soon(() => rows().count()).toBe(0);
    await takeBack();
    await soon(() => words(rows())).toMatch(/90°1\.0000/);
    await takeBack();
    await soon(() => words(rows())).toMatch(/06:10300300°1\.1000/);
    await takeBack();
    await soon(() => words(rows())).toContain('still on');
    await takeBack();
    await soon(() => words(region())).toContain('None: torque counts as T-1 shows it.');
  });
});

describe('entries made by mistake', () => {
  const card = (): Locator => page.locator('.question-card', { hasText: /^Remove / });

  it('a joint is removed, stands in the journal, and comes back by U', async () => {
    await entry('Crnak').click();
    await soon(heading).toBe('Crnak');
    await button('Edit', page.locator('.register-head')).click();
    await button('Remove Crnak').click();
    await soon(() => words(card())).toContain(
      'No reading, check, study or saved scope points to it. What is written down of it goes too: 1 limit revision.',
    );
    expect(await accessibilityFindings(page)).toEqual([]);
    await card().getByLabel('Why').fill('typed wrongly');
    await button('Remove Crnak', card()).click();
    await soon(told).toBe('Crnak is removed. U takes it back.');
    await soon(heading).toBe('Stem');
    expect(await entry('Crnak').count()).toBe(0);
    await entry('Who changed what').click();
    await soon(() => words(page.locator('tbody tr'))).toMatch(/removed joint Crnak.*typed wrongly/);
    await takeBack();
    await soon(() => entry('Crnak').count()).toBe(1);
  });

  it('what readings point to stays, with what to do instead; merging it can be taken back', async () => {
    await entry('Stem').click();
    await soon(heading).toBe('Stem');
    await button('Edit', page.locator('.register-head')).click();
    await button('Remove Stem').click();
    await soon(() => words(card())).toContain(
      'Stem cannot be removed: 60 readings (60 judged by its limits) point to it.If they belong to another joint, merge the two; else keep it.',
    );
    expect(await button('Remove Stem', card()).count()).toBe(0);
    await card().getByLabel('It is really').selectOption('Crnak');
    await button('Count as Crnak', card()).click();
    await soon(heading).toBe('Crnak');
    await soon(() => words(page.locator('.register-head .second'))).toContain('60 readings');
    await takeBack();
    await soon(() => entry('Stem').count()).toBe(1);
  });

  it('a tool with readings is retired instead', async () => {
    await entry('T-1').click();
    await soon(heading).toBe('T-1');
    await button('Edit', page.locator('.register-head')).click();
    await button('Remove T-1').click();
    await button('Retire T-1', card()).click();
    await soon(() => words(page.locator('.register-head .second'))).toContain('Retired.');
    await takeBack();
    await soon(() => words(page.locator('.register-head .second'))).not.toContain('Retired.');
  });

  it('a shift is removed with its readings falling elsewhere, an operator from the list', async () => {
    await page.locator('.register .entry', { hasText: 'Shifts' }).click();
    await soon(heading).toBe('Shifts');
    // Review shows the newest shift that holds readings; it must not be left with one that is no more.
    await button('Remove Early').click();
    await soon(() => words(card())).toContain('30 readings fall into it. Without it they fall into Erly;');
    await button('Remove Early', card()).click();
    await soon(() => page.locator('.shift-table tbody tr').count()).toBe(1);
    await page.keyboard.press('2');
    await soon(() => words(page.locator('main'))).toMatch(/60 readings|60 fasteners|all 60/i);
    await page.keyboard.press('6');
    await takeBack();
    await soon(() => page.locator('.shift-table tbody tr').count()).toBe(2);
    await button('Remove Erly').click();
    await soon(() => words(card())).toContain('30 readings fall into it. Without it they fall outside every shift;');
    await button('Remove Erly', card()).click();
    await soon(() => page.locator('.shift-table tbody tr').count()).toBe(1);
    await takeBack();
    await soon(() => page.locator('.shift-table tbody tr').count()).toBe(2);
    // One that was only just written is no entry yet, and no change is lost unseen.
    await button('Add a shift').first().click();
    await page.locator('form').getByLabel('Shift').fill('Nihgt');
    await page.keyboard.press('Enter');
    expect(await button('Remove Early').isDisabled()).toBe(true);
    await button('Remove Nihgt').click();
    expect(await page.locator('.shift-table tbody tr').count()).toBe(2);
    expect(await button('Remove Early').isDisabled()).toBe(false);

    await page.locator('.register .entry', { hasText: 'Operators' }).click();
    await button('Remove 114').click();
    await button('Remove 114', card()).click();
    await soon(told).toBe('114 is removed. U takes it back.');
    await soon(() => words(page.locator('.register-narrow'))).toContain('None known yet.');
  });

  it('leaves the console clean', () => {
    expect(application.complaints).toEqual([]);
  });
});
