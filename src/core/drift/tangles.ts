/** What cannot be told apart in a plant, and the least work that would (definitions 14). */
import type { BarelySeparable, TangledGroup } from '../contract/models/drift-model.ts';
import type { Register } from '../register/register.ts';
import { said } from '../text/said.ts';
import type { CellRows, FactorEffects } from './cell-model.ts';
import { inMarkedRange } from './check-results.ts';
import { type CellFactor, type NamedCell, untangle } from './untangle.ts';

/** Above this a difference is "barely separable". */
const inflationBound = 10;
/** Beyond this many levels the pairs are not looked through: they are for people to read. */
const mostLevels = 60;

/**
 * The tangled levels: those of every factor that falls into more than one comparable set; empty when all can be compared.
 *
 * @param label how an operator's level is named
 * @param possible whether a tool can be used at a joint, by name
 */
export function tangledGroups(
  rows: CellRows,
  effects: FactorEffects,
  label: (operatorLevel: number) => string,
  possible?: (joint: string, tool: string) => boolean,
): TangledGroup[] {
  const split = (factor: CellFactor): (readonly number[])[] =>
    effects.sets[factor].length > 1 ? [...effects.sets[factor]] : [];
  const tools = split('tool');
  const operators = split('operator');
  const joints = split('joint');
  const question = (['joint', 'tool', 'operator'] as const).filter((factor) => effects.sets[factor].length > 1);
  if (question.length === 0) return [];
  const cells: NamedCell[] = [];
  for (let i = 0; i < rows.length; i++) {
    cells.push({
      joint: rows.names.joint[rows.joint[i]!]!,
      tool: rows.names.tool[rows.tool[i]!]!,
      operator: rows.names.operator[rows.operator[i]!]!,
    });
  }
  const found = untangle(cells, question, false, possible);
  const levelOf = new Map(rows.names.operator.map((name, level) => [name, level]));
  const steps = found.cells.map((cell) => ({ ...cell, operator: label(levelOf.get(cell.operator) ?? -1) }));
  const toolNames = (set: readonly number[]): string[] => set.map((level) => rows.names.tool[level]!);
  const jointNames = (set: readonly number[]): string[] => set.map((level) => rows.names.joint[level]!);
  const operatorNames = (set: readonly number[]): string[] => set.map(label);
  const only = usedOnly(rows, tools, operators);
  return [
    {
      tools: tools.flatMap(toolNames).sort(),
      operators: operators.flatMap(operatorNames).sort(),
      joints: joints.flatMap(jointNames).sort(),
      sets: {
        tools: tools.map(toolNames),
        operators: operators.map(operatorNames),
        joints: joints.map(jointNames),
      },
      says: only
        ? said('drift.tangled.used-only', { who: label(only.operator), tools: toolNames(only.tools) })
        : said('drift.tangled.sets', {
            tools: tools.flatMap(toolNames).sort(),
            operators: operators.flatMap(operatorNames).sort(),
            joints: joints.flatMap(jointNames).sort(),
          }),
      untangleBy: steps,
      untangleSays: said('drift.untangle', { steps, more: Math.max(0, found.part - steps.length) }),
    },
  ];
}

/**
 * Whether a tool can be used at a joint: in use, and the target of the joint within its marked range as far as both are
 * known.
 */
export function usableAt(register: Register): (joint: string, tool: string) => boolean {
  const joints = new Map(register.joints.map((joint) => [joint.name, joint]));
  const tools = new Map(register.tools.map((tool) => [tool.serial, tool]));
  return (jointName, serial) => {
    const joint = joints.get(jointName);
    const tool = tools.get(serial);
    if (!joint || !tool) return false;
    if (tool.status !== 'in-use') return false;
    const revision = joint.revisions[joint.revisions.length - 1];
    if (!revision) return true;
    const torque =
      revision.target ?? (revision.low !== null && revision.high !== null ? (revision.low + revision.high) / 2 : null);
    return torque === null || inMarkedRange(tool, torque, revision.unit);
  };
}

/** An operator alone in a set whose tools were used by nobody else: the plainest case, named in words. */
function usedOnly(
  rows: CellRows,
  tools: readonly (readonly number[])[],
  operators: readonly (readonly number[])[],
): { operator: number; tools: number[] } | null {
  for (const set of operators) {
    const operator = set[0];
    if (set.length !== 1 || operator === undefined) continue;
    const used = new Set<number>();
    for (let i = 0; i < rows.length; i++) if (rows.operator[i] === operator) used.add(rows.tool[i]!);
    let shared = false;
    for (let i = 0; i < rows.length; i++) shared ||= used.has(rows.tool[i]!) && rows.operator[i] !== operator;
    const inSets = [...used].every((level) => tools.some((one) => one.length === 1 && one[0] === level));
    if (!shared && inSets) return { operator, tools: [...used].sort((a, b) => a - b) };
  }
  return null;
}

/** Pairs of tools or operators that can be compared, but only barely: variance inflation above 10, worst first. */
export function barelySeparable(
  rows: CellRows,
  effects: FactorEffects,
  label: (operatorLevel: number) => string,
): BarelySeparable[] {
  const out: BarelySeparable[] = [];
  for (const factor of ['tool', 'operator'] as const) {
    if (rows.names[factor].length > mostLevels) continue;
    const counts = new Float64Array(rows.names[factor].length);
    for (const level of rows[factor]) counts[level] = counts[level]! + 1;
    const offset = factor === 'operator' ? rows.names.joint.length : 0;
    const nameOf = (level: number): string => (factor === 'tool' ? rows.names.tool[level]! : label(level));
    for (const set of effects.sets[factor]) {
      set.forEach((a, k) => {
        for (const b of set.slice(k + 1)) {
          const weights = new Map([
            [offset + a, 1],
            [offset + b, -1],
          ]);
          const variance = effects.fit.varianceOf(
            factor === 'tool' ? { columns: new Map(), groups: weights } : { columns: weights, groups: new Map() },
          );
          const inflation = variance / (1 / counts[a]! + 1 / counts[b]!);
          if (inflation > inflationBound) out.push({ factor, a: nameOf(a), b: nameOf(b), inflation });
        }
      });
    }
  }
  return out.sort((a, b) => b.inflation - a.inflation).slice(0, 20);
}
