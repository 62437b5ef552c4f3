/**
 * The main job from an empty store: load the scenario, drop a dump that cannot say its dates, answer, review, narrow,
 * look at drift and a study, take the report away. Screens are photographed in both themes and widths for the eye.
 */
import { mkdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFindings } from './accessibility.ts';
import { type Application, root, startApplication } from './application.ts';

const sample = (name: string): string => path.join(root, 'sample-data', 'to-try', name);
const pictures = path.join(root, 'out', 'screenshots');
let application: Application;

beforeAll(async () => {
  mkdirSync(pictures, { recursive: true });
  application = await startApplication();
});

afterAll(async () => {
  await application?.close();
});

const text = async (selector: string): Promise<string> =>
  (await application.page.locator(selector).first().textContent()) ?? '';
const held = async (): Promise<number> =>
  Number(/([\d\s\u2009\u2060]+) readings held/.exec(await text('.top-bar'))?.[1]?.replace(/\D/g, ''));

async function choose(...files: string[]): Promise<void> {
  const { page } = application;
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByText('choose files').first().click(),
  ]);
  await chooser.setFiles(files);
}

/** What is read and not drawn, but lies outside of the part that scrolls it: it would stretch the page with nothing. */
function stretching(): string[] {
  const found: string[] = [];
  for (const unseen of document.querySelectorAll<HTMLElement>('.hidden')) {
    let scroller = unseen.parentElement;
    while (scroller && !/auto|scroll/.test(getComputedStyle(scroller).overflowY)) scroller = scroller.parentElement;
    if (!scroller || scroller === document.documentElement || scroller === document.body) continue;
    if (unseen.offsetParent && !scroller.contains(unseen.offsetParent)) found.push(unseen.outerHTML.slice(0, 120));
  }
  return found;
}

describe('the main job', () => {
  it('starts with an offer, and fills itself with the invented plant', async () => {
    const { page } = application;
    await page.getByRole('button', { name: 'Try with invented data' }).click();
    await page.getByRole('button', { name: 'Review the newest shift' }).waitFor({ timeout: 60_000 });
    await expect.poll(held, { timeout: 10_000 }).toBeGreaterThan(10_000);
  });

  it('says in one sentence that a menu is no dump, and goes on', async () => {
    const { page } = application;
    const before = await held();
    await choose(sample('canteen menu.csv'));
    await page
      .getByText(/canteen menu/)
      .first()
      .waitFor();
    await page.locator('main', { hasText: /torque/i }).waitFor({ timeout: 20_000 });
    expect(await text('main')).toContain('No column of this file can be a torque or an angle, so nothing was stored.');
    expect(await held()).toBe(before);
  });

  it('asks for the order of day and month, and takes the file in once answered', async () => {
    const { page } = application;
    const before = await held();
    await choose(sample('loan wrench T-221.csv'));
    await page.locator('.question-card').waitFor({ timeout: 20_000 });
    const accept = page.getByRole('button', { name: /Accept .* once answered/ });
    expect(await accept.isDisabled()).toBe(true);
    expect(await accessibilityFindings(page)).toEqual([]);
    await page.screenshot({ path: path.join(pictures, 'intake-question.png') });
    await page.keyboard.press('1');
    await page.locator('.question-card button[type=submit]').click();
    const ready = page.getByRole('button', { name: /^Accept \d+ readings/ });
    await ready.waitFor({ timeout: 20_000 });
    const offered = Number(/\d+/.exec((await ready.textContent()) ?? '')?.[0]);
    expect(offered).toBeGreaterThan(100);
    await ready.click();
    await expect.poll(held, { timeout: 20_000 }).toBe(before + offered);
  });

  it('reviews a shift, narrows it to one tool and shows what is kept', async () => {
    const { page } = application;
    await page.keyboard.press('2');
    await page.locator('canvas').first().waitFor();
    const whole = await text('main h1');
    expect(whole).toMatch(/judged/);
    await page.getByRole('button', { name: /^Tool: / }).click();
    await page.getByRole('checkbox', { name: 'T-207' }).check();
    await page.keyboard.press('Escape');
    await expect.poll(() => text('main h1')).not.toBe(whole);
  });

  it('finds the wrench that reads low, and exports the study of its joint', async () => {
    const { page } = application;
    await page.keyboard.press('3');
    await page.getByRole('heading', { name: /T-207 reads .* low/ }).waitFor({ timeout: 20_000 });
    await page.keyboard.press('4');
    await page.locator('.joint-list .button', { hasText: 'Rack stay M8' }).first().click();
    await page.locator('main h1', { hasText: /Ppk is \d/ }).waitFor({ timeout: 20_000 });
    await page.getByRole('button', { name: 'Print report' }).click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'One HTML file' }).click(),
    ]);
    const report = readFileSync(await download.path(), 'utf8');
    expect(report).toContain('Rack stay M8');
    expect(report).toContain('This report releases nothing');
    expect(application.complaints).toEqual([]);
  });

  it('asks again when its question was overtaken, and so shows what is held now', async () => {
    const { page } = application;
    const overtaken = JSON.stringify({
      ok: false,
      problem: { kind: 'superseded', said: { key: 'problem.superseded', args: {} }, message: 'overtaken' },
    });
    let refused = 0;
    // The engine's answer to a question that an older one, late on its way, took out of its lane.
    await page.route('**/call', async (route) => {
      const body = route.request().postDataJSON() as { call?: string; lane?: string };
      if (body.call === 'app:status' && body.lane !== undefined && refused < 2) {
        refused += 1;
        await route.fulfill({ contentType: 'application/json', body: overtaken });
      } else await route.continue();
    });
    const ask = (call: string, body: unknown): Promise<{ value: { readings: number } }> =>
      page.evaluate(
        async (message) => {
          const headers = { 'content-type': 'application/json' };
          return (await fetch('/call', { method: 'POST', headers, body: message })).json();
        },
        JSON.stringify({ v: 1, id: 1, call, body }),
      );
    const before = await held();
    await ask('source:withdraw', { source: 3 });
    const { value } = await ask('app:status', {});
    expect(value.readings).toBeLessThan(before);
    await expect.poll(held, { timeout: 10_000 }).toBe(value.readings);
    expect(refused).toBe(2);
    await page.unroute('**/call');
    await ask('source:restore', { source: 3 });
    await expect.poll(held, { timeout: 10_000 }).toBe(before);
  });

  it.each([
    ['light', 1440],
    ['light', 1100],
    ['dark', 1440],
    ['dark', 1100],
  ] as const)(
    'stands without a finding of axe in %s at %i wide, and without a sideways scroll',
    async (theme, width) => {
      const { page } = application;
      await page.emulateMedia({ colorScheme: theme, reducedMotion: 'reduce' });
      await page.setViewportSize({ width, height: 900 });
      for (const [key, name] of [
        ['1', 'intake'],
        ['2', 'review'],
        ['3', 'drift'],
        ['4', 'study'],
        ['5', 'readings'],
        ['6', 'register'],
      ] as const) {
        await page.keyboard.press('Escape');
        await page.keyboard.press(key);
        await page.waitForTimeout(900);
        await page.screenshot({ path: path.join(pictures, `${name}-${theme}-${width}.png`) });
        expect(await accessibilityFindings(page), `${name}, ${theme}, ${width}`).toEqual([]);
        expect(await page.evaluate(stretching), name).toEqual([]);
        if (name !== 'readings') {
          expect(
            await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
            name,
          ).toBeLessThanOrEqual(0);
        }
      }
      expect(application.complaints).toEqual([]);
    },
  );
});
