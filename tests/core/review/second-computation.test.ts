/**
 * Review of the sample scenario against a second computation made outside the project
 * (tests/reference/second-computation/review.py: SciPy, from the definitions, sharing no code).
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { requestSchemas } from '#core/contract/calls.ts';
import { everything, type Scope } from '#core/readings/scope.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';

interface Rate {
  readonly fasteners: number;
  readonly judged: number;
  readonly passed: number;
  readonly interval: readonly [number, number, number] | null;
}
interface Figures {
  readonly readings: { readonly n: number; readonly pass: number; readonly fail: number; readonly unjudged: number };
  readonly firstPass: Rate;
  readonly finalRate: Rate;
  /** Reasons joined by a plus, joint, count. */
  readonly causes: readonly (readonly [string, string, number])[];
  /** Operator, tool, fasteners, judged, passed, adjusted p. */
  readonly matrix: readonly (readonly [string, string, number, number, number, number | null])[];
  readonly retries: { readonly identity: number; readonly time: number; readonly endsInPass: number };
}
/** The parts of the `review` document that are compared. */
interface Answer {
  readonly readings: Figures['readings'];
  readonly firstPass: AnswerRate;
  readonly finalRate: AnswerRate;
  readonly causes: readonly { readonly reasons: readonly string[]; readonly joint: string; readonly count: number }[];
  readonly retries: readonly { readonly chainBy: 'identity' | 'time'; readonly endsInPass: boolean }[];
  readonly matrix: readonly {
    readonly operator: string | null;
    readonly tool: string;
    readonly fasteners: number;
    readonly judged: number;
    readonly passed: number;
    readonly adjustedP: number | null;
  }[];
}
interface AnswerRate {
  readonly fasteners: number;
  readonly judged: number;
  readonly passed: number;
  readonly rate: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

// Written by review.py; every field is read below.
const figures = JSON.parse(
  readFileSync(new URL('../../reference/second-computation/review-figures.json', import.meta.url), 'utf8'),
) as Readonly<Record<string, Figures>>;

const day = (d: number): number => Date.UTC(2026, 10, d);
const scopes: Readonly<Record<string, Scope>> = {
  everything,
  week: { ...everything, from: day(18), to: day(25) },
  late: { ...everything, from: day(24), to: day(25), shifts: ['Late'] },
  night: { ...everything, from: day(19), to: day(20), shifts: ['Night'] },
};

describe('review of the sample, computed twice', () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-second-review-'));
  let engine: Engine;
  beforeAll(async () => {
    engine = await openEngine({
      storePath: path.join(folder, 'plant.tightbook'),
      clock: () => Date.UTC(2026, 10, 26, 8),
      programVersion: '0.0.0-test',
      sampleFolder: fileURLToPath(new URL('../../../sample-data/', import.meta.url)),
      who: 'test',
    });
    await engine.serve('demo:load', requestSchemas['demo:load'].parse({}));
  }, 120_000);
  afterAll(async () => {
    await engine.close();
    rmSync(folder, { recursive: true, force: true });
  });

  function sameRate(ours: AnswerRate, theirs: Rate): void {
    const { fasteners, judged, passed } = theirs;
    expect(ours).toMatchObject({ fasteners, judged, passed });
    const [rate, low95, high95] = theirs.interval ?? [null, null, null];
    for (const [a, b] of [
      [ours.rate, rate],
      [ours.low95, low95],
      [ours.high95, high95],
    ] as const) {
      if (b === null) expect(a).toBeNull();
      else expect(Math.abs((a ?? Number.NaN) - b)).toBeLessThan(1e-12);
    }
  }

  it.each(Object.keys(scopes))('%s', async (name) => {
    const scope = scopes[name] ?? everything;
    const expected = figures[name]!;
    // The document of the command line contract.
    const answer = (await engine.serve(
      'review:answer',
      requestSchemas['review:answer'].parse({ scope }),
    )) as unknown as Answer;
    expect(answer.readings).toMatchObject(expected.readings);
    sameRate(answer.firstPass, expected.firstPass);
    sameRate(answer.finalRate, expected.finalRate);
    expect(answer.causes.map((one) => [one.reasons.join('+'), one.joint, one.count]).sort(byText)).toEqual(
      [...expected.causes].sort(byText),
    );
    expect({
      identity: answer.retries.filter((one) => one.chainBy === 'identity').length,
      time: answer.retries.filter((one) => one.chainBy === 'time').length,
      endsInPass: answer.retries.filter((one) => one.endsInPass).length,
    }).toEqual(expected.retries);
    const cells = new Map(answer.matrix.map((cell) => [`${cell.operator ?? ''} ${cell.tool}`, cell]));
    expect(cells.size).toBe(expected.matrix.length);
    for (const [operator, tool, fasteners, judged, passed, adjustedP] of expected.matrix) {
      const cell = cells.get(`${operator} ${tool}`);
      expect(cell).toMatchObject({ fasteners, judged, passed });
      if (adjustedP === null) expect(cell?.adjustedP).toBeNull();
      else expect(Math.abs((cell?.adjustedP ?? Number.NaN) - adjustedP)).toBeLessThan(1e-9);
    }
  });
});

const byText = (a: unknown, b: unknown): number => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1);
