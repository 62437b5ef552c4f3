/** The study as a whole: what is used, what is said, and that nothing strange crosses the border. */
import { describe, expect, test } from 'vitest';
import { fitModel } from '#core/stats/fit-model.ts';
import { mersenneTwister } from '#core/stats/mersenne-twister.ts';
import { normalQuantile } from '#core/stats/normal-distribution.ts';
import { percentileIndices } from '#core/stats/percentile-indices.ts';
import { changesSince } from '#core/study/saved-study.ts';
import { studyAnswer } from '#core/study/study-answer.ts';
import { studyModel } from '#core/study/study-model.ts';
import { say } from '#core/text/said.ts';
import { caseOf, near } from '../stats/reference-cases.ts';
import { choices, joint, plantOf, type Row, start, strangeNumbers, tool, tools } from './plant-of.ts';

const torque125: number[] = caseOf('definitions-study.json#quantiles').input.torque125;

/** Groups of five in one early shift a day, 25 days. */
function daysOfFive(values: readonly number[], more: (i: number) => Partial<Row> = () => ({})): Row[] {
  return values.map((value, i) => ({
    value,
    at: start + Math.floor(i / 5) * 86_400_000 + (i % 5) * 150_000,
    ...more(i),
  }));
}

/** Seeded normal readings, rounded to hundredths. */
function drawn(n: number, mean: number, s: number, seed: number): number[] {
  const uniform = mersenneTwister(seed);
  return Array.from({ length: n }, () => Math.round((mean + s * normalQuantile(uniform.next())) * 100) / 100);
}

describe('a study of 125 readings in 25 groups', () => {
  const plant = plantOf(daysOfFive(torque125));
  const answer = studyAnswer(plant, choices(), tools);

  test('gives the indices of definitions-study.json#within-pooled-torque125', () => {
    const wanted = caseOf('definitions-study.json#within-pooled-torque125').expect;
    expect(answer.n).toBe(125);
    expect(answer.subgroups).toEqual({ size: 5, count: 25, leftOver: 0 });
    near(answer.spread.within, wanted.sigma, 1e-12);
    expect(answer.spread.degreesOfFreedom.within).toBe(wanted.nu);
    for (const name of ['Cp', 'Cpk', 'Pp', 'Ppk', 'Cpm'] as const) {
      near(answer.indices[name]?.value, wanted.indices[name].value, 1e-11, name);
      near(answer.indices[name]?.low95, wanted.indices[name].low95, 1e-9, name);
      near(answer.indices[name]?.high95, wanted.indices[name].high95, 1e-9, name);
    }
  });

  test('judges by the class of the joint, and says why in words', () => {
    expect(answer.verdict.requirement).toEqual({ index: 'Ppk', value: 1.33 });
    expect(answer.verdict.judged).toBe('low-end');
    expect(answer.verdict.because).toContain('Ppk is 1.44, 95 % interval 1.25 to 1.63');
  });

  test('carries the tool at its permitted error (definitions-tool.json#ppk-at-permitted-error, #guard-band)', () => {
    near(answer.measurement.ppkAtPermittedError, 0.626265253853322, 1e-9);
    near(answer.measurement.guardLow, 22.835785740211968, 1e-12);
    near(answer.measurement.guardHigh, 25.01225774437778, 1e-12);
    near(answer.measurement.accuracyRatio, 2.0833333333333335, 1e-12);
  });

  test('has a working for every figure that is there, with numbers put in', () => {
    for (const name of [
      'mean',
      'median',
      'overall',
      'within',
      'Ppk',
      'Pp',
      'Cpk',
      'Cp',
      'Cpm',
      'controlLimits',
      'spreadLimits',
      'stability',
      'andersonDarling',
      'shapiroWilk',
      'model',
      'observed',
      'expectedPpm',
      'accuracyRatio',
      'guardBand',
      'ppkAtPermittedError',
      'moreReadings',
    ]) {
      const working = answer.working[name];
      expect(working, name).toBeDefined();
      expect(working?.withNumbers, name).not.toMatch(/NaN|undefined|Infinity/);
      expect(working?.method, name).not.toBe('');
      expect(working?.source, name).not.toBe('');
    }
  });

  test('the printed numbers of the Ppk working reproduce the printed result', () => {
    const text = answer.working.Ppk?.withNumbers ?? '';
    const found = /^\(([\d.]+) − ([\d.]+)\)\/\(3 × ([\d.]+)\) = .* = ([\d.]+);/.exec(text);
    if (!found) throw new Error(text);
    const [, limit, mean, s, result] = found.map(Number);
    expect(((limit! - mean!) / (3 * s!)).toFixed(3)).toBe(result!.toFixed(3));
  });

  test('nothing in answer or model is NaN, infinite or undefined', () => {
    expect(strangeNumbers(answer)).toEqual([]);
    expect(strangeNumbers(studyModel(plant, choices(), tools))).toEqual([]);
  });

  test('run twice on the same data it gives the same figures to the last digit', () => {
    const first = studyModel(plant, choices(), tools);
    const again = studyModel(plantOf(daysOfFive(torque125)), choices(), tools);
    expect(again.figures).toEqual(first.figures);
    expect(again.fingerprint).toBe(first.fingerprint);
    const saved = {
      id: 1,
      name: 'x',
      choices: choices(),
      savedMs: 0,
      by: 'x',
      fingerprint: first.fingerprint ?? '',
      figures: first.figures,
      programVersion: first.programVersion,
    };
    expect(changesSince(saved, again).same).toBe(true);
    const less = studyModel(plantOf(daysOfFive(torque125.slice(1))), choices(), tools);
    const changes = changesSince(saved, less);
    expect(changes.same).toBe(false);
    expect(say(changes.said)).toContain('readings 125 then, 124 now');
    expect(say(changes.said)).toContain('dump.csv (abababab) gives 124 instead of 125');
    expect(changes.changed.map((one) => one.figure)).toContain('Ppk');
  });

  test('its screen model draws every reading, 25 groups, histogram and probability plot', () => {
    const model = studyModel(plant, choices(), tools);
    expect(model.state.kind).toBe('ready');
    expect(model.marks).toHaveLength(125);
    expect(model.groups).toHaveLength(25);
    expect(model.histogram?.width).toBe(0.2);
    expect(model.histogram?.counts.reduce((a, b) => a + b, 0)).toBe(125);
    expect(model.probabilityPlot?.points).toHaveLength(125);
    expect(model.listed).toHaveLength(25);
    expect(model.sources).toEqual([{ id: 1, name: 'dump.csv', sha256: 'ab'.repeat(32), readings: 125 }]);
    for (const sentence of [
      model.verdict.headline,
      model.verdict.because,
      model.verdict.measurement,
      model.scopeFacts.said.indicesCaption,
      ...model.cautions,
      ...model.methodNotes,
    ]) {
      expect(say(sentence)).not.toMatch(/NaN|undefined|Infinity|study\./);
    }
  });
});

describe('left-out readings', () => {
  const rows = daysOfFive(torque125, (i) => (i === 7 ? { value: 27.9, leftOut: 'wrong bolt length' } : {}));
  const plant = plantOf(rows);
  const model = studyModel(plant, choices(), tools);

  test('shorten their group, step its limits wider, and stay drawn', () => {
    expect(model.answer?.n).toBe(124);
    const [first, second] = model.groups;
    expect(second?.n).toBe(4);
    expect((second?.upper ?? 0) - (first?.upper ?? 0)).toBeGreaterThan(0);
    expect(model.marks.filter((mark) => mark.leftOut)).toHaveLength(1);
    expect(model.scopeFacts.counts.leftOut).toBe(1);
  });

  test('are named with reason and person, and their effect is said', () => {
    expect(model.answer?.excluded).toEqual([
      { reading: '1:9', reason: 'wrong bolt length', by: 'A. Solheim', at: '1970-01-01T00:00:00.000Z' },
    ]);
    expect(say(model.leftOutEffect!)).toMatch(/^With it put back, Ppk would be 1\.\d\d\.$/);
  });

  test('are marked when their own operator left them out', () => {
    const named = plantOf(rows, { operators: [{ badge: '11', name: 'A. Solheim', confirmed: true }] });
    const marked = studyModel(named, choices(), tools);
    expect(marked.leftOut[0]?.byOwnOperator).toBe(true);
    expect(marked.cautions.map((one) => say(one)).join(' ')).toContain('left out by the operator who made it');
  });
});

test('operators go by numbers everywhere when the plant wants that', () => {
  const rows = daysOfFive(torque125, (i) => ({ operator: i % 2, value: torque125[i]! + (i % 2) }));
  const plant = plantOf(rows, {
    operators: [
      { badge: '11', name: 'K. Osei', confirmed: true },
      { badge: '12', name: 'M. Lind', confirmed: true },
    ],
  });
  const named = JSON.stringify(studyModel(plant, choices(), tools));
  expect(named).toContain('K. Osei');
  const hidden = JSON.stringify(studyModel(plant, choices(), { ...tools, anonymousOperators: true }));
  expect(hidden).not.toMatch(/K\. Osei|M\. Lind|"(operator|name)":"1[12]"/);
});

describe('limits tried out', () => {
  test('change only the block that is marked hypothetical', () => {
    const plant = plantOf(daysOfFive(torque125));
    const plain = studyModel(plant, choices(), tools);
    const tried = studyModel(plant, choices({ whatIf: { low: 22, high: 27 } }), tools);
    expect(tried.answer).toEqual(plain.answer);
    expect(tried.figures).toEqual(plain.figures);
    expect(tried.whatIf?.hypothetical).toBe(true);
    expect(tried.whatIf?.indices.find((row) => row.name === 'Pp')?.value).toBeCloseTo(
      (plain.indices.find((row) => row.name === 'Pp')?.value ?? 0) * 1.25,
      12,
    );
    expect(say(tried.whatIf!.said)).toContain('The joint keeps its limits');
  });
});

describe('a process that is not stable', () => {
  const rows = daysOfFive(torque125, (i) => (i >= 100 && i < 105 ? { value: 25.6 } : {}));
  const answer = studyAnswer(plantOf(rows), choices(), tools);
  test('is called so first, and met is null', () => {
    expect(answer.verdict.outcome).toBe('not-stable');
    expect(answer.verdict.met).toBeNull();
    expect(answer.verdict.withoutStability).not.toBeNull();
    expect(answer.verdict.because).toMatch(/^One of 25 group means lies outside its limits\./);
    expect(answer.stability.signals[0]?.readings).toHaveLength(5);
  });
});

describe('degenerate data gives a sentence, not a number', () => {
  const cases: [string, Row[], Parameters<typeof choices>[0]?, Parameters<typeof plantOf>[1]?][] = [
    ['no readings', []],
    ['one reading', [{ value: 24 }]],
    ['two readings', [{ value: 24 }, { value: 24.1 }]],
    ['all equal', Array.from({ length: 60 }, () => ({ value: 24 }))],
    ['three levels', Array.from({ length: 90 }, (_, i) => ({ value: 24 + (i % 3) }))],
    [
      'low limit only',
      drawn(60, 24, 0.4, 3).map((value) => ({ value })),
      {},
      { joints: [joint({ high: null, target: null })] },
    ],
    [
      'high limit only',
      drawn(60, 24, 0.4, 3).map((value) => ({ value })),
      {},
      { joints: [joint({ low: null, target: null })] },
    ],
    [
      'equal limits',
      drawn(60, 24, 0.4, 3).map((value) => ({ value })),
      {},
      { joints: [joint({ low: 24, target: 24, high: 24 })] },
    ],
    ['no limits', drawn(60, 24, 0.4, 3).map((value) => ({ value })), {}, { joints: [joint({}, { revisions: [] })] }],
    ['no class', drawn(60, 24, 0.4, 3).map((value) => ({ value })), {}, { joints: [joint({}, { class: null })] }],
    ['angle without angles', drawn(60, 24, 0.4, 3).map((value) => ({ value })), { of: 'angle' }],
    ['no time', drawn(60, 24, 0.4, 3).map((value) => ({ value, at: Number.NaN }))],
    ['far outside', drawn(60, 40, 0.4, 3).map((value) => ({ value }))],
    ['all left out', Array.from({ length: 30 }, () => ({ value: 24.1, leftOut: 'wrong joint' }))],
    [
      'values below zero with a positive model',
      drawn(60, 0, 0.4, 3).map((value) => ({ value: Math.abs(value) })),
      { model: 'gamma' },
    ],
    ['single readings', drawn(60, 24, 0.4, 3).map((value) => ({ value })), { subgroup: 1 }],
    [
      'groups of 25 that never fill',
      drawn(60, 24, 0.4, 3).map((value, i) => ({ value, at: start + i * 86_400_000 })),
      { subgroup: 25 },
    ],
    ['empirical with too few', drawn(60, 24, 0.4, 3).map((value) => ({ value })), { model: 'empirical' }],
    ['in another unit', drawn(60, 24, 0.4, 3).map((value) => ({ value })), { unit: 'lbf.ft' }],
    ['two tools that differ', drawn(120, 24, 0.3, 3).map((value, i) => ({ value: value + (i % 2), tool: i % 2 }))],
  ];
  for (const [name, rows, chosen, register] of cases) {
    for (const within of [null, 's-bar', 'r-bar'] as const) {
      if (within !== null && chosen?.subgroup === 1) continue;
      test(`${name}, within ${within ?? 'default'}`, () => {
        const plant = plantOf(rows, register);
        const model = studyModel(plant, choices({ ...chosen, within }), tools);
        expect(strangeNumbers(model)).toEqual([]);
        const text = JSON.stringify(model, (_key, value) =>
          value && typeof value === 'object' && 'key' in value && 'args' in value ? say(value) : value,
        );
        expect(text).not.toMatch(/NaN|Infinity|\bundefined\b/);
        for (const row of model.indices) if (row.value === null) expect(say(row.note!)).toMatch(/^Not computed: /);
      });
    }
  }

  test('three levels: the verdict itself says that no distribution can be told from them', () => {
    const levels = plantOf(Array.from({ length: 90 }, (_, i) => ({ value: 24 + (i % 3) / 10 })));
    expect(studyAnswer(levels, choices(), tools).verdict.because).toContain('only three different values');
  });

  test('n = 0 says which readings are missing; an unknown joint lists candidates', () => {
    const none = studyModel(plantOf([]), choices(), tools);
    expect(none.state.kind).toBe('nothing');
    expect(say((none.state as { said: Parameters<typeof say>[0] }).said)).toContain('No readings of J1');
    const unknown = studyModel(plantOf([{ value: 24 }]), choices({ joint: 'nowhere' }), tools);
    expect(unknown.state.kind).toBe('choose-joint');
    expect(unknown.joints).toEqual([{ name: 'J1', readings: 1, class: 'B' }]);
    expect(() => studyAnswer(plantOf([]), choices({ joint: 'nowhere' }), tools)).toThrow('no joint named');
  });

  test('under 25 readings the run chart is there and indices are not', () => {
    const model = studyModel(
      plantOf(drawn(24, 24, 0.4, 5).map((value) => ({ value }))),
      choices({ subgroup: 1 }),
      tools,
    );
    expect(model.state.kind).toBe('too-few');
    expect(model.marks).toHaveLength(24);
    expect(model.chart.upper).not.toBeNull();
    expect(model.indices.every((row) => row.value === null)).toBe(true);
    expect(model.verdict.outcome).toBe('not-computed');
  });

  test('a moving range with groups of five is refused in a sentence', () => {
    expect(() => studyModel(plantOf([{ value: 24 }]), choices({ within: 'mr-bar', subgroup: 5 }), tools)).toThrow(
      'goes with single readings only',
    );
    expect(() => studyModel(plantOf([{ value: 24 }]), choices({ within: 'pooled', subgroup: 1 }), tools)).toThrow(
      'needs groups of two or more',
    );
  });
});

describe('what a study uses', () => {
  test('first tries only by default, failing ones included; last and all by choice', () => {
    const rows: Row[] = torque125.map((value, i) => ({ value, at: start + i * 300_000 }));
    // A second try 30 s after a failing reading.
    rows.push({ value: 20, at: start + 200 * 300_000 }, { value: 24, at: start + 200 * 300_000 + 30_000 });
    const plant = plantOf(rows);
    expect(studyAnswer(plant, choices(), tools).n).toBe(126);
    expect(studyAnswer(plant, choices(), tools).outside.observed.count).toBe(1);
    expect(studyAnswer(plant, choices({ attempts: 'last' }), tools).outside.observed.count).toBe(0);
    expect(studyAnswer(plant, choices({ attempts: 'all' }), tools).n).toBe(127);
  });

  test('one set of limits: readings of other revisions are left out and counted, unless the limits are equal', () => {
    const rows = torque125.map((value, i) => ({ value, at: start + i * 300_000 }));
    const change = start + 50 * 300_000;
    const revisions = (high: number) => [
      { ...joint().revisions[0]!, from: 0 },
      { ...joint().revisions[0]!, label: 'B', from: change, high },
    ];
    const changed = studyModel(plantOf(rows, { joints: [joint({}, { revisions: revisions(27) })] }), choices(), tools);
    expect(changed.answer?.n).toBe(75);
    expect(changed.scopeFacts.counts.otherRevisions).toBe(50);
    expect(changed.limits.high).toBe(27);
    const equal = studyModel(plantOf(rows, { joints: [joint({}, { revisions: revisions(26) })] }), choices(), tools);
    expect(equal.answer?.n).toBe(125);
  });

  test('groups never mix tools or shifts', () => {
    const rows = torque125.map((value, i) => ({ value, tool: i % 2, at: start + i * 300_000 }));
    const model = studyModel(plantOf(rows), choices(), tools);
    for (const group of model.groups) {
      const toolsOfGroup = new Set(model.marks.filter((mark) => mark.group === group.index).map((mark) => mark.tool));
      expect(toolsOfGroup.size).toBe(1);
    }
  });

  test('several tools: each reading by its own permitted error, no guard band', () => {
    const rows = daysOfFive(torque125, (i) => ({ tool: i < 60 ? 0 : 1 }));
    const plant = plantOf(rows, { tools: [tool('T-1'), tool('T-2', { permissibleDeviationPercent: 6 })] });
    const { measurement } = studyAnswer(plant, choices(), tools);
    expect(measurement.guardLow).toBeNull();
    expect(measurement.permissiblePercent).toBeNull();
    expect(measurement.ppkAtPermittedError).not.toBeNull();
    const proof = measurement.proof!;
    expect(proof.inside + proof.outside + proof.neither).toBe(125);
    // By hand from definitions 13: at 4 % inside is proved from 22.84 to 25.01, at 6 % from 23.26 to 24.52.
    const proved = torque125.filter((x, i) => (i < 60 ? x >= 22.8358 && x <= 25.0122 : x >= 23.2537 && x <= 24.5185));
    expect(proof.inside).toBe(proved.length);
  });

  test('Cm and Cmk only for one tool, one operator, one shift and 50 readings, with their caution', () => {
    const run = drawn(50, 24, 0.3, 9).map((value) => ({ value }));
    const model = studyModel(plantOf(run), choices(), tools);
    expect(model.answer?.indices.Cmk?.value).toBe(model.answer?.indices.Ppk?.value);
    expect(model.cautions.map((one) => say(one)).join(' ')).toContain('not a machine capability test');
    expect(studyAnswer(plantOf(run.slice(1)), choices(), tools).indices.Cmk).toBeNull();
  });
});

describe('another distribution', () => {
  test('gives percentile indices with a seeded bootstrap, Cp and Cpk null, and says that the model is in doubt', () => {
    const plant = plantOf(daysOfFive(torque125));
    const answer = studyAnswer(plant, choices({ model: 'lognormal', seed: 7 }), tools);
    expect(answer.indices.Ppk?.method).toBe('percentile');
    expect(answer.indices.Ppk?.low95).not.toBeNull();
    expect(answer.indices.Cpk).toBeNull();
    expect(answer.seed).toBe(7);
    expect(answer.replicates).toBe(1999);
    expect(answer.cautions.join(' ')).toContain('do not contain the doubt about the distribution');
    const again = studyAnswer(plantOf(daysOfFive(torque125)), choices({ model: 'lognormal', seed: 7 }), tools);
    expect(again.indices).toEqual(answer.indices);
  });

  test('the index at the permitted error is of the same distribution, and lies below its Ppk', () => {
    const plant = plantOf(daysOfFive(torque125));
    for (const model of ['lognormal', 'weibull', 'gamma'] as const) {
      const { indices, measurement } = studyAnswer(plant, choices({ model, seed: 7 }), tools);
      expect(measurement.ppkAtPermittedError, model).toBeLessThan(indices.Ppk?.value ?? 0);
      // Fitted again to the applied torque by hand: the same figure.
      const again = [1.04, 0.96].map(
        (k) =>
          percentileIndices(
            fitModel(
              model,
              torque125.map((x) => x / k),
              0.01,
            )!,
            { low: 22, target: 24, high: 26 },
          )!.Ppk!,
      );
      near(measurement.ppkAtPermittedError, Math.min(...again), 1e-6, model);
    }
  });

  test('the seed is the first 32 bits of the fingerprint unless given', () => {
    const answer = studyAnswer(plantOf(daysOfFive(torque125)), choices({ model: 'weibull' }), tools);
    expect(answer.seed).toBe(Number.parseInt(answer.fingerprint.slice(0, 8), 16));
  });
});

describe('groups of readings compared (definitions 17)', () => {
  const three = [0.1, -0.1, 0, 0.2, -0.2, 0.05, -0.05, 0.12, -0.12, 0.02];
  /** Two operators in every shift, ten readings each; shifts differ by what `shiftOf` gives. */
  const rowsOf = (shifts: number, shiftOf: (k: number) => number, operatorOf: (o: number) => number): Row[] =>
    Array.from({ length: shifts * 20 }, (_, i) => {
      const k = Math.floor(i / 20);
      const operator = Math.floor((i % 20) / 10);
      return {
        value: Math.round((24 + three[i % 10]! + shiftOf(k) + operatorOf(operator)) * 100) / 100,
        at: start + k * 86_400_000 + (i % 20) * 150_000,
        operator,
      };
    });
  const byOperator = (rows: Row[]) =>
    studyModel(plantOf(rows), choices(), tools).strata.find((table) => table.by === 'operator')!;

  test('in one shift on readings, over several on the means of cells, each once', () => {
    const one = byOperator(
      rowsOf(
        1,
        () => 0,
        (o) => o * 0.02,
      ),
    );
    expect(one.basis).toEqual({ kind: 'readings', count: 20 });
    const many = byOperator(
      rowsOf(
        8,
        () => 0,
        (o) => o * 0.02,
      ),
    );
    expect(many.basis).toEqual({ kind: 'cells', count: 16 });
  });

  test('what differs between shifts is not laid on the operators; what differs between operators is found', () => {
    // Shifts 0.3 N·m apart and each operator in every one: as single readings nothing would show, or all.
    const shifting = byOperator(
      rowsOf(
        8,
        (k) => 0.3 * ((k * 5) % 8),
        () => 0,
      ),
    );
    expect(shifting.mixture).toBe(false);
    const differing = byOperator(
      rowsOf(
        8,
        (k) => 0.01 * (k % 2),
        (o) => o * 0.2,
      ),
    );
    expect(differing.mixture).toBe(true);
    expect(differing.largest?.difference).toBeCloseTo(-0.2, 10);
  });

  test('the line of a row is the middle 90 % of its readings', () => {
    const row = byOperator(
      rowsOf(
        8,
        () => 0,
        () => 0,
      ),
    ).rows[0]!;
    expect(row.low).toBeCloseTo(23.8, 10);
    expect(row.high).toBeCloseTo(24.2, 10);
    const apart = byOperator([
      ...rowsOf(
        8,
        () => 0,
        () => 0,
      ),
      { value: 20, at: start + 3_600_000 * 5 },
    ]).rows[0]!;
    expect(apart.low).toBeGreaterThan(23);
  });
});
