/** Study reports in every form: self-contained, escaped, the same bytes for the same study. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { StudyModel } from '../../../src/core/contract/models/study-model.ts';
import { reportHtml } from '../../../src/core/report/report-html.ts';
import { studyCsv } from '../../../src/core/report/study-csv.ts';
import { studyReport } from '../../../src/core/report/study-report.ts';
import { installedChromium } from '../../../src/main/report/installed-chromium.ts';
import { studyFile } from '../../../src/main/report/study-file.ts';
import { sampleStudy } from './sample-study.ts';
import { zipEntry } from './zip-entry.ts';

const facts = { madeMs: Date.UTC(2026, 10, 26, 9, 12), by: 'A. Solheim', plantName: 'Halden Cargo Cycles' };
const decoder = new TextDecoder();
let model: StudyModel;

beforeAll(async () => {
  model = await sampleStudy();
});

describe('study report as a page', () => {
  it('holds verdict, indices with intervals, working, sources with SHA-256 and the line that releases nothing', async () => {
    const html = decoder.decode((await studyFile(model, 'html', facts)).bytes);
    expect(html).toContain('Ppk');
    expect(html).toContain('<math');
    for (const source of model.sources) expect(html).toContain(source.sha256);
    expect(html).toContain('This report releases nothing');
    expect(html).toContain('Made by');
    expect(html.match(/<svg/g)?.length).toBeGreaterThanOrEqual(3);
  });

  it('has no script and reaches no address', async () => {
    const html = decoder.decode((await studyFile(model, 'html', facts)).bytes);
    expect(html).not.toMatch(/<script|javascript:|\son\w+=|\ssrc=|\shref=|url\(|@import/i);
    expect(html).toContain("default-src 'none'");
  });

  it('shows names from files as text, never as markup', () => {
    const evil = '<img src=x onerror=alert(1)>"\'& **bold** {low|x}';
    const document = studyReport(
      {
        ...model,
        scopeFacts: { ...model.scopeFacts, joint: evil },
        sources: model.sources.map((s) => ({ ...s, name: evil })),
      },
      { ...facts, by: evil, plantName: evil },
    );
    const html = reportHtml(document, () => '<svg></svg>');
    expect(html).not.toContain('<img');
    expect(html).not.toContain('<b>bold</b>');
    // The foot stands in a style sheet: nothing may end it early.
    const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? '';
    expect(style).toContain('counter(page)');
    expect(html.match(/<\/style>/g)).toHaveLength(1);
  });

  it('gives the same bytes for the same study, apart from the date of making', async () => {
    const first = decoder.decode((await studyFile(model, 'html', facts)).bytes);
    const again = decoder.decode((await studyFile(structuredClone(model), 'html', facts)).bytes);
    expect(again).toBe(first);
    const later = decoder.decode(
      (await studyFile(model, 'html', { ...facts, madeMs: facts.madeMs + 86_400_000 })).bytes,
    );
    expect(later).not.toBe(first);
    expect(later.replaceAll('27 Nov 2026', '26 Nov 2026')).toBe(first);
  });
});

describe('study numbers', () => {
  it('print as CSV with full precision and one row an index', () => {
    const lines = studyCsv(model).split('\r\n');
    for (const row of model.indices) {
      const line = lines.find((text) => text.startsWith(`index,${row.name},`));
      expect(line).toBeDefined();
      if (row.value !== null) expect(line).toContain(String(row.value));
    }
  });
});

describe('study report as a word-processor file', () => {
  it('is a zip whose parts unpack, with the text of the verdict and the same bytes again', async () => {
    const first = (await studyFile(model, 'docx', facts)).bytes;
    const again = (await studyFile(model, 'docx', facts)).bytes;
    const text = zipEntry(first, 'word/document.xml');
    expect(text).toContain('releases nothing');
    expect(text).toContain('Ppk');
    expect(zipEntry(first, 'docProps/core.xml')).toContain('2026-11-26T09:12:00Z');
    expect(Buffer.from(again).equals(Buffer.from(first))).toBe(true);
  });
});

describe('study report as PDF', () => {
  it('is printed by an installed Chromium, or refused with a sentence that says what to do', async () => {
    if (installedChromium() === null) {
      await expect(studyFile(model, 'pdf', facts)).rejects.toThrow('installed Chromium');
      return;
    }
    const first = (await studyFile(model, 'pdf', facts)).bytes;
    expect(decoder.decode(first.subarray(0, 5))).toBe('%PDF-');
    const again = (await studyFile(model, 'pdf', facts)).bytes;
    expect(Buffer.from(again).equals(Buffer.from(first))).toBe(true);
  });
});
