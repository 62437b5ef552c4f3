/** The drift screen: tools in order of urgency, effects, what is tangled, operators. */
import type { DriftModel, EffectRow } from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { finished, type Steps } from '../steps.ts';
import { type Said, said } from '../text/said.ts';
import { analysisSteps, type DriftAnalysis, type DriftOptions, defaultDriftOptions } from './analysis.ts';
import { leastDegreesOfFreedom } from './cell-model.ts';
import { baselineBlocks } from './cells.ts';
import { byUrgency } from './finding.ts';
import { operatorLabels } from './operator-labels.ts';
import { operatorRows } from './operator-rows.ts';
import { barelySeparable, tangledGroups, usableAt } from './tangles.ts';
import { completeUpTo, type ToolFacts, toolFacts } from './tool-row.ts';
import type { CellFactor } from './untangle.ts';

/**
 * What the drift screen shows of a scope.
 *
 * @param now civil ms: what is overdue, and until when readings count as affected
 * @param labels how operators are named, by position in the register and one more for "not named"
 * @param complete so many of the most urgent tools carry the intervals of their still lanes
 */
export const driftModel = (...asked: Parameters<typeof driftModelSteps>): DriftModel =>
  finished(driftModelSteps(...asked));

/** The same in steps, for whoever must answer others in between. */
export function* driftModelSteps(
  plant: Plant,
  scope: Scope,
  now: number,
  options: DriftOptions = defaultDriftOptions,
  labels: readonly string[] = operatorLabels(plant.register, options.anonymousOperators),
  complete = completeUpTo,
): Steps<DriftModel> {
  const analysis = yield* analysisSteps(plant, scope, options);
  const tools = yield* rankedTools(plant, analysis, now, options, labels, complete);
  const { effectRows, effects } = analysis;
  const label = (level: number): string => labels[effectRows.operatorOf[level] ?? labels.length - 1] ?? '';
  const span = timeSpan(plant, analysis.selected);
  const laneBlocks = tools.reduce((sum, one) => sum + (one.own?.blocks.length ?? 0), 0);
  const freedom = effects ? effects.clusters - effects.rank : 0;
  const expected = laneBlocks / analysis.ewma.runLength;
  return {
    from: span.from,
    to: span.to,
    readings: analysis.selected.length,
    blocks: blocksWithCells(analysis),
    tools: tools.map((one, k) => ({ ...one.row, rank: k + 1 })),
    expectedFalseAlarms: expected,
    ewma: { lambda: analysis.ewma.lambda, limitFactor: analysis.ewma.limitFactor, baselineBlocks },
    effects: {
      tool: effectList(analysis, 'tool', (level) => effectRows.rows.names.tool[level]!),
      operator: effectList(analysis, 'operator', label).map((row) =>
        options.anonymousOperators ? { ...row, name: row.label } : row,
      ),
      joint: effectList(analysis, 'joint', (level) => effectRows.rows.names.joint[level]!),
    },
    effectsWhy: !effects
      ? said('drift.why.no-cells', {})
      : freedom < leastDegreesOfFreedom
        ? said('drift.why.effects', { needed: leastDegreesOfFreedom, got: Math.max(0, freedom) })
        : null,
    tangled: effects ? tangledGroups(effectRows.rows, effects, label, usableAt(plant.register)) : [],
    barely: effects ? barelySeparable(effectRows.rows, effects, label) : [],
    operators: operatorRows(
      analysis,
      labels,
      plant.register.operators.map((operator) => operator.badge),
    ).map((row) => (options.anonymousOperators ? { ...row, operator: row.label } : row)),
    finding: listFinding(tools, analysis, complete),
    caution: [said('drift.caution.false-alarms', { expected }), said('common.releases-nothing', {})],
    leftOut: leftOutRows(analysis),
    anonymous: options.anonymousOperators,
  };
}

/** All tools with readings in the scope, most urgent first, in steps. */
export function* rankedTools(
  plant: Plant,
  analysis: DriftAnalysis,
  now: number,
  options: DriftOptions,
  labels: readonly string[],
  complete = completeUpTo,
): Steps<readonly ToolFacts[]> {
  const key = JSON.stringify([now, options, labels, complete]);
  const known = ranked.get(analysis);
  if (known && known.key === key) return known.tools;
  const all = analysis.tools.length <= complete;
  const tools: ToolFacts[] = [];
  for (const [k, tool] of analysis.tools.entries()) {
    if (k % toolsInStep === 0) yield { done: k, total: analysis.tools.length };
    tools.push(toolFacts(plant, analysis, tool, now, options, labels, all));
  }
  tools.sort((a, b) => byUrgency(a.rank, b.rank));
  if (!all) {
    for (let k = 0; k < complete; k++) {
      if (k % toolsInStep === 0) yield;
      tools[k] = toolFacts(plant, analysis, tools[k]!.tool, now, options, labels, true, false);
    }
  }
  ranked.set(analysis, { key, tools });
  return tools;
}

/** Tools put together between two places where the work may be interrupted. */
const toolsInStep = 10;

/** The list of an analysis, for the detail of one tool that is asked for next. */
const ranked = new WeakMap<DriftAnalysis, { readonly key: string; readonly tools: readonly ToolFacts[] }>();

function listFinding(tools: readonly ToolFacts[], analysis: DriftAnalysis, complete: number): Said {
  const first = tools[0];
  if (!first || analysis.ownRows.rows.length === 0) {
    return first && first.row.urgency === 'failing-check' ? first.row.finding : said('drift.list.nothing', {});
  }
  if (first.row.urgency !== 'still' && first.row.urgency !== 'too-little') return first.row.finding;
  const judged = tools.filter((one) => one.row.own.moved !== null || one.row.response.moved !== null);
  if (judged.length === 0) return said('drift.list.too-few', {});
  // The weakest tool decides what the whole list could have shown.
  const weakest = (pick: (one: ToolFacts) => number | null): number | null => {
    const values = judged.flatMap((one) => pick(one) ?? []);
    // Where not every tool carries it, nobody knows the weakest: the detail of each has its own.
    return values.length > 0 && tools.length <= complete ? Math.max(...values) : null;
  };
  return said('drift.list.none-moved', {
    tools: judged.length,
    own: weakest((one) => one.row.own.smallestVisible),
    response: weakest((one) => one.row.response.smallestVisible),
  });
}

function effectList(analysis: DriftAnalysis, factor: CellFactor, label: (level: number) => string): EffectRow[] {
  const { effects, effectRows, table } = analysis;
  if (!effects) return [];
  const { rows } = effectRows;
  const readings = new Float64Array(rows.names[factor].length);
  const blocks = new Int32Array(readings.length);
  const met = new Uint8Array(readings.length * table.blocks);
  for (let k = 0; k < rows.length; k++) {
    const level = rows[factor][k]!;
    readings[level] = readings[level]! + table.torques[effectRows.cell[k]!]!;
    const key = level * table.blocks + table.block[effectRows.cell[k]!]!;
    if (met[key] === 0) blocks[level] = blocks[level]! + 1;
    met[key] = 1;
  }
  return effects.effects[factor].map((one) => ({
    name: rows.names[factor][one.level]!,
    label: label(one.level),
    effectPercent: one.effect,
    low95: one.low95,
    high95: one.high95,
    n: readings[one.level]!,
    blocks: blocks[one.level]!,
    comparableSet: one.set,
  }));
}

function blocksWithCells({ ownRows, table }: DriftAnalysis): number {
  const met = new Uint8Array(table.blocks);
  for (let k = 0; k < ownRows.cell.length; k++) met[table.block[ownRows.cell[k]!]!] = 1;
  return met.reduce((sum, one) => sum + one, 0);
}

function leftOutRows(analysis: DriftAnalysis): { why: Said; count: number }[] {
  const { leftOut } = analysis.table;
  const rows = [
    { why: said('drift.left-out.further-try', {}), count: leftOut['further-try'] },
    { why: said('drift.left-out.other-direction', {}), count: leftOut['other-direction'] },
    { why: said('drift.left-out.no-value', {}), count: leftOut['no-value'] },
    { why: said('drift.left-out.no-joint', {}), count: leftOut['no-joint'] },
    { why: said('drift.left-out.no-tool', {}), count: leftOut['no-tool'] },
    { why: said('drift.left-out.no-time', {}), count: leftOut['no-time'] },
    { why: said('drift.left-out.excluded', {}), count: leftOut.excluded },
    { why: said('drift.left-out.small-cell', {}), count: analysis.smallCells },
  ];
  return rows.filter((row) => row.count > 0);
}

function timeSpan(plant: Plant, selected: Uint32Array): { from: number | null; to: number | null } {
  const { at } = plant.readings;
  let from: number | null = null;
  let to: number | null = null;
  for (let k = 0; k < selected.length && from === null; k++) {
    const time = at[selected[k]!]!;
    if (!Number.isNaN(time)) from = time;
  }
  for (let k = selected.length - 1; k >= 0 && to === null; k--) {
    const time = at[selected[k]!]!;
    if (!Number.isNaN(time)) to = time;
  }
  return { from, to };
}
