/** The shift to hand over stands on one landscape sheet, A4 and Letter, whatever the shift was like. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RequestInput, requestSchemas } from '../../src/core/contract/calls.ts';
import { type Engine, openEngine } from '../../src/main/engine/engine.ts';
import { shiftFile } from '../../src/main/report/shift-file.ts';
import { findChromium } from '../run/find-chromium.ts';

type Scope = RequestInput<'review:read'>['scope'];
const day = (d: number): number => Date.UTC(2026, 10, d);
const scope = (from: number | null, to: number | null, shift: string | null): Scope => ({
  from,
  to,
  shifts: shift === null ? [] : [shift],
  joints: [],
  tools: [],
  operators: [],
});
const facts = {
  madeMs: Date.UTC(2026, 10, 26, 9, 12),
  by: 'A. Solheim',
  plantName: 'Halden Cargo Cycles',
  programVersion: '0.0.0-test',
};

describe('the shift on one sheet', () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-sheet-'));
  let engine: Engine;
  let browser: Browser;
  let page: Page;
  beforeAll(async () => {
    engine = await openEngine({
      storePath: path.join(folder, 'plant.tightbook'),
      clock: () => facts.madeMs,
      programVersion: facts.programVersion,
      sampleFolder: fileURLToPath(new URL('../../sample-data/', import.meta.url)),
      who: facts.by,
    });
    await engine.serve('demo:load', {});
    const executablePath = findChromium();
    if (!executablePath) throw new Error('no Chromium: run npm test, which finds or installs one');
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu', '--no-first-run'] });
    page = await browser.newPage();
  });
  afterAll(async () => {
    await browser.close();
    await engine.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  });

  async function printed(of: Scope): Promise<{ html: string; pages: Record<'A4' | 'Letter', number> }> {
    const model = await engine.serve('review:read', requestSchemas['review:read'].parse({ scope: of }));
    const html = new TextDecoder().decode((await shiftFile(model, 'html', facts)).bytes);
    const file = path.join(folder, 'sheet.html');
    writeFileSync(file, html);
    await page.goto(`file://${file}`);
    const count = async (format: 'A4' | 'Letter'): Promise<number> => {
      const pdf = await page.pdf({ format, landscape: true });
      return pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0;
    };
    return { html, pages: { A4: await count('A4'), Letter: await count('Letter') } };
  }

  it.each([
    ['a late shift', scope(day(24), day(25), 'Late')],
    ['an early shift', scope(day(18), day(19), 'Early')],
    ['a night', scope(day(19), day(20), 'Night')],
    ['a day', scope(day(11), day(12), null)],
    ['a week with more failing readings than a sheet holds', scope(day(18), day(25), null)],
    ['everything, an unset clock and an unknown name included', scope(null, null, null)],
    ['a day without readings', scope(day(15), day(16), null)],
  ])('%s', async (_, of) => {
    expect((await printed(of)).pages).toEqual({ A4: 1, Letter: 1 });
  });

  it('prints long notes with who wrote them, those before the readings that are done with', async () => {
    const of = scope(day(18), day(25), null);
    const model = await engine.serve('review:read', requestSchemas['review:read'].parse({ scope: of }));
    const failing = model.failing.rows.slice(-2);
    const text = 'The thread was damaged; the insert was replaced, the fastener tightened by the second procedure';
    for (const row of failing) {
      await engine.serve(
        'mark:note',
        requestSchemas['mark:note'].parse({ reading: row.id, disposition: 'replaced', text }),
      );
    }
    const { html, pages } = await printed(of);
    expect(pages).toEqual({ A4: 1, Letter: 1 });
    expect(html.split(text)).toHaveLength(3);
    expect(html).toContain('part replaced: The thread was damaged');
    expect(html).toContain('(A. Solheim, 2026-11-26)');
    expect(html).toMatch(/\d+ of 53 are printed: those with a note first/);
    const csv = await engine.serve('review:read', requestSchemas['review:read'].parse({ scope: of }));
    const bytes = (await shiftFile(csv, 'csv', facts)).bytes;
    // All of them stand in the table.
    expect(new TextDecoder().decode(bytes).trimEnd().split('\r\n')).toHaveLength(model.failing.rows.length + 1);
  });

  it('is self-contained', async () => {
    const { html } = await printed(scope(day(24), day(25), 'Late'));
    expect(html).not.toMatch(/<script|\ssrc=|\shref=|url\(|@import/i);
    expect(readFileSync(path.join(folder, 'sheet.html'), 'utf8')).toBe(html);
  });
});
