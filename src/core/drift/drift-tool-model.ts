/** One tool in detail: three strips, angle against torque, what moved, the check log, readings in doubt. */
import type {
  DriftToolModel,
  FindingKind,
  MovedRow,
  ResponseScatter,
  StripMark,
} from '../contract/models/drift-model.ts';
import { ProblemError } from '../contract/problems.ts';
import type { Plant } from '../readings/plant.ts';
import { readingName } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { finished, type Steps } from '../steps.ts';
import { type Said, said } from '../text/said.ts';
import {
  analysisSteps,
  type DriftAnalysis,
  type DriftOptions,
  defaultDriftOptions,
  type LaneRows,
} from './analysis.ts';
import { leastDegreesOfFreedom } from './cell-model.ts';
import { baselineBlocks } from './cells.ts';
import { rankedTools } from './drift-model.ts';
import { driftReadings } from './drift-readings.ts';
import { driftWorkings } from './drift-workings.ts';
import type { LaneResult } from './lane.ts';
import { operatorLabels } from './operator-labels.ts';
import { tangledGroups, usableAt } from './tangles.ts';
import { type ToolFacts, toolFacts } from './tool-row.ts';

const mostPoints = 400;
const mostOthers = 4;
const mostOperators = 8;
const checksInLog = 50;

/**
 * What the drift screen shows of one tool.
 *
 * A tool without readings in the scope still has its checks and due dates.
 *
 * @param serial as the register writes it
 * @throws ProblemError `not-found` for a tool that the register does not know
 */
export const driftToolModel = (...asked: Parameters<typeof driftToolSteps>): DriftToolModel =>
  finished(driftToolSteps(...asked));

/** The same in steps, for whoever must answer others in between. */
export function* driftToolSteps(
  plant: Plant,
  scope: Scope,
  now: number,
  serial: string,
  options: DriftOptions = defaultDriftOptions,
): Steps<DriftToolModel> {
  const analysis = yield* analysisSteps(plant, scope, options);
  const labels = operatorLabels(plant.register, options.anonymousOperators);
  const tool = plant.register.tools.findIndex((one) => one.serial === serial);
  if (tool < 0) throw new ProblemError('not-found', said('problem.not-found', { what: 'tool', name: serial }));
  const ranked = yield* rankedTools(plant, analysis, now, options, labels);
  const position = ranked.findIndex((one) => one.tool === tool);
  const facts = toolFacts(plant, analysis, tool, now, options, labels);
  const { row } = facts;
  const { table } = analysis;
  const span = blockSpan(analysis, facts, now);
  const checksHeld = facts.checks;
  const change = row.response.changePoint
    ? { ...row.response.changePoint, lane: 'response' as const }
    : row.own.changePoint
      ? { ...row.own.changePoint, lane: 'own' as const }
      : null;
  const label = (level: number): string => labels[analysis.effectRows.operatorOf[level] ?? labels.length - 1] ?? '';
  yield;
  const moved = yield* whatMoved(analysis, facts, labels);
  const laneBlocks = ranked.reduce((sum, one) => sum + (one.own?.blocks.length ?? 0), 0);
  const expected = laneBlocks / analysis.ewma.runLength;
  return {
    row: { ...row, rank: position < 0 ? ranked.length + 1 : position + 1 },
    from: span.from,
    to: span.to,
    change,
    sinceAt: facts.sinceBlock === null ? null : table.blockAt[facts.sinceBlock]!,
    ewma: { lambda: analysis.ewma.lambda, limitFactor: analysis.ewma.limitFactor, baselineBlocks },
    marks: stripMarks(plant, facts, span),
    checks: checksHeld.filter((check) => check.at >= span.from - margin(span) && check.at <= Math.max(span.to, now)),
    scatter: scatterOf(plant, analysis, facts),
    whatMoved: moved.map((one) =>
      options.anonymousOperators && one.who === 'operator' ? { ...one, name: one.label } : one,
    ),
    checkLog: [...checksHeld].reverse().slice(0, checksInLog),
    checksHidden: Math.max(0, checksHeld.length - checksInLog),
    finding: row.finding,
    caution: cautions(plant, analysis, facts, expected),
    bothSides: row.checks.latest ? said('drift.both-sides', { percent: row.checks.latest.deviationPercent }) : null,
    findingSaysBothSides:
      row.kind === 'reads-wrong' || row.kind === 'out-of-tolerance' || row.finding.key === 'drift.finding.adjusted',
    laneSays: laneSays(facts),
    affectedIds: facts.affectedPositions.map((i) => readingName(plant.readings, i)),
    inQuestionIds: facts.inQuestionPositions.map((i) => readingName(plant.readings, i)),
    thresholds: options.thresholds[serial] ?? null,
    tangled: analysis.effects
      ? tangledGroups(analysis.effectRows.rows, analysis.effects, label, usableAt(plant.register)).filter(
          (group) => group.tools.includes(serial) || row.togetherWith.length > 0,
        )
      : [],
    workings: driftWorkings(analysis, facts, laneBlocks),
  };
}

interface Span {
  readonly from: number;
  readonly to: number;
}

/** A tenth of the span: checks just before the first shift belong on the strip. */
const margin = (span: Span): number => (span.to - span.from) / 10;

function blockSpan(analysis: DriftAnalysis, facts: ToolFacts, now: number): Span {
  const { table } = analysis;
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  for (let b = 0; b < table.blocks; b++) {
    if (table.toolBlockReadings[facts.tool * table.blocks + b] === 0) continue;
    from = Math.min(from, table.blockAt[b]!);
    to = Math.max(to, table.blockAt[b]!);
  }
  if (from > to) {
    // No readings here: the strip shows the checks alone.
    from = facts.checks[0]?.at ?? now;
    to = now;
  }
  return { from, to };
}

function stripMarks(plant: Plant, facts: ToolFacts, span: Span): StripMark[] {
  const tool = plant.register.tools[facts.tool]!;
  const marks: StripMark[] = [];
  const low = span.from - margin(span);
  const inside = (at: number): boolean => at >= low && at <= span.to;
  const dated = new Set<number>();
  for (const event of tool.events) {
    if (!inside(event.at)) continue;
    dated.add(event.at);
    marks.push({
      at: event.at,
      kind: event.kind,
      says: said(event.kind === 'calibration' ? 'drift.mark.calibration' : 'drift.mark.repair', {
        at: event.at,
        note: event.note,
      }),
    });
  }
  if (tool.calibratedOn !== null && inside(tool.calibratedOn) && !dated.has(tool.calibratedOn)) {
    marks.push({
      at: tool.calibratedOn,
      kind: 'calibration',
      says: said('drift.mark.calibration', { at: tool.calibratedOn, note: null }),
    });
  }
  for (const check of facts.checks) {
    if (check.kind === 'as-left' && inside(check.at) && !marks.some((mark) => mark.at === check.at)) {
      marks.push({ at: check.at, kind: 'as-left', says: said('drift.mark.as-left', { at: check.at }) });
    }
  }
  const joints = new Set(facts.row.joints);
  for (const joint of plant.register.joints) {
    if (!joints.has(joint.name)) continue;
    for (const revision of joint.revisions.slice(1)) {
      if (!inside(revision.from)) continue;
      marks.push({
        at: revision.from,
        kind: 'limit-revision',
        says: said('drift.mark.revision', { joint: joint.name, label: revision.label, at: revision.from }),
      });
    }
  }
  return marks.sort((a, b) => a.at - b.at);
}

/** Response against stopping quantity at the joint where this tool has most pairs. */
function scatterOf(plant: Plant, analysis: DriftAnalysis, facts: ToolFacts): ResponseScatter | null {
  const { table, lines } = analysis;
  const pairs = new Map<number, number>();
  for (const c of analysis.cellsOf.of(facts.tool)) {
    if (table.pairs[c] === 0 || !lines[table.joint[c]!]) continue;
    pairs.set(table.joint[c]!, (pairs.get(table.joint[c]!) ?? 0) + table.pairs[c]!);
  }
  let joint = -1;
  let most = 0;
  for (const [one, count] of pairs) {
    if (count > most) {
      joint = one;
      most = count;
    }
  }
  const line = lines[joint];
  if (joint < 0 || !line) return null;
  const drift = driftReadings(plant);
  const from = analysis.firstBlock[facts.tool] ?? 0;
  const positions: number[] = [];
  for (let k = 0; k < analysis.selected.length; k++) {
    const i = analysis.selected[k]!;
    if (drift.use[i] !== 0 || plant.readings.tool[i] !== facts.tool || plant.readings.joint[i] !== joint) continue;
    if (drift.block[i]! < from || Number.isNaN(drift.response[i]!)) continue;
    positions.push(i);
  }
  const isAfter = (i: number): boolean => facts.sinceBlock !== null && drift.block[i]! >= facts.sinceBlock;
  const everyKth = Math.max(1, Math.ceil(positions.length / mostPoints));
  const drawn = positions.filter((_, k) => k % everyKth === 0);
  const intercept = (after: boolean): number | null => {
    let n = 0;
    let sum = 0;
    for (const i of positions) {
      if (isAfter(i) !== after) continue;
      n++;
      sum += drift.response[i]! - line.slope * drift.stop[i]!;
    }
    return n > 0 ? sum / n : null;
  };
  const before = intercept(false);
  const after = facts.sinceBlock === null ? null : intercept(true);
  return {
    joint: plant.register.joints[joint]!.name,
    across: plant.register.joints[joint]!.stopsBy,
    unit: 'N.m',
    x: drawn.map((i) => drift.stop[i]!),
    y: drawn.map((i) => drift.response[i]!),
    after: drawn.map((i) => (isAfter(i) ? 1 : 0)),
    everyKth,
    total: positions.length,
    slope: line.slope,
    interceptBefore: before,
    interceptAfter: after,
    step: before !== null && after !== null ? after - before : null,
    slopeUsed: line.used,
  };
}

/** Moves since the date: of the tool, with each operator where the lane moved, and of other tools at its joints. */
function* whatMoved(analysis: DriftAnalysis, facts: ToolFacts, labels: readonly string[]): Steps<MovedRow[]> {
  if (facts.sinceBlock === null) return [];
  const { row } = facts;
  return [
    ...(yield* movedRows(
      'response',
      analysis.response,
      analysis.responseRows,
      facts,
      facts.sinceBlock,
      labels,
      row.response.moved === true,
    )),
    ...(yield* movedRows(
      'own',
      analysis.own,
      analysis.ownRows,
      facts,
      facts.sinceBlock,
      labels,
      row.own.moved === true,
    )),
  ];
}

function* movedRows(
  lane: 'own' | 'response',
  result: LaneResult,
  laneRows: LaneRows,
  facts: ToolFacts,
  from: number,
  labels: readonly string[],
  withOperators: boolean,
): Steps<MovedRow[]> {
  const level = laneRows.levelOfTool.get(facts.tool);
  if (level === undefined) return [];
  const { rows } = laneRows;
  const { block, current } = result.input;
  const mine = (i: number): boolean => rows.tool[i] === level && current[i] === 1;
  const out: MovedRow[] = [];
  const push = (
    who: MovedRow['who'],
    name: string,
    label: string,
    take: (i: number) => boolean,
    beside: ((i: number) => boolean) | null,
    doubtOf: readonly number[],
  ): void => {
    let before = 0;
    let after = 0;
    for (let i = 0; i < rows.length; i++) {
      if (!take(i)) continue;
      if (block[i]! >= from) after++;
      else before++;
    }
    const doubt = result.input.doubt?.(doubtOf[0] ?? level, from, doubtOf) ?? 0;
    const move =
      before > 0 && after > 0
        ? result.moveOfRows(
            (i) => take(i) && block[i]! >= from,
            beside ? (i) => beside(i) && block[i]! >= from : null,
            doubt,
          )
        : null;
    const known = move && move.degreesOfFreedom >= leastDegreesOfFreedom ? move : null;
    out.push({
      lane,
      who,
      name,
      label,
      move: known ? { percent: known.estimate, low95: known.low95, high95: known.high95 } : null,
      excludesZero: known !== null && (known.low95 > 0 || known.high95 < 0),
      why: known
        ? null
        : before === 0 || after === 0
          ? said('drift.why.no-cells-before-after', {})
          : said('drift.why.tangled', { with: [] }),
      cells: after,
    });
  };
  push('tool', facts.row.tool, facts.row.tool, mine, null, [level]);
  if (withOperators) {
    const counts = countBy(rows.length, (i) => (mine(i) ? rows.operator[i]! : null));
    if (counts.length > 1) {
      for (const [operator] of counts.slice(0, mostOperators)) {
        yield;
        push(
          'operator',
          rows.names.operator[operator]!,
          labels[laneRows.operatorOf[operator]!] ?? '',
          (i) => mine(i) && rows.operator[i] === operator,
          (i) => mine(i) && rows.operator[i] !== operator,
          [level],
        );
      }
    }
  }
  const joints = new Set<number>();
  for (let i = 0; i < rows.length; i++) if (mine(i)) joints.add(rows.joint[i]!);
  const others = countBy(rows.length, (i) =>
    rows.tool[i] !== level && joints.has(rows.joint[i]!) ? rows.tool[i]! : null,
  );
  for (const [other] of others.slice(0, mostOthers)) {
    yield;
    const name = rows.names.tool[other]!;
    push('other-tool', name, name, (i) => rows.tool[i] === other && joints.has(rows.joint[i]!), mine, [other]);
  }
  return out;
}

/** Keys with their counts, most first. */
function countBy(length: number, keyOf: (row: number) => number | null): [number, number][] {
  const counts = new Map<number, number>();
  for (let i = 0; i < length; i++) {
    const key = keyOf(i);
    if (key !== null) counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  return [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
}

function laneSays(facts: ToolFacts): DriftToolModel['laneSays'] {
  const lane = (one: typeof facts.row.own): Said => {
    if (one.changePoint) {
      return said('drift.lane.moved', {
        quantity: one.quantity,
        percent: one.changePoint.shiftPercent,
        low: one.changePoint.shiftLow95,
        high: one.changePoint.shiftHigh95,
        since: one.changePoint.at,
        shape: one.changePoint.shape,
      });
    }
    if (one.moved === false && one.since) {
      return said('drift.lane.still', {
        quantity: one.quantity,
        percent: one.since.percent,
        low: one.since.low95,
        high: one.since.high95,
        since: one.since.at,
        visible: one.smallestVisible,
      });
    }
    return one.why ?? said('drift.lane.unknown', { quantity: one.quantity });
  };
  const { latest } = facts.row.checks;
  return {
    own: lane(facts.row.own),
    response: lane(facts.row.response),
    checks: latest
      ? said('drift.lane.checks', {
          at: latest.at,
          percent: latest.deviationPercent,
          pulls: latest.pulls,
          passed: latest.passed,
        })
      : said('drift.why.never-checked', {}),
  };
}

/** At least one other explanation, the next cheap test, quarantine where the tool is in doubt, and who decides. */
function cautions(plant: Plant, analysis: DriftAnalysis, facts: ToolFacts, expected: number): Said[] {
  const { row } = facts;
  const tool = row.tool;
  const others = facts.othersLevels
    .map((level) => plant.register.tools[analysis.responseRows.toolOf[level]!]!.serial)
    .slice(0, 3);
  const parts = said('drift.caution.parts', { tools: facts.others === 'still' ? others : [] });
  const check = said('drift.caution.check', { tool });
  const quarantine = said('drift.caution.quarantine', { tool });
  const people = said('drift.caution.people', { tool });
  const byKind: Record<FindingKind, Said[]> = {
    'out-of-tolerance': [quarantine],
    'reads-wrong': [
      ...(row.checks.latest?.passed === true && row.checks.permissiblePercent !== null
        ? [said('drift.caution.permitted', { permissible: row.checks.permissiblePercent })]
        : []),
      parts,
      quarantine,
    ],
    'may-read-wrong': [parts, check, quarantine],
    'check-disagrees': [parts, check],
    'joint-not-tool': [said('drift.caution.joint', {}), check],
    'people-or-stop': [people],
    'own-moved-blind': [people, check],
    'more-than-one': [people, check, quarantine],
    still: [said('drift.caution.false-alarms', { expected })],
    'too-little': [check],
  };
  const out = [...byKind[row.kind]];
  if (row.affected.until !== null && row.kind !== 'out-of-tolerance') out.unshift(said('drift.caution.affected', {}));
  if (
    row.response.blind &&
    row.response.smallestVisible !== null &&
    row.response.expectedAtPermitted !== null &&
    row.kind !== 'out-of-tolerance'
  ) {
    out.push(
      said('drift.caution.blind', {
        visible: row.response.smallestVisible,
        expected: row.response.expectedAtPermitted,
      }),
    );
  }
  if (row.togetherWith.length > 0) out.push(said('drift.caution.together', { with: row.togetherWith }));
  out.push(said('common.releases-nothing', {}));
  return out;
}
