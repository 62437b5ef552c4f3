/**
 * The whole program on the sample: what was planted (sample-data/truth.json, written by the generator from its own
 * model, without the program) is what intake, review, drift and study find.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type CallName, type Replies, type RequestInput, requestSchemas } from '#core/contract/calls.ts';
import type { IntakeOutcome, IntakePreview } from '#core/contract/models/intake-model.ts';
import { everything } from '#core/readings/scope.ts';
import { say } from '#core/text/said.ts';
import { civilTime } from '#core/time/civil-time.ts';
import { type Engine, openEngine } from '../../src/main/engine/engine.ts';

const sampleFolder = fileURLToPath(new URL('../../sample-data/', import.meta.url));
const read = (name: string): unknown => JSON.parse(readFileSync(path.join(sampleFolder, name), 'utf8'));

interface Place {
  readonly tool: string;
  readonly joint: string;
  readonly batch: string;
  readonly at: string;
}
interface Truth {
  readonly readings: {
    readonly distinct: number;
    readonly byTool: Record<string, number>;
    readonly byJoint: Record<string, number>;
    readonly byOperator: Record<string, number>;
    readonly byShift: Record<string, number>;
    readonly otherDirection: number;
    readonly verdicts: Record<'pass' | 'fail' | 'unjudged', number>;
  };
  readonly files: readonly { readonly file: string; readonly lines: Record<string, number> }[];
  readonly totals: Record<'files' | 'accepted' | 'alreadyHeld' | 'rejected', number>;
  readonly fullMemory: { readonly file: string; readonly capacity: number };
  readonly clockReset: { readonly readings: number };
  readonly wrongNames: readonly { kind: string; right: string; written: string; count: number }[];
  readonly calibrationDrift: { readonly tool: string; readonly deviationPercent: number; readonly since: string };
  readonly behaviourDrift: { readonly tool: string; readonly since: string };
  readonly operatorsWhoDiffer: { readonly higher: string; readonly lower: string; readonly percent: number };
  readonly tangled: { readonly tool: string; readonly operator: string };
  readonly overdueCalibration: { readonly tool: string; readonly due: string };
  readonly missedFasteners: readonly (Place & { readonly about: string })[];
  readonly secondPulls: readonly Place[];
  readonly ownResultDiffers: readonly Place[];
  readonly reChecks: readonly (Place & { readonly position: number })[];
  readonly acrossShifts: readonly Place[];
}
// Written by the generator of this project; a test of its own holds the committed file to it.
const truth = read('truth.json') as Truth;
const now = civilTime(2026, 11, 26, 8)!;

let folder = '';
let engine: Engine;
const previews = new Map<string, IntakePreview>();
const outcomes: IntakeOutcome[] = [];

const ask = <C extends CallName>(call: C, body: RequestInput<C>): Promise<Replies[C]> =>
  // The schema of this very call.
  engine.serve(call, requestSchemas[call].parse(body) as never);

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'tightbook-sample-'));
  engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => Date.UTC(2026, 10, 26, 8),
    programVersion: '0.0.0-test',
    sampleFolder,
    who: 'test',
  });
  await ask('register:put', { file: read('register.json') as never });
  for (const { file } of truth.files) {
    const ticket = await engine.offer(path.join(sampleFolder, 'dumps', file), file, { ours: false });
    previews.set(file, await ask('inbox:read', { ticket }));
    outcomes.push(...(await ask('inbox:accept', { tickets: [ticket] })));
  }
}, 60_000);

afterAll(async () => {
  await engine.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('intake of the sample', () => {
  it('needs no answer for any dump', () => {
    for (const [file, preview] of previews) {
      expect(preview.problem, file).toBeNull();
      expect(
        preview.questions.map((question) => question.id),
        file,
      ).toEqual([]);
    }
  });

  it('puts every physical line of every dump into the part that the generator counted', () => {
    expect(outcomes.map(({ file, lines }) => ({ file, lines }))).toEqual(
      truth.files.map(({ file, lines }) => ({ file, lines })),
    );
  });

  it('says which memory was full, which clock restarted and which file lists the newest first', () => {
    const kinds = (file: string): string[] => (previews.get(file)?.notices ?? []).map((notice) => notice.kind);
    expect(kinds(truth.fullMemory.file)).toContain('memory-full');
    expect([...previews.keys()].filter((file) => kinds(file).includes('memory-full'))).toEqual([truth.fullMemory.file]);
    expect(kinds('T-131_2026-11-20.csv')).toEqual(expect.arrayContaining(['clock-back']));
    expect(kinds('T-410_2026-11-13.csv')).toContain('newest-first');
  });

  it('leaves the names that were typed wrongly to a person, each with the entry it may be', async () => {
    const { toSettle } = await ask('register:read', {});
    for (const wrong of truth.wrongNames) {
      const asked = toSettle.find((name) => name.kind === wrong.kind && name.name === wrong.written);
      expect(asked, wrong.written).toBeDefined();
      expect(asked?.readings).toBe(wrong.count);
      expect(asked?.candidates).toContain(wrong.right);
    }
    expect(toSettle).toHaveLength(truth.wrongNames.length);
  });
});

interface ReviewAnswer {
  readonly readings: Record<string, number>;
  readonly batches: readonly { joint: string; tool: string; batch: string | null; from: string; missing: number }[];
  readonly notices: readonly { kind: string; count: number }[];
  readonly ownResultDiffers: number;
}

describe('review of the sample', () => {
  it('judges every reading as the generator does', async () => {
    const answer = (await ask('review:answer', { scope: everything })) as ReviewAnswer;
    expect(answer.readings).toMatchObject({ n: truth.readings.distinct, ...truth.readings.verdicts });
  });

  it('counts tools, joints, operators and shifts as the generator does', async () => {
    const count = async (scope: Partial<typeof everything>): Promise<number> =>
      ((await ask('review:answer', { scope: { ...everything, ...scope } })) as ReviewAnswer).readings.n ?? -1;
    for (const [tool, n] of Object.entries(truth.readings.byTool)) expect(await count({ tools: [tool] }), tool).toBe(n);
    for (const [joint, n] of Object.entries(truth.readings.byJoint))
      expect(await count({ joints: [joint] }), joint).toBe(n);
    for (const [operator, n] of Object.entries(truth.readings.byOperator))
      expect(await count({ operators: [operator] }), operator).toBe(n);
    for (const [shift, n] of Object.entries(truth.readings.byShift))
      expect(await count({ shifts: [shift] }), shift).toBe(n);
  });

  it('finds the missing fasteners, and no others', async () => {
    const answer = (await ask('review:answer', { scope: everything })) as ReviewAnswer;
    const missing = answer.batches.filter((batch) => batch.missing > 0);
    expect(missing.map((batch) => [batch.joint, batch.tool, batch.missing]).sort()).toEqual(
      truth.missedFasteners.map((miss) => [miss.joint, miss.tool, 1]).sort(),
    );
    for (const miss of truth.missedFasteners) {
      const found = missing.find((batch) => batch.joint === miss.joint && batch.tool === miss.tool);
      // Where the dump names batches the very batch is found; else the one of that time.
      if (found?.batch != null) expect(found.batch).toBe(miss.batch);
      expect(Math.abs(Date.parse(`${found?.from}Z`) - Date.parse(`${miss.about}Z`))).toBeLessThan(5 * 60_000);
    }
  });

  it('finds second pulls, differing results of the tool and readings in the other direction', async () => {
    const answer = (await ask('review:answer', { scope: everything })) as ReviewAnswer;
    const count = (kind: string): number => answer.notices.find((notice) => notice.kind === kind)?.count ?? 0;
    expect(count('second-pull')).toBe(truth.secondPulls.length);
    expect(answer.ownResultDiffers).toBe(truth.ownResultDiffers.length);
    expect(count('other-direction')).toBe(truth.readings.otherDirection);
  });

  it('takes the re-check hours later for a further try at the same fastener, not for another one', async () => {
    for (const check of truth.reChecks) {
      const day = Date.parse(`${check.at.slice(0, 10)}Z`);
      const scope = { ...everything, from: day, to: day + 86_400_000, joints: [check.joint], tools: [check.tool] };
      const { readings } = (await ask('readings:answer', { scope, offset: 0, limit: 10_000 })) as {
        readonly readings: readonly {
          at: string;
          fastener: string | null;
          attempt: number | null;
          chainBy: string | null;
          verdict: string;
        }[];
      };
      const tries = readings.filter((one) => one.fastener === `${check.batch}/${check.position}`);
      expect(tries.map((one) => one.attempt)).toEqual([1, 2]);
      expect(tries[1]).toMatchObject({ at: check.at, chainBy: 'identity' });
      expect(Date.parse(tries[1]?.at ?? '') - Date.parse(tries[0]?.at ?? '')).toBeGreaterThan(3_600_000);
      const { firstPass } = (await ask('review:answer', { scope })) as { firstPass: { fasteners: number } };
      expect(firstPass.fasteners).toBe(readings.filter((one) => one.attempt === 1).length);
    }
    expect(truth.reChecks.length).toBeGreaterThan(0);
  });

  it('gives the batch across the change of shift to the shift of its first reading', async () => {
    const [first] = truth.acrossShifts;
    const day = civilTime(2026, 11, 18)!;
    const of = async (shift: string): Promise<ReviewAnswer> =>
      (await ask('review:answer', {
        scope: { ...everything, from: day, to: day + 86_400_000, shifts: [shift], tools: ['T-207'] },
      })) as ReviewAnswer;
    const early = (await of('Early')).batches.find((batch) => batch.batch === first?.batch);
    expect(early).toMatchObject({ missing: 0 });
    expect((await of('Late')).batches.some((batch) => batch.batch === first?.batch)).toBe(false);
  });
});

interface LaneAnswer {
  readonly moved: boolean | null;
  readonly changePoint: {
    readonly at: string;
    readonly low95: string;
    readonly high95: string;
    readonly shape: string;
    readonly shiftPercent: number;
  } | null;
}
interface DriftAnswer {
  readonly tools: readonly {
    readonly tool: string;
    readonly lanes: {
      readonly ownReadings: LaneAnswer;
      readonly angleSignature: LaneAnswer;
      readonly checks: { readonly latestDeviationPercent: number; readonly due: string | null } | null;
    };
    readonly finding: string;
  }[];
  readonly effects: {
    readonly operator: readonly { name: string; effectPercent: number; low95: number; high95: number }[];
  };
  readonly tangled: readonly { readonly tools: readonly string[]; readonly operators: readonly string[] }[];
}

describe('drift of the sample', () => {
  let answer: DriftAnswer;
  beforeAll(async () => {
    answer = (await ask('drift:answer', { scope: everything, now })) as DriftAnswer;
  });
  const tool = (serial: string): DriftAnswer['tools'][number] => answer.tools.find((one) => one.tool === serial)!;
  const holds = (lane: LaneAnswer, since: string): boolean =>
    lane.changePoint !== null && lane.changePoint.low95 <= since && lane.changePoint.high95 >= since;

  it('sees the drifting calibration in the angle and the checks, on its day, and not in the own torque', () => {
    const { tool: serial, since, deviationPercent } = truth.calibrationDrift;
    const { lanes, finding } = tool(serial);
    expect(lanes.ownReadings.moved).toBe(false);
    expect(lanes.angleSignature.moved).toBe(true);
    expect(lanes.angleSignature.changePoint?.shape).toBe('step');
    expect(holds(lanes.angleSignature, since)).toBe(true);
    expect(lanes.checks?.latestDeviationPercent).toBeCloseTo(deviationPercent, 0);
    expect(finding).toMatch(/low/);
  });

  it('sees the drifting behaviour in the own torque, growing from its day on, and not in angle or checks', () => {
    const { tool: serial, since } = truth.behaviourDrift;
    const { lanes, finding } = tool(serial);
    expect(lanes.ownReadings.moved).toBe(true);
    expect(lanes.ownReadings.changePoint?.shape).toBe('ramp');
    expect(lanes.ownReadings.changePoint?.shiftPercent).toBeLessThan(-1);
    expect(holds(lanes.ownReadings, since)).toBe(true);
    expect(lanes.angleSignature.moved).toBe(false);
    expect(Math.abs(lanes.checks?.latestDeviationPercent ?? 9)).toBeLessThan(1);
    expect(finding).toMatch(/people or stop signal/i);
  });

  it('says of no other tool that it moved', () => {
    for (const one of answer.tools) {
      if (one.tool === truth.calibrationDrift.tool || one.tool === truth.behaviourDrift.tool) continue;
      expect([one.tool, one.lanes.ownReadings.moved], one.finding).not.toContain(true);
      expect([one.tool, one.lanes.angleSignature.moved], one.finding).not.toContain(true);
    }
  });

  it('lists the two drifting tools and the overdue one first', () => {
    const expected = [truth.calibrationDrift.tool, truth.overdueCalibration.tool, truth.behaviourDrift.tool];
    expect(answer.tools.slice(0, 3).map((one) => one.tool)).toEqual(expected);
    expect(tool(truth.overdueCalibration.tool).lanes.checks?.due).toBe(truth.overdueCalibration.due);
  });

  it('says of the overdue tool the same day at intake, in Drift, in Review and in every study that uses it', async () => {
    const { tool: serial } = truth.overdueCalibration;
    const since = /overdue since (\w{3} )?18 Nov/;
    const late = [...previews].filter(([file]) => file.startsWith(serial) && file.slice(-14) > '2026-11-19.csv');
    expect(late.length).toBeGreaterThan(0);
    for (const [file, preview] of late) {
      const notice = preview.notices.find((one) => one.kind === 'calibration-overdue');
      expect(notice && say(notice.said), file).toMatch(since);
    }
    expect(tool(serial).finding).toMatch(since);
    const review = await ask('review:read', { scope: everything });
    const noticed = review.notices.filter((one) => one.kind === 'calibration-overdue').map((one) => say(one.said));
    expect(noticed).toHaveLength(1);
    expect(noticed[0]).toMatch(since);
    let studies = 0;
    for (const joint of Object.keys(truth.readings.byJoint)) {
      const study = await ask('study:read', { joint, scope: everything });
      if (!study.scopeFacts.tools.some((one) => one.serial === serial && one.overdue)) continue;
      studies++;
      expect(study.cautions.map((one) => say(one)).join(' '), joint).toContain(
        `The calibration of ${serial} is overdue`,
      );
    }
    expect(studies).toBeGreaterThan(0);
  });

  it('tells apart the two operators who differ, with the planted difference inside their intervals', () => {
    const { higher, lower, percent } = truth.operatorsWhoDiffer;
    const of = (badge: string) => answer.effects.operator.find((one) => one.name === badge)!;
    expect(of(higher).low95).toBeGreaterThan(0);
    expect(of(lower).high95).toBeLessThan(0);
    expect(of(higher).high95 - of(lower).low95).toBeGreaterThan(percent);
    expect(of(higher).low95 - of(lower).high95).toBeLessThan(percent);
  });

  it('says that one tool and its operator cannot be told apart', () => {
    const { tool: serial, operator } = truth.tangled;
    expect(answer.tangled.some((one) => one.tools.includes(serial) && one.operators.includes(operator))).toBe(true);
  });
});

interface StudyAnswer {
  readonly n: number;
  readonly limits: { readonly low: number; readonly target: number; readonly high: number };
  readonly indices: {
    readonly Ppk: { readonly value: number; readonly low95: number; readonly high95: number } | null;
  };
  readonly normality: { readonly andersonDarling: { readonly p: number } };
}

describe('study of the sample', () => {
  it('studies the first tries of the revision in force, skewed as people stop', async () => {
    const answer = (await ask('study:answer', { joint: 'Rack stay M8', scope: everything })) as StudyAnswer;
    expect(answer.limits).toMatchObject({ low: 22, target: 24, high: 26 });
    expect(answer.n).toBeGreaterThan(1500);
    expect(answer.n).toBeLessThan(truth.readings.byJoint['Rack stay M8'] ?? 0);
    // Overshoot after the stop signal is lognormal in the generator: readings pile up at the target with a tail above.
    expect(answer.normality.andersonDarling.p).toBeLessThan(0.01);
    expect(answer.indices.Ppk?.low95).toBeLessThan(answer.indices.Ppk?.value ?? 0);
    expect(answer.indices.Ppk?.high95).toBeGreaterThan(answer.indices.Ppk?.value ?? 9);
  });
});

describe('the files to try', () => {
  const offer = async (name: string): Promise<IntakePreview> => {
    const ticket = await engine.offer(path.join(sampleFolder, 'to-try', name), name, { ours: false });
    return ask('inbox:read', { ticket });
  };

  it('asks for the order of day and month where nothing decides it', async () => {
    const preview = await offer('loan wrench T-221.csv');
    expect(preview.questions.map((question) => question.id)).toEqual(['date-order']);
    expect(preview.lines.rejected).toBe(2);
  });

  it('refuses the canteen menu with a sentence, and takes nothing in', async () => {
    const preview = await offer('canteen menu.csv');
    expect(preview.problem?.kind).toBe('refused-input');
    expect(preview.problem?.message).toMatch(/no column/i);
    const [outcome] = await ask('inbox:accept', { tickets: [preview.ticket] });
    expect(outcome?.source).toBeNull();
  });
});
