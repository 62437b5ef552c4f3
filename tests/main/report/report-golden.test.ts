/**
 * Reports against golden files: what an auditor would read, block by block, in every form.
 *
 * Numbers in drawings are rounded and colours kept; the date of making is fixed. A change that is meant shows as a
 * difference to review: `vitest run tests/main/report -u` writes the files anew.
 */
import { describe, expect, it } from 'vitest';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { studyModel } from '#core/study/study-model.ts';
import { installedChromium } from '../../../src/main/report/installed-chromium.ts';
import { studyFile } from '../../../src/main/report/study-file.ts';
import { caseOf } from '../../core/stats/reference-cases.ts';
import { choices, plantOf, start, tool, tools } from '../../core/study/plant-of.ts';
import { zipEntry } from './zip-entry.ts';

const facts = { madeMs: Date.UTC(2026, 10, 26, 9, 12), by: 'A. Solheim', plantName: 'Halden Cargo Cycles' };
const torque125: number[] = caseOf('definitions-study.json#quantiles').input.torque125;
const day = 86_400_000;

/** 125 readings in 25 groups of five; one left out; a calibration two days before, with its certificate. */
function studied(more: Parameters<typeof choices>[0] = {}): StudyModel {
  const rows = torque125.map((value, i) => ({
    value: i === 7 ? 27.9 : value,
    at: start + Math.floor(i / 5) * day + (i % 5) * 150_000,
    operator: i % 2,
    ...(i === 7 ? { leftOut: 'wrong bolt length' } : {}),
  }));
  const plant = plantOf(rows, {
    tools: [tool('T-1', { events: [{ at: start - 2 * day, kind: 'calibration', note: null }] })],
    operators: [
      { badge: '11', name: 'M. Lind', confirmed: true },
      { badge: '12', name: null, confirmed: true },
    ],
    checks: [
      {
        tool: 0,
        at: start - 2 * day,
        nominal: 24,
        reference: 24,
        shown: 24.12,
        unit: 'N.m',
        kind: 'as-left',
        uncertaintyPercent: 1,
      },
    ],
  });
  return studyModel(plant, choices(more), tools);
}

const textOf = async (model: StudyModel, format: 'html' | 'csv' | 'svg'): Promise<string> =>
  new TextDecoder().decode((await studyFile(model, format, facts)).bytes);

/** Drawings move by fractions of a pixel between versions of the chart library; words and figures must not. */
const settled = (html: string): string =>
  html
    .replace(/(<(?:path|text|g|circle|rect|svg|line|polyline|polygon)\b[^>]*>)/g, (tag) =>
      tag.replace(/-?\d+\.\d+/g, (number) => String(Math.round(Number(number)))),
    )
    .replaceAll('><', '>\n<');

describe('the study report', () => {
  it('as a page, normal distribution', async () => {
    await expect(settled(await textOf(studied(), 'html'))).toMatchFileSnapshot('golden/study-normal.html');
  });

  it('as a page, lognormal with simulated intervals and the p of the fit, baseline by hand', async () => {
    const model = studied({
      model: 'lognormal',
      fitP: true,
      baseline: { from: null, to: start + 12 * day - 7_200_000 },
      requirement: { index: 'Ppk', value: 1.67 },
    });
    await expect(settled(await textOf(model, 'html'))).toMatchFileSnapshot('golden/study-lognormal.html');
  });

  it('as CSV', async () => {
    await expect(await textOf(studied(), 'csv')).toMatchFileSnapshot('golden/study.csv');
  });

  // Without a browser the pictures are their descriptions instead.
  it.skipIf(installedChromium() === null)('as text of the word-processor file', async () => {
    const { bytes } = await studyFile(studied(), 'docx', facts);
    await expect(documentText(bytes)).toMatchFileSnapshot('golden/study-docx.txt');
  });

  it('with under 25 readings: run chart and sentences, no index', async () => {
    const few = plantOf(torque125.slice(0, 20).map((value) => ({ value })));
    const model = studyModel(few, choices(), tools);
    await expect(settled(await textOf(model, 'html'))).toMatchFileSnapshot('golden/study-too-few.html');
  });
});

/** Paragraphs and cells of word/document.xml, one a line. */
function documentText(zip: Uint8Array): string {
  return zipEntry(zip, 'word/document.xml')
    .replace(/<\/w:p>/g, '\n')
    .replace(/<w:drawing>.*?<\/w:drawing>/gs, '[figure]')
    .replace(/<[^>]+>/g, '')
    .replaceAll('&lt;', '<')
    .replaceAll('&amp;', '&');
}
