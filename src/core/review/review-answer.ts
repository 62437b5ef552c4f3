import { verdictPass } from '../judging/judged.ts';
import { timeStepsMs } from '../readings/columns.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { chainByName, fastenerName } from '../readings/reading-row.ts';
import type { Scope } from '../readings/scope.ts';
import { say } from '../text/said.ts';
import { civilText } from '../time/civil-time.ts';
import type { TorqueUnit } from '../units/torque-unit.ts';
import { batchesInScope, batchesOf } from './batches.ts';
import { causesOf } from './causes.ts';
import { fastenerChains } from './chains.ts';
import { fastenerRate } from './fastener-rates.ts';
import { operatorToolCells } from './operator-tool-matrix.ts';
import { periodOf } from './period-of.ts';
import { reviewNotices } from './review-notices.ts';
import { reviewTally } from './review-tally.ts';

/** The `review` document of the command line. Rates and interval ends are 0..1; a reading is named by its id. */
export interface ReviewAnswer {
  readonly period: { readonly from: string | null; readonly to: string | null; readonly shift: string | null };
  readonly readings: {
    readonly n: number;
    readonly pass: number;
    readonly fail: number;
    readonly unjudged: number;
    readonly noTime: number;
    readonly otherDirection: number;
  };
  readonly firstPass: AnswerRate;
  readonly finalRate: AnswerRate;
  readonly causes: readonly {
    readonly reasons: readonly string[];
    readonly joint: string | null;
    readonly count: number;
    readonly readings: readonly string[];
  }[];
  readonly retries: readonly {
    readonly joint: string | null;
    readonly tool: string | null;
    readonly fastener: string | null;
    readonly chainBy: 'identity' | 'time' | null;
    readonly readings: readonly string[];
    readonly loosened: boolean;
    readonly endsInPass: boolean;
  }[];
  readonly batches:
    | readonly {
        readonly joint: string | null;
        readonly tool: string | null;
        readonly batch: string | null;
        readonly from: string | null;
        readonly size: number;
        readonly distinct: number;
        readonly missing: number;
        readonly surplus: number;
      }[]
    | null;
  readonly matrix: readonly ({
    readonly operator: string | null;
    readonly tool: string | null;
    readonly adjustedP: number | null;
  } & AnswerRate)[];
  readonly ownResultDiffers: number;
  readonly notices: readonly {
    readonly kind: string;
    readonly text: string;
    readonly count: number;
    readonly readings: readonly string[];
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

/**
 * Answers `review` of the command line.
 *
 * @param _unit unit of display; nothing in this document is a torque today
 */
export function reviewAnswer(plant: Plant, scope: Scope, _unit: TorqueUnit): ReviewAnswer {
  const { readings, register, judged } = plant;
  const tally = reviewTally(plant, scope);
  const { selection } = tally;
  const period = periodOf(plant, scope, tally);
  const text = (at: number | null): string | null => (at === null ? null : civilText(at));
  return {
    period: { from: text(period.from), to: text(period.to), shift: period.shift },
    readings: {
      n: selection.length,
      pass: tally.pass,
      fail: tally.fail,
      unjudged: tally.unjudged,
      noTime: tally.noTime,
      otherDirection: tally.otherDirection,
    },
    firstPass: answerRate(tally.fasteners, tally.firstJudged, tally.firstPassed),
    finalRate: answerRate(tally.fasteners, tally.lastJudged, tally.lastPassed),
    causes: causesOf(plant, tally, 'every-try').map((cause) => ({
      reasons: cause.reasons,
      joint: register.joints[cause.joint]?.name ?? null,
      count: cause.readings.length,
      readings: Array.from(cause.readings, (i) => readingName(readings, i)),
    })),
    retries: Array.from(tally.again, (i) => retry(plant, i)),
    batches: batchRows(plant, selection),
    matrix: operatorToolCells(tally).map((cell) => ({
      operator: register.operators[cell.operator]?.badge ?? null,
      tool: register.tools[cell.tool]?.serial ?? null,
      ...answerRate(cell.fasteners, cell.judged, cell.passed),
      adjustedP: cell.adjustedP,
    })),
    ownResultDiffers: tally.ownResultDiffers,
    notices: reviewNotices(plant, scope).map((notice) => ({
      kind: notice.kind,
      text: say(notice.said),
      count: notice.count,
      readings: notice.readings,
    })),
  };

  function retry(of: Plant, i: number): ReviewAnswer['retries'][number] {
    const chains = fastenerChains(of);
    const tries: number[] = [];
    let loosened = false;
    for (let k = i; k >= 0; k = chains.next[k]!) {
      tries.push(k);
      if (chains.loosened[k] === 1) loosened = true;
    }
    return {
      joint: register.joints[readings.joint[i]!]?.name ?? null,
      tool: register.tools[readings.tool[i]!]?.serial ?? null,
      fastener: fastenerName(of, i),
      chainBy: chainByName(of, i),
      readings: tries.map((k) => readingName(readings, k)),
      loosened,
      endsInPass: judged.verdict[tries.at(-1) ?? i] === verdictPass,
    };
  }
}

function answerRate(fasteners: number, judged: number, passed: number): AnswerRate {
  const { share, low95, high95 } = fastenerRate(fasteners, judged, passed);
  return { fasteners, judged, passed, rate: share, low95, high95 };
}

/** Batches in scope, complete ones too; null: there are fasteners, but no batch can be told. */
function batchRows(plant: Plant, selection: Uint32Array): ReviewAnswer['batches'] {
  const { readings, register, names } = plant;
  const all = batchesOf(plant);
  const { batches } = batchesInScope(plant, selection);
  if (batches.length === 0 && selection.length > 0) return null;
  return Array.from(batches, (b) => {
    const i = all.firstReading[b]!;
    const size = all.size[b]!;
    const distinct = all.distinct[b]!;
    const at = readings.at[i]!;
    return {
      joint: register.joints[all.joint[b]!]?.name ?? null,
      tool: register.tools[all.tool[b]!]?.serial ?? null,
      batch: names.batches[all.batch[b]!] ?? null,
      from: Number.isNaN(at) ? null : civilText(at, timeStepsMs[readings.atStep[i] as 0 | 1 | 2 | 3 | 4]),
      size,
      distinct,
      missing: Math.max(0, size - distinct),
      surplus: Math.max(0, distinct - size),
    };
  });
}
