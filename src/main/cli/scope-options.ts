/** Options that several verbs share, and how their texts become values. */
import { type ParseArgsConfig, parseArgs } from 'node:util';
import type { Scope } from '#core/readings/scope.ts';
import { msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { isTorqueUnit, type TorqueUnit } from '#core/units/torque-unit.ts';
import { WrongUsage } from './usage.ts';

type Options = NonNullable<ParseArgsConfig['options']>;

export const commonOptions = {
  store: { type: 'string' },
  json: { type: 'boolean', default: false },
} satisfies Options;

export const scopeOptions = {
  from: { type: 'string' },
  to: { type: 'string' },
  shift: { type: 'string', multiple: true },
  joint: { type: 'string', multiple: true },
  tool: { type: 'string', multiple: true },
  operator: { type: 'string', multiple: true },
  unit: { type: 'string' },
} satisfies Options;

/**
 * Parses the arguments of one verb.
 *
 * @throws WrongUsage for an unknown option, a missing value, or a number of plain arguments outside the range
 */
export function parseVerb<const O extends Options>(
  args: readonly string[],
  options: O,
  plain: readonly [number, number],
) {
  let parsed: ReturnType<typeof parseArgs<{ args: string[]; options: O; allowPositionals: true; strict: true }>>;
  try {
    parsed = parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (thrown) {
    throw new WrongUsage(thrown instanceof Error ? thrown.message : String(thrown));
  }
  const count = parsed.positionals.length;
  if (count < plain[0])
    throw new WrongUsage('Something is missing after the verb; run without a verb to see the list.');
  if (count > plain[1])
    throw new WrongUsage(`Too many arguments: "${parsed.positionals[plain[1]]}" is not expected here.`);
  return parsed;
}

interface ScopeValues {
  readonly from?: string | undefined;
  readonly to?: string | undefined;
  readonly shift?: readonly string[] | undefined;
  readonly joint?: readonly string[] | undefined;
  readonly tool?: readonly string[] | undefined;
  readonly operator?: readonly string[] | undefined;
}

/** The scope that options name. A bare date as `--to` includes that whole day (definitions 2). */
export function scopeOf(values: ScopeValues): Scope {
  return {
    from: values.from === undefined ? null : civil('--from', values.from).at,
    to: values.to === undefined ? null : end(civil('--to', values.to)),
    shifts: [...(values.shift ?? [])],
    joints: [...(values.joint ?? [])],
    tools: [...(values.tool ?? [])],
    operators: [...(values.operator ?? [])],
  };
}

const end = (to: { at: number; hasTime: boolean }): number => (to.hasTime ? to.at : to.at + msPerDay);

/** A civil time from an option. */
export function civil(option: string, text: string): { at: number; hasTime: boolean } {
  const parsed = parseCivil(text);
  if (!parsed) throw new WrongUsage(`${option} ${text} is not a time. Write 2026-03-05 or 2026-03-05T06:00.`);
  return parsed;
}

/** A unit code from an option; null when the option is not there. */
export function unitOf(text: string | undefined): TorqueUnit | null {
  if (text === undefined) return null;
  if (!isTorqueUnit(text))
    throw new WrongUsage(`--unit ${text} is not a unit code. Known: N.m, cN.m, lbf.ft, lbf.in, kgf.m ...`);
  return text;
}

/** One of a closed list of words. */
export function oneOf<const T extends string>(
  option: string,
  text: string | undefined,
  known: readonly T[],
): T | undefined {
  if (text === undefined) return undefined;
  const found = known.find((word) => word === text);
  if (found === undefined) throw new WrongUsage(`${option} ${text} is not known. Choose one of ${known.join(', ')}.`);
  return found;
}

/** A whole number within a range. */
export function wholeNumber(option: string, text: string | undefined, low: number, high: number): number | undefined {
  if (text === undefined) return undefined;
  const value = Number(text);
  if (!/^\d+$/.test(text) || value < low || value > high) {
    throw new WrongUsage(`${option} ${text} must be a whole number from ${low} to ${high}.`);
  }
  return value;
}
