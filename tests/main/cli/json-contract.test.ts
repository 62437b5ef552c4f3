/**
 * The JSON documents that scripts depend on: every promised field is there, under its promised name.
 *
 * The lists are those of the command-line contract; fields may be added, none renamed.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CallName, RequestInput } from '../../../src/core/contract/calls.ts';
import { parseRequest } from '../../../src/core/contract/parse-request.ts';
import { everything } from '../../../src/core/readings/scope.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-contract-'));
const now = Date.UTC(2026, 10, 26, 6);
let engine: Engine;

/** Names of the promised fields; an array holds the shape of each entry, null stands for a plain value. */
type Shape = { readonly [key: string]: Shape | readonly [Shape] | null };

beforeAll(async () => {
  engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => Date.UTC(2026, 10, 26, 9),
    programVersion: '0.0.0-test',
    sampleFolder: fileURLToPath(new URL('../../../sample-data/', import.meta.url)),
    who: 'A. Solheim',
  });
  await engine.serve('demo:load', {});
});

afterAll(async () => {
  await engine.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

async function ask<C extends CallName>(call: C, body: RequestInput<C>): Promise<unknown> {
  // As it crosses to a script: through JSON.
  return JSON.parse(JSON.stringify(await engine.serve(call, parseRequest(call, body))));
}

/** Paths of promised fields that the document lacks. Entries of an empty list cannot be looked at: that is said too. */
function lacking(document: unknown, shape: Shape, at = ''): string[] {
  if (typeof document !== 'object' || document === null) return [`${at || 'document'} is ${String(document)}`];
  const fields = new Map(Object.entries(document));
  return Object.entries(shape).flatMap(([key, inner]) => {
    const here = at === '' ? key : `${at}.${key}`;
    if (!fields.has(key)) return [here];
    const value: unknown = fields.get(key);
    if (inner === null || value === null) return [];
    if (Array.isArray(inner)) {
      if (!Array.isArray(value)) return [`${here} is no list`];
      return value.slice(0, 50).flatMap((entry) => lacking(entry, inner[0] as Shape, `${here}[]`));
    }
    return lacking(value, inner as Shape, here);
  });
}

const rate: Shape = { fasteners: null, judged: null, passed: null, rate: null, low95: null, high95: null };
const index: Shape = { value: null, low95: null, high95: null, method: null };
const lane: Shape = {
  moved: null,
  slopePercentPer1000: null,
  slopeLow95: null,
  slopeHigh95: null,
  mannKendallP: null,
  changePoint: {
    at: null,
    low95: null,
    high95: null,
    shape: null,
    shiftPercent: null,
    shiftLow95: null,
    shiftHigh95: null,
  },
  alarmAt: null,
  adjustedP: null,
  changeAdjustedP: null,
};
const effect: Shape = { name: null, effectPercent: null, low95: null, high95: null, n: null, blocks: null };

describe('documents of the command line', () => {
  it('readings', async () => {
    const document = await ask('readings:answer', { scope: everything, offset: 0, limit: 200 });
    expect(
      lacking(document, {
        readings: [
          {
            id: null,
            line: null,
            source: null,
            at: null,
            tool: null,
            operator: null,
            joint: null,
            torque: null,
            torqueAsRecorded: null,
            unit: null,
            angle: null,
            sequence: null,
            verdict: null,
            reasons: null,
            unjudgedBecause: null,
            ownResult: null,
            attempt: null,
            chainBy: null,
            fastener: null,
            excluded: null,
          },
        ],
      }),
    ).toEqual([]);
  });

  it('review', async () => {
    const document = await ask('review:answer', { scope: everything });
    expect(
      lacking(document, {
        period: { from: null, to: null, shift: null },
        readings: { n: null, pass: null, fail: null, unjudged: null, noTime: null },
        firstPass: rate,
        finalRate: rate,
        causes: [{ reasons: null, joint: null, count: null, readings: null }],
        retries: [{ joint: null, tool: null, fastener: null, chainBy: null, readings: null, endsInPass: null }],
        batches: [
          {
            joint: null,
            tool: null,
            batch: null,
            from: null,
            size: null,
            distinct: null,
            missing: null,
            surplus: null,
          },
        ],
        matrix: [
          {
            operator: null,
            tool: null,
            fasteners: null,
            judged: null,
            passed: null,
            rate: null,
            low95: null,
            high95: null,
            adjustedP: null,
          },
        ],
        ownResultDiffers: null,
        notices: null,
      }),
    ).toEqual([]);
  });

  it('drift', async () => {
    const document = await ask('drift:answer', { scope: everything, now });
    expect(
      lacking(document, {
        tools: [
          {
            tool: null,
            n: null,
            lanes: {
              ownReadings: lane,
              angleSignature: { ...lane, smallestVisible: null, expectedAtPermitted: null },
              checks: {
                latestDeviationPercent: null,
                nominal: null,
                pulls: null,
                permissiblePercent: null,
                passed: null,
                crossesOn: null,
                crossesLow95: null,
                crossesHigh95: null,
                due: null,
                checkDue: null,
              },
            },
            collection: { storedEstimate: null, fullOn: null },
            finding: null,
            affected: { since: null, count: null, noTime: null },
            inQuestion: { since: null, count: null },
          },
        ],
        expectedFalseAlarms: null,
        effects: { tool: [effect], operator: [effect], joint: [effect] },
        tangled: [{ tools: null, operators: null, joints: null, untangleBy: null }],
      }),
    ).toEqual([]);
  });

  it('study', async () => {
    const document = await ask('study:answer', { joint: 'Rack stay M8', scope: everything });
    expect(
      lacking(document, {
        joint: null,
        characteristic: null,
        attempts: null,
        unit: null,
        n: null,
        subgroups: { size: null, count: null, leftOver: null },
        excluded: [{ reading: null, reason: null, by: null, at: null }],
        limits: { low: null, target: null, high: null },
        location: { mean: null, median: null },
        spread: { overall: null, within: null, withinMethod: null, degreesOfFreedom: { overall: null, within: null } },
        indices: { Cp: index, Cpk: index, Pp: index, Ppk: index, Cpm: index, Cm: index, Cmk: index },
        measurement: {
          permissiblePercent: null,
          accuracyRatio: null,
          uncertaintyRatio: null,
          guardLow: null,
          guardHigh: null,
          ppkAtPermittedError: null,
        },
        moreReadings: { evenOdds: null, ninetyPercent: null },
        model: { name: null, parameters: null, ranked: [{ name: null, aicc: null, ad: null }] },
        normality: { andersonDarling: { statistic: null, p: null }, shapiroWilk: { statistic: null, p: null } },
        outside: {
          observed: { count: null, share: null, low95: null, high95: null },
          expectedPpm: { value: null, low95: null, high95: null },
        },
        stability: { status: null, signals: [{ rule: null, readings: null }], center: null, lower: null, upper: null },
        outliers: [{ reading: null, test: null }],
        verdict: {
          requirement: { index: null, value: null },
          judged: null,
          outcome: null,
          withoutStability: null,
          met: null,
          because: null,
        },
        cautions: null,
        working: {
          Ppk: {
            symbol: null,
            value: null,
            formula: null,
            withNumbers: null,
            inputs: null,
            method: null,
            source: null,
            unmet: null,
          },
        },
      }),
    ).toEqual([]);
  });

  it('register, and its export reads back', async () => {
    const document = await ask('register:export', {});
    expect(
      lacking(document, {
        joints: [
          {
            name: null,
            class: null,
            direction: null,
            stopsBy: null,
            limits: [
              {
                from: null,
                unit: null,
                low: null,
                target: null,
                high: null,
                angleLow: null,
                angleTarget: null,
                angleHigh: null,
                lowPercent: null,
                highPercent: null,
                batchSize: null,
                retryWithinSeconds: null,
                by: null,
                why: null,
              },
            ],
          },
        ],
        tools: [
          {
            serial: null,
            unit: null,
            min: null,
            max: null,
            permissibleDeviationPercent: null,
            storageCapacity: null,
            calibratedOn: null,
            intervalMonths: null,
            intervalCycles: null,
            checkEveryDays: null,
            lengthMm: null,
            status: null,
            events: [{ at: null, kind: null, note: null }],
          },
        ],
        operators: [{ badge: null, name: null }],
        shifts: [{ name: null, start: null, end: null }],
        checks: [
          {
            tool: null,
            at: null,
            nominal: null,
            reference: null,
            reading: null,
            unit: null,
            kind: null,
            uncertaintyPercent: null,
          },
        ],
      }),
    ).toEqual([]);
    const before = await ask('review:answer', { scope: everything });
    await engine.serve('register:put', parseRequest('register:put', { file: document as never }));
    expect(await ask('register:export', {})).toEqual(document);
    expect(await ask('review:answer', { scope: everything })).toEqual(before);
  });

  it('holds no NaN and no infinity anywhere', async () => {
    const documents = [
      await engine.serve('review:answer', parseRequest('review:answer', { scope: everything })),
      await engine.serve('drift:answer', parseRequest('drift:answer', { scope: everything, now })),
      await engine.serve('study:answer', parseRequest('study:answer', { joint: 'Crank arm', scope: everything })),
      await engine.serve(
        'study:answer',
        parseRequest('study:answer', { joint: 'Motor mount M8', of: 'angle', scope: everything }),
      ),
      await engine.serve(
        'readings:answer',
        parseRequest('readings:answer', { scope: everything, offset: 0, limit: 20_000 }),
      ),
    ];
    const wrong: string[] = [];
    const walk = (value: unknown, at: string): void => {
      if (typeof value === 'number' && !Number.isFinite(value)) wrong.push(at);
      else if (typeof value === 'object' && value !== null)
        for (const [key, inner] of Object.entries(value)) walk(inner, `${at}.${key}`);
    };
    for (const [i, document] of documents.entries()) walk(document, String(i));
    expect(wrong).toEqual([]);
  });
});
