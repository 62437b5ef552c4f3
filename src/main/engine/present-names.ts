/**
 * Names that people saved, or that an open window or an address still holds, as the register has them now.
 *
 * Names are looked up when they are used, and nothing saved is rewritten when an entry is renamed or merged: so the undo
 * of that finds everything as it was, and who saved a study, and when, stays what it is.
 */
import type { CallName, Request, SavedScope } from '#core/contract/calls.ts';
import type { SavedStudy } from '#core/contract/models/study-model.ts';
import type { Scope } from '#core/readings/scope.ts';
import { fingerprintSeed } from '#core/study/fingerprint.ts';
import type { NameKind } from '../store/store.ts';
import type { RegisterState } from './register-state.ts';

/** Calls that say what an entry shall be called, or that take one away: they mean the very name they are given. */
const meanTheName: ReadonlySet<CallName> = new Set<CallName>([
  'register:put',
  'register:preview',
  'register:removal',
  'register:remove',
  'register:settle',
]);

const kindOf = { joints: 'joint', tools: 'tool', operators: 'operator' } as const;

/** The name of the entry that a name means now; the name itself where it is an entry's, or nobody's. */
export function presentName(state: RegisterState, kind: NameKind, name: string): string {
  return state.formerNames[kind].get(name) ?? name;
}

/** A scope with the names of now; the same one where none of them is another. */
export function presentScope(state: RegisterState, scope: Scope): Scope {
  let now = scope;
  for (const list of ['joints', 'tools', 'operators'] as const) {
    const names = presentNames(state, kindOf[list], scope[list]);
    if (names !== scope[list]) now = { ...now, [list]: names };
  }
  return now;
}

function presentNames(state: RegisterState, kind: NameKind, names: readonly string[]): readonly string[] {
  if (!names.some((name) => presentName(state, kind, name) !== name)) return names;
  return [...new Set(names.map((name) => presentName(state, kind, name)))];
}

/** Whether a request may name entries of the register by names that they had once. */
export function namesEntries(call: CallName, request: unknown): request is object {
  if (meanTheName.has(call) || typeof request !== 'object' || request === null) return false;
  return ['scope', 'choices', 'filters', 'joint', 'tool', 'operator', 'operators', 'ink'].some(
    (part) => part in request,
  );
}

/** A request with the names of now, wherever it names entries. */
export function presentRequest<C extends CallName>(state: RegisterState, call: C, request: Request<C>): Request<C> {
  if (!namesEntries(call, request)) return request;
  const one = (part: object): object => {
    const out: Record<string, unknown> = { ...part };
    for (const kind of ['joint', 'tool', 'operator'] as const) {
      const name = out[kind];
      if (typeof name === 'string') out[kind] = presentName(state, kind, name);
    }
    // What is called scope, or filters, or choices there, is one: requests are parsed by the contract.
    if ('scope' in part) out.scope = presentScope(state, part.scope as Scope);
    return out;
  };
  const out = one(request) as Record<string, unknown>;
  // A tool drawn in ink.
  if (typeof out.ink === 'string') out.ink = presentName(state, 'tool', out.ink);
  if (typeof out.choices === 'object' && out.choices !== null) out.choices = one(out.choices);
  if (Array.isArray(out.operators)) {
    // One for one: the answer names them in this order.
    out.operators = out.operators.map((name) =>
      typeof name === 'string' ? presentName(state, 'operator', name) : name,
    );
  }
  if ('filters' in request) {
    out.filters = (out.filters as Request<'readings:page'>['filters']).map((filter) =>
      filter.column === 'text'
        ? { ...filter, contains: presentText(state, filter.contains) }
        : filter.column === 'joint' || filter.column === 'tool' || filter.column === 'operator'
          ? { ...filter, anyOf: presentNames(state, filter.column, filter.anyOf) }
          : filter,
    );
  }
  // Only names are replaced: the request keeps its shape.
  return out as Request<C>;
}

/** Text to look for: a whole former name of a joint or tool stands for the name of now, since readings show that. */
function presentText(state: RegisterState, text: string): string {
  const wanted = text.trim().toLowerCase();
  for (const kind of ['joint', 'tool'] as const) {
    for (const [was, name] of state.formerNames[kind]) if (was.toLowerCase() === wanted) return name;
  }
  return text;
}

/**
 * A saved study with the names of now.
 *
 * The joint's name is part of a fingerprint, and the random numbers of a fitted model start from it: where the joint has
 * another name, they start from the fingerprint that was saved, so that the same readings give the same figures.
 */
export function presentStudy(state: RegisterState, study: SavedStudy): SavedStudy {
  const { choices } = study;
  const joint = presentName(state, 'joint', choices.joint);
  const scope = presentScope(state, choices.scope);
  if (joint === choices.joint)
    return scope === choices.scope ? study : { ...study, choices: withScope(choices, scope) };
  const draws = choices.model !== 'normal' && choices.seed === null && /^[0-9a-f]{8}/.test(study.fingerprint ?? '');
  const seed = draws ? fingerprintSeed(study.fingerprint) : choices.seed;
  return { ...study, savedAs: choices.joint, choices: { ...withScope(choices, scope), joint, seed } };
}

/** The scope of parsed choices is one with lists of its own. */
function withScope(choices: SavedStudy['choices'], scope: Scope): SavedStudy['choices'] {
  return { ...choices, scope };
}

export function presentSavedScope(state: RegisterState, saved: SavedScope): SavedScope {
  const scope = presentScope(state, saved.scope);
  return scope === saved.scope ? saved : { ...saved, scope };
}

/** What is kept by a tool's serial, by the serials of now. What is kept by the present one itself holds. */
export function presentByTool<T>(state: RegisterState, kept: Readonly<Record<string, T>>): Readonly<Record<string, T>> {
  if (!Object.keys(kept).some((serial) => presentName(state, 'tool', serial) !== serial)) return kept;
  return {
    ...Object.fromEntries(Object.entries(kept).map(([serial, one]) => [presentName(state, 'tool', serial), one])),
    ...Object.fromEntries(Object.entries(kept).filter(([serial]) => presentName(state, 'tool', serial) === serial)),
  };
}
