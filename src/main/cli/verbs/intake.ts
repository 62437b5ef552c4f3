/** `intake FILE...`: reads dumps into the store; each file stands alone. */
import path from 'node:path';
import type { RequestInput } from '#core/contract/calls.ts';
import type { IntakeOutcome } from '#core/contract/models/intake-model.ts';
import type { EngineClient } from '../../client/engine-client.ts';
import { problemOf } from '../../client/problem-of.ts';
import { commonOptions, parseVerb, unitOf } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, type Verb, type VerbContext } from '../verb.ts';
import { recipesOf } from './recipe.ts';

type Settings = Pick<RequestInput<'inbox:read'>, 'answers' | 'set'>;

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(
    args,
    {
      ...commonOptions,
      answer: { type: 'string', multiple: true },
      set: { type: 'string', multiple: true },
      recipe: { type: 'string' },
      'dry-run': { type: 'boolean', default: false },
    },
    [1, Number.POSITIVE_INFINITY],
  );
  const settings: Settings = { answers: pairs('--answer', values.answer), set: named(values.set) };
  const recipes = values.recipe === undefined ? [] : await recipesOf(values.recipe);
  const client = await context.open(values.store);
  if (recipes.length > 0) await client.call('recipe:put', { recipes });
  const outcomes: Outcome[] = [];
  const say = (outcome: Outcome): void => {
    if (!values.json) context.print(`${inWords(outcome)}\n`);
  };
  for (const file of positionals) {
    const outcome = await takeIn(client, file, settings, values['dry-run']);
    outcomes.push(outcome);
    if (!mayBeSettled(outcome)) say(outcome);
  }
  // What one file leaves open, a later one of the same layout and tool may have settled.
  const mayTryAgain = outcomes.some((outcome) => outcome.source !== null);
  for (const [i, outcome] of outcomes.entries()) {
    if (!mayBeSettled(outcome)) continue;
    const again = mayTryAgain ? await takeIn(client, outcome.file, settings, values['dry-run']) : outcome;
    outcomes[i] = again;
    say(again);
  }
  if (values.json) printJson(context, { files: outcomes, totals: totals(outcomes) });
  return exitCode(outcomes, context);
};

/** One file of the document: the engine's outcome without what only the screen needs. */
type Outcome = Omit<IntakeOutcome, 'said' | 'ticket'>;

function mayBeSettled(outcome: Outcome): boolean {
  return outcome.questions.some((question) => question.id === 'date-order' || question.id === 'decimal-mark');
}

async function takeIn(client: EngineClient, file: string, settings: Settings, dryRun: boolean): Promise<Outcome> {
  let ticket: string | null = null;
  try {
    ticket = await client.offer({ path: path.resolve(file), name: path.basename(file), ours: false });
    await client.call('inbox:read', { ticket, ...settings });
    const [outcome] = await client.call('inbox:accept', { tickets: [ticket], dryRun });
    if (!outcome) throw new Error('the file was not answered for');
    const { said: _said, ticket: _ticket, ...rest } = outcome;
    if (outcome.source === null) await client.call('inbox:drop', { tickets: [ticket] });
    return { ...rest, file };
  } catch (thrown) {
    const { kind, message } = problemOf(thrown);
    // The next run reads the file anew: what was read of it must not stay, least of all on a disk that is full.
    if (ticket !== null) await client.call('inbox:drop', { tickets: [ticket] }).catch(() => null);
    // What the engine could not do now concerns all files and ends the run.
    if (['busy', 'disk-full', 'read-only', 'store-newer', 'store-damaged', 'fault'].includes(kind)) throw thrown;
    return {
      file,
      sha256: null,
      problem: { kind, message },
      source: null,
      lines: null,
      accepted: 0,
      alreadyHeld: 0,
      rejected: [],
      questions: [],
      notices: [],
      recipe: null,
      secondTable: null,
    };
  }
}

function totals(outcomes: readonly Outcome[]) {
  const lines = { total: 0, header: 0, blank: 0, accepted: 0, alreadyHeld: 0, rejected: 0 };
  let accepted = 0;
  let alreadyHeld = 0;
  const files = { stored: 0, waiting: 0, refused: 0 };
  for (const o of outcomes) {
    accepted += o.accepted;
    alreadyHeld += o.alreadyHeld;
    if (o.problem) files.refused += 1;
    else if (o.questions.length > 0) files.waiting += 1;
    else if (o.source !== null) files.stored += 1;
    if (!o.lines) continue;
    for (const part of Object.keys(lines) as (keyof typeof lines)[]) lines[part] += o.lines[part] ?? 0;
  }
  return { lines, accepted, alreadyHeld, files };
}

function inWords(o: Outcome): string {
  if (o.problem) return `${o.file}: ${o.problem.message}`;
  if (o.questions.length > 0) {
    const asked = o.questions.map((question) => [`  ${question.text}`, ...choicesInWords(question)].join('\n'));
    return `${o.file}: waits for ${o.questions.length === 1 ? 'an answer' : `${o.questions.length} answers`}; nothing of it is stored.\n${asked.join('\n')}`;
  }
  const l = o.lines;
  const sum = l
    ? ` ${l.total} lines = ${l.header} header + ${l.blank} blank + ${l.accepted} accepted + ${l.alreadyHeld} already held + ${l.rejected} rejected.`
    : '';
  const rejected = o.rejected.slice(0, 10).map((r) => `  line ${r.line}: ${r.says}`);
  const more = o.rejected.length > 10 ? [`  and ${o.rejected.length - 10} more`] : [];
  const notices = o.notices.map((n) => `  ${n.text}`);
  if (o.secondTable)
    notices.push(
      `  another table of ${o.secondTable.lines} lines from line ${o.secondTable.line} on is kept, but not read`,
    );
  return [
    `${o.file}: ${o.accepted} ${o.accepted === 1 ? 'reading' : 'readings'} taken in, ${o.alreadyHeld} already held${o.source === null ? '' : ` (file ${o.source})`}.${sum}`,
    ...rejected,
    ...more,
    ...notices,
  ].join('\n');
}

/** How a question is answered on this command line, choice by choice. */
function choicesInWords(question: Outcome['questions'][number]): string[] {
  const lines = question.choices.map(
    (c) =>
      `    --answer "${question.id}=${c.value}"  ${c.meaning}${c.evidence.length > 0 ? ` (${c.evidence.join('; ')})` : ''}`,
  );
  // Any name is an answer to these two; the choices are only those that are known already.
  if (question.id === 'tool' || question.id === 'joint')
    lines.push(`    --answer "${question.id}=NAME"  any other name`);
  return lines;
}

/** 1 before 3 before 2: a refused file outweighs one that only waits. */
function exitCode(outcomes: readonly Outcome[], _context: VerbContext): number {
  if (outcomes.some((o) => o.problem)) return 3;
  return outcomes.some((o) => o.questions.length > 0) ? 2 : 0;
}

function pairs(option: string, texts: readonly string[] | undefined): Record<string, string> {
  const out: Record<string, string> = {};
  for (const text of texts ?? []) {
    const at = text.indexOf('=');
    if (at < 1) throw new WrongUsage(`${option} ${text}: write it as name=value.`);
    out[text.slice(0, at)] = text.slice(at + 1);
  }
  return out;
}

function named(texts: readonly string[] | undefined): NonNullable<Settings['set']> {
  const given = pairs('--set', texts);
  const { tool, operator, joint, unit, ...rest } = given;
  const unknown = Object.keys(rest)[0];
  if (unknown !== undefined) throw new WrongUsage(`--set ${unknown}: only tool, operator, joint and unit can be set.`);
  const code = unitOf(unit);
  return {
    ...(tool ? { tool } : {}),
    ...(operator ? { operator } : {}),
    ...(joint ? { joint } : {}),
    ...(code ? { unit: code } : {}),
  };
}
