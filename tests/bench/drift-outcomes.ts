/** Outcomes of the drift analysis over simulated plants: shared by the power bench and its short form in the tests. */
import type { DriftModel, DriftToolRow } from '#core/contract/models/drift-model.ts';
import { driftModel } from '#core/drift/drift-model.ts';
import { everything } from '#core/readings/scope.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { firstDay, type Planted, simulatedPlant, simulationRandom } from './simulated-plant.ts';

const tools = 6;
const operators = 5;
const shifts = 40;

export interface OutcomeKind {
  readonly name: string;
  readonly about: string;
  readonly planted: (seed: number) => Planted;
  readonly tied?: boolean;
  readonly perShift?: number;
}

/** The tool that carries the planted change, and when: both differ from plant to plant. */
const place = (seed: number): { tool: number; at: number } => {
  const random = simulationRandom(seed * 7919);
  return { tool: Math.floor(random.uniform() * tools), at: 13 + Math.floor(random.uniform() * 14) };
};

export const outcomeKinds: readonly OutcomeKind[] = [
  { name: 'none', about: 'nothing planted', planted: () => ({ kind: 'none' }) },
  {
    name: 'stop',
    about: 'one tool is stopped 4 % early from some shift on',
    planted: (seed) => ({ kind: 'stop', percent: -4, ...place(seed) }),
  },
  {
    name: 'small stop',
    about: 'one tool is stopped 1 % early from some shift on',
    planted: (seed) => ({ kind: 'stop', percent: -1, ...place(seed) }),
  },
  {
    name: 'transducer',
    about: 'one tool shows 2.5 % too little from some shift on',
    planted: (seed) => ({ kind: 'transducer', percent: -2.5, ...place(seed) }),
  },
  {
    name: 'small transducer',
    about: 'one tool shows 1 % too much from some shift on',
    planted: (seed) => ({ kind: 'transducer', percent: 1, ...place(seed) }),
  },
  {
    name: 'operator',
    about: 'one operator stops 2 % late all the time',
    planted: (seed) => ({ kind: 'operator', operator: seed % operators, percent: 2 }),
  },
  {
    name: 'joint',
    about: 'parts at one joint need 5 % of the target more to seat, for all tools, from some shift on',
    planted: (seed) => ({ kind: 'joint', joint: seed % 5, percent: 5, at: place(seed).at }),
  },
  {
    name: 'tied',
    about: 'every operator keeps to one tool; one operator stops 3 % early',
    planted: (seed) => ({ kind: 'operator', operator: seed % 6, percent: -3 }),
    tied: true,
  },
];

export interface OutcomeCounts {
  readonly lines: readonly { readonly what: string; readonly count: number; readonly of: number }[];
  /** By lane, for each plant the share of the moves said that are false (0 where none is said): its mean is the false
   * discovery rate that Benjamini-Hochberg holds down. */
  readonly falseShares: Readonly<Record<'own' | 'response', readonly number[]>>;
  /** Alarms of the EWMA of own readings on steady tools, and how many the program said to expect, all plants together. */
  readonly alarms: { readonly seen: number; readonly expected: number };
  count(what: string): { count: number; of: number };
}

/** Runs plants of one kind with seeds `firstSeed`, `firstSeed + 1` ... and counts what was said. */
export function countOutcomes(kind: OutcomeKind, plants: number, firstSeed: number): OutcomeCounts {
  const counts = new Map<string, { count: number; of: number }>();
  const add = (what: string, yes: boolean): void => {
    const one = counts.get(what) ?? { count: 0, of: 0 };
    one.count += yes ? 1 : 0;
    one.of++;
    counts.set(what, one);
  };
  const falseShares: Record<'own' | 'response', number[]> = { own: [], response: [] };
  const alarms = { seen: 0, expected: 0 };
  for (let seed = firstSeed; seed < firstSeed + plants; seed++) {
    const planted = kind.planted(seed);
    const plant = simulatedPlant({
      seed: seed * 31 + kind.name.length,
      tools,
      operators: kind.tied ? tools : operators,
      joints: 5,
      shifts,
      perShift: kind.perShift ?? 30,
      planted,
      ...(kind.tied ? { tied: true } : {}),
    });
    const model = driftModel(plant, everything, firstDay + 60 * msPerDay);
    const carrier = 'tool' in planted ? plant.register.tools[planted.tool]!.serial : null;
    alarms.expected += model.expectedFalseAlarms;
    for (const row of model.tools) if (row.tool !== carrier && row.own.alarmAt !== null) alarms.seen++;
    const discoveries = { own: { said: 0, wrong: 0 }, response: { said: 0, wrong: 0 } };
    for (const row of model.tools) {
      const isCarrier = row.tool === carrier;
      const atJoint = planted.kind === 'joint' && row.joints.includes(plant.register.joints[planted.joint]!.name);
      if (row.own.moved) {
        discoveries.own.said++;
        if (!(isCarrier && planted.kind === 'stop')) discoveries.own.wrong++;
      }
      if (row.response.moved) {
        discoveries.response.said++;
        if (!(isCarrier && planted.kind === 'transducer') && !atJoint) discoveries.response.wrong++;
      }
      if (!isCarrier && !atJoint) {
        add('steady tool: own readings called moved', row.own.moved === true);
        add('steady tool: response called moved', row.response.moved === true);
        add('steady tool: called wrong or to be checked', blamed(row));
      }
    }
    for (const lane of ['own', 'response'] as const) {
      const { said, wrong } = discoveries[lane];
      falseShares[lane].push(said === 0 ? 0 : wrong / said);
    }
    const row = carrier === null ? undefined : model.tools.find((one) => one.tool === carrier);
    if (row && planted.kind === 'stop') {
      add('found in the own lane', row.own.moved === true);
      add('said: people or stop signal', row.kind === 'people-or-stop');
      add('laid on the tool (response called moved)', row.response.moved === true);
      if (row.own.changePoint) add('interval of the date holds the true shift', dateHeld(row, 'own', planted.at));
    }
    if (row && planted.kind === 'transducer') {
      add('found in the response lane', row.response.moved === true);
      add('said: may read wrongly, in the true direction', rightDirection(row, planted.percent));
      add('own readings called moved', row.own.moved === true);
      add('first in the list', row.rank === 1);
      if (row.response.changePoint) {
        add('interval of the date holds the true shift', dateHeld(row, 'response', planted.at));
      }
    }
    if (planted.kind === 'operator' && !kind.tied) {
      const badge = plant.register.operators[planted.operator]!.badge;
      const effect = model.effects.operator.find((one) => one.name === badge);
      add('operator effect found (interval excludes 0, above)', effect !== undefined && effect.low95 > 0);
      add(
        'any tool effect over 1 % laid on a tool',
        model.effects.tool.some((one) => clear(one) && Math.abs(one.effectPercent) > 1),
      );
    }
    if (planted.kind === 'joint') {
      const touched = model.tools.filter((one) => one.joints.includes(plant.register.joints[planted.joint]!.name));
      for (const one of touched) {
        add('tool at the joint: laid on the tool', blamed(one));
        if (one.response.moved)
          add('tool at the joint with a moved response: said the joint', one.kind === 'joint-not-tool');
      }
    }
    if (kind.tied) {
      add('a tool or operator effect given', model.effects.tool.length > 0 || model.effects.operator.length > 0);
      add('all tools and operators named as tangled', tangledAll(model));
      add('a way to untangle is given', (model.tangled[0]?.untangleBy.length ?? 0) > 0);
    }
  }
  return {
    lines: [...counts].map(([what, one]) => ({ what, ...one })),
    falseShares,
    alarms,
    count: (what) => counts.get(what) ?? { count: 0, of: 0 },
  };
}

const clear = (one: { readonly low95: number; readonly high95: number }): boolean => one.low95 > 0 || one.high95 < 0;

const blamed = (row: DriftToolRow): boolean =>
  row.kind === 'may-read-wrong' || row.kind === 'reads-wrong' || row.kind === 'more-than-one';

function rightDirection(row: DriftToolRow, percent: number): boolean {
  return (
    row.kind === 'may-read-wrong' &&
    row.response.changePoint !== null &&
    Math.sign(row.response.changePoint.shiftPercent) === -Math.sign(percent)
  );
}

function dateHeld(row: DriftToolRow, lane: 'own' | 'response', at: number): boolean {
  const change = row[lane].changePoint;
  const day = Math.floor(at / 2);
  const trueAt = firstDay + (Math.floor(day / 5) * 7 + (day % 5)) * msPerDay + (at % 2 === 0 ? 6 : 14) * 3_600_000;
  return change !== null && change.low95 <= trueAt && trueAt <= change.high95;
}

function tangledAll(model: DriftModel): boolean {
  const group = model.tangled[0];
  return group !== undefined && group.tools.length === tools && group.operators.length === tools;
}

/** Mean of shares with a normal interval, as text. */
export function meanText(shares: readonly number[]): string {
  const n = shares.length;
  const mean = shares.reduce((sum, v) => sum + v, 0) / n;
  const variance = shares.reduce((sum, v) => sum + (v - mean) ** 2, 0) / Math.max(1, n - 1);
  const half = 1.96 * Math.sqrt(variance / n);
  const percent = (value: number): string => (100 * value).toFixed(1);
  return `${percent(mean).padStart(5)} % (${percent(Math.max(0, mean - half))} to ${percent(mean + half)}), ${n} plants`;
}

/** "12.5 % (9.1 to 17.0), 30 of 240" with the Wilson interval. */
export function rateText(count: number, of: number): string {
  if (of === 0) return 'none';
  const z = 1.959963984540054;
  const p = count / of;
  const middle = (p + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z / (1 + (z * z) / of)) * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
  const percent = (value: number): string => (100 * value).toFixed(1);
  return `${percent(p).padStart(5)} % (${percent(Math.max(0, middle - half))} to ${percent(Math.min(1, middle + half))}), ${count} of ${of}`;
}
