/** The `drift` document of the command line. */
import type { DriftModel, DriftToolRow, EffectRow, Lane } from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { finished, type Steps } from '../steps.ts';
import { say } from '../text/said.ts';
import { civilText, msPerDay } from '../time/civil-time.ts';
import { type DriftOptions, defaultDriftOptions } from './analysis.ts';
import { driftModelSteps } from './drift-model.ts';
import { operatorLabels } from './operator-labels.ts';

interface LaneAnswer {
  readonly moved: boolean | null;
  readonly slopePercentPer1000: number | null;
  readonly slopeLow95: number | null;
  readonly slopeHigh95: number | null;
  readonly mannKendallP: number | null;
  readonly changePoint: {
    readonly at: string;
    readonly low95: string;
    readonly high95: string;
    readonly shape: 'step' | 'ramp';
    readonly shiftPercent: number;
    readonly shiftLow95: number;
    readonly shiftHigh95: number;
  } | null;
  readonly alarmAt: string | null;
  readonly adjustedP: number | null;
  readonly changeAdjustedP: number | null;
  readonly blocks: number;
  readonly why: string | null;
}

/** How full the memory of a tool may be, from the collection list. */
export interface ToolCollection {
  readonly storedEstimate: number | null;
  /** Civil ms. */
  readonly fullOn: number | null;
}

/**
 * The `drift` document: tools with their three lanes, effects, what is tangled.
 *
 * @param collection by tool serial; what is not there is null
 */
export function driftDocument(model: DriftModel, collection: ReadonlyMap<string, ToolCollection>) {
  return {
    tools: model.tools.map((tool) => toolAnswer(tool, collection.get(tool.tool))),
    expectedFalseAlarms: model.expectedFalseAlarms,
    effects: {
      tool: model.effects.tool.map(effectAnswer),
      operator: model.effects.operator.map(effectAnswer),
      joint: model.effects.joint.map(effectAnswer),
    },
    tangled: model.tangled.map((group) => ({
      tools: group.tools,
      operators: group.operators,
      joints: group.joints,
      untangleBy: say(group.untangleSays),
      untangleSteps: group.untangleBy,
      says: say(group.says),
    })),
    barelySeparable: model.barely,
    operators: model.operators.map((one) => ({
      operator: one.operator,
      readings: one.readings,
      stopPercent: one.stop?.percent ?? null,
      stopLow95: one.stop?.low95 ?? null,
      stopHigh95: one.stop?.high95 ?? null,
      spreadPercent: one.spreadPercent,
      spreadLow95: one.spreadLow95,
      spreadHigh95: one.spreadHigh95,
      moved: one.moved,
      says: say(one.line),
    })),
    finding: say(model.finding),
    leftOut: model.leftOut.map((row) => ({ why: say(row.why), count: row.count })),
    readings: model.readings,
    blocks: model.blocks,
  };

  function effectAnswer(row: EffectRow) {
    return {
      name: row.name,
      effectPercent: row.effectPercent,
      low95: row.low95,
      high95: row.high95,
      n: row.n,
      blocks: row.blocks,
    };
  }
}

function toolAnswer(tool: DriftToolRow, collection: ToolCollection | undefined) {
  const { latest, forecast } = tool.checks;
  return {
    tool: tool.tool,
    n: tool.readings,
    lanes: {
      ownReadings: laneAnswer(tool.own),
      angleSignature: {
        ...laneAnswer(tool.response),
        smallestVisible: tool.response.smallestVisible,
        expectedAtPermitted: tool.response.expectedAtPermitted,
        quantity: tool.response.quantity,
      },
      checks: latest
        ? {
            latestDeviationPercent: latest.deviationPercent,
            nominal: latest.nominal,
            pulls: latest.pulls,
            permissiblePercent: tool.checks.permissiblePercent,
            passed: latest.passed,
            crossesOn: day(forecast?.crossesOn),
            crossesLow95: day(forecast?.low95),
            crossesHigh95: day(forecast?.high95),
            due: day(tool.calibrationDue?.on),
            checkDue: day(tool.checkDue?.on),
            at: civilText(latest.at),
          }
        : null,
    },
    calibrationDue: day(tool.calibrationDue?.on),
    calibrationOverdue: tool.calibrationDue?.overdue ?? null,
    checkDue: day(tool.checkDue?.on),
    checkOverdue: tool.checkDue?.overdue ?? null,
    collection: {
      storedEstimate: collection?.storedEstimate ?? null,
      fullOn: day(collection?.fullOn),
    },
    finding: say(tool.finding),
    kind: tool.kind,
    urgency: tool.urgency,
    togetherWith: tool.togetherWith,
    affected: {
      since: tool.affected.since === null ? null : civilText(tool.affected.since),
      until: tool.affected.until === null ? null : civilText(tool.affected.until),
      count: tool.affected.count,
      noTime: tool.affected.noTime,
      passed: tool.affected.passed,
      byJoint: tool.affected.byJoint,
    },
    inQuestion: tool.inQuestion
      ? {
          since: civilText(tool.inQuestion.since),
          count: tool.inQuestion.count,
          wouldLeaveLimits: tool.inQuestion.wouldLeaveLimits,
        }
      : null,
  };
}

function laneAnswer(lane: Lane): LaneAnswer {
  const change = lane.changePoint;
  return {
    moved: lane.moved,
    slopePercentPer1000: lane.slopePercentPer1000?.percent ?? null,
    slopeLow95: lane.slopePercentPer1000?.low95 ?? null,
    slopeHigh95: lane.slopePercentPer1000?.high95 ?? null,
    mannKendallP: lane.mannKendallP,
    changePoint: change
      ? {
          at: civilText(change.at),
          low95: civilText(change.low95),
          high95: civilText(change.high95),
          shape: change.shape,
          shiftPercent: change.shiftPercent,
          shiftLow95: change.shiftLow95,
          shiftHigh95: change.shiftHigh95,
        }
      : null,
    alarmAt: lane.alarmAt === null ? null : civilText(lane.alarmAt),
    adjustedP: lane.adjustedP,
    changeAdjustedP: lane.changeAdjustedP,
    blocks: lane.blocks,
    why: lane.why ? say(lane.why) : null,
  };
}

const day = (at: number | null | undefined): string | null =>
  at === null || at === undefined ? null : civilText(at, msPerDay);

/** The `drift` document of a scope. */
export const driftAnswer = (...asked: Parameters<typeof driftAnswerSteps>) => finished(driftAnswerSteps(...asked));

/** The same in steps, for whoever must answer others in between. */
export function* driftAnswerSteps(
  plant: Plant,
  scope: Scope,
  now: number,
  options: DriftOptions = defaultDriftOptions,
  collection: ReadonlyMap<string, ToolCollection> = new Map(),
): Steps<ReturnType<typeof driftDocument>> {
  // Documents name operators by badge, as every other document does; labels only where the plant wants nobody named.
  const labels = options.anonymousOperators
    ? operatorLabels(plant.register, true)
    : [...plant.register.operators.map((operator) => operator.badge), ''];
  const model = yield* driftModelSteps(plant, scope, now, options, labels, Number.POSITIVE_INFINITY);
  return driftDocument(model, collection);
}
