/**
 * Drift of the sample scenario against a second computation made outside the project
 * (tests/reference/second-computation/drift.py: NumPy and SciPy, from the definitions, sharing no code).
 */
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { requestSchemas } from '#core/contract/calls.ts';
import type { DriftModel, Lane } from '#core/contract/models/drift-model.ts';
import { everything } from '#core/readings/scope.ts';
import { civilText } from '#core/time/civil-time.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';
import { type ExportedReading, readingsCsv } from '../../reference/second-computation/to-csv.ts';
import { expectNear } from './reference.ts';

interface LaneFigures {
  readonly blocks: number;
  readonly changeAdjustedP: number | null;
  /** Theil-Sen slope, its interval, and the Mann-Kendall p. */
  readonly trend: readonly [number, number, number, number] | null;
  readonly change: {
    readonly shape: string;
    readonly at: string;
    readonly low95: string;
    readonly high95: string;
    readonly shift: readonly [number, number, number];
  } | null;
  readonly smallestVisible: number | null;
}

// Written by drift.py; every field is read below.
const figures = JSON.parse(
  readFileSync(new URL('../../reference/second-computation/drift-figures.json', import.meta.url), 'utf8'),
) as {
  readonly md5: string;
  readonly effects: readonly (readonly ['joint' | 'operator' | 'tool', string, number, number, number])[];
  readonly own: Readonly<Record<string, LaneFigures>>;
  readonly response: Readonly<Record<string, LaneFigures>>;
};

let folder = '';
let engine: Engine;
let model: DriftModel;
let readings: readonly ExportedReading[];

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'tightbook-second-drift-'));
  engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => Date.UTC(2026, 10, 26, 8),
    programVersion: '0.0.0-test',
    sampleFolder: fileURLToPath(new URL('../../../sample-data/', import.meta.url)),
    who: 'test',
  });
  await engine.serve('demo:load', requestSchemas['demo:load'].parse({}));
  model = await engine.serve('drift:read', { scope: everything, now: Date.UTC(2026, 10, 26, 8) });
  const answer = await engine.serve('readings:answer', { scope: everything, offset: 0, limit: 100_000 });
  // The document of the command line contract.
  readings = answer.readings as readonly ExportedReading[];
}, 120_000);

afterAll(async () => {
  await engine.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('drift of the sample, computed twice', () => {
  test('is made from the readings that drift.py had', () => {
    const today = createHash('md5').update(readingsCsv(readings)).digest('hex');
    expect(today, 'the sample changed: run tests/reference/second-computation/drift.py again').toBe(figures.md5);
  });
  test('effects with their simultaneous intervals', () => {
    const { joint, operator, tool } = model.effects;
    expect(joint.length + operator.length + tool.length).toBe(figures.effects.length);
    for (const [factor, name, effect, low, high] of figures.effects) {
      const row = model.effects[factor].find((one) => one.name === name);
      expectNear(row?.effectPercent ?? Number.NaN, effect, 1e-8);
      expectNear(row?.low95 ?? Number.NaN, low, 1e-8);
      expectNear(row?.high95 ?? Number.NaN, high, 1e-8);
    }
  });
  for (const name of ['own', 'response'] as const) {
    for (const [serial, want] of Object.entries(figures[name])) {
      test(`${serial}, ${name} lane: trend, change, size of the move, smallest visible`, () => {
        const lane: Lane = model.tools.find((one) => one.tool === serial)![name];
        expect(lane.blocks).toBe(want.blocks);
        const p = (got: number | null, expected: number | null): void => {
          if (expected === null) expect(got).toBeNull();
          else expectNear(got ?? Number.NaN, expected, 1e-8);
        };
        p(lane.changeAdjustedP, want.changeAdjustedP);
        p(lane.slopePercentPer1000?.percent ?? null, want.trend?.[0] ?? null);
        p(lane.slopePercentPer1000?.low95 ?? null, want.trend?.[1] ?? null);
        p(lane.slopePercentPer1000?.high95 ?? null, want.trend?.[2] ?? null);
        p(lane.mannKendallP, want.trend?.[3] ?? null);
        p(lane.smallestVisible, want.smallestVisible);
        expect(lane.changePoint === null).toBe(want.change === null);
        if (!lane.changePoint || !want.change) return;
        expect([lane.changePoint.shape, civilText(lane.changePoint.at)]).toEqual([want.change.shape, want.change.at]);
        expect(civilText(lane.changePoint.low95)).toBe(want.change.low95);
        expect(civilText(lane.changePoint.high95)).toBe(want.change.high95);
        p(lane.changePoint.shiftPercent, want.change.shift[0]);
        p(lane.changePoint.shiftLow95, want.change.shift[1]);
        p(lane.changePoint.shiftHigh95, want.change.shift[2]);
      });
    }
  }
  test('both planted changes are among them', () => {
    const moved = [figures.own, figures.response].map((lane) =>
      Object.keys(lane).filter((serial) => lane[serial]!.change !== null),
    );
    expect(moved).toEqual([['T-305'], ['T-207']]);
  });
});
