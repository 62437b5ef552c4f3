/** `study --joint NAME [scope] [choices] [--out FILE]`. */
import path from 'node:path';
import type { RequestInput } from '#core/contract/calls.ts';
import {
  civil,
  commonOptions,
  oneOf,
  parseVerb,
  scopeOf,
  scopeOptions,
  unitOf,
  wholeNumber,
} from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, table, type Verb } from '../verb.ts';
import { checkOut, writeOut } from '../write-out.ts';

const formats = ['html', 'pdf', 'docx', 'csv', 'json', 'svg', 'png'] as const;
const models = [
  'normal',
  'lognormal',
  'weibull',
  'gamma',
  'lognormal-threshold',
  'lognormal-mirrored',
  'empirical',
] as const;
const indexNames = ['Cp', 'Cpk', 'Pp', 'Ppk', 'Cpm', 'Cm', 'Cmk'] as const;

interface Index {
  readonly value: number;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly method: string;
}
/** The parts of the `study` document that are printed for people. */
interface Answer {
  readonly joint: string;
  readonly n: number;
  readonly unit: string;
  readonly indices: Readonly<Record<string, Index | null>>;
  readonly verdict: { readonly headline: string; readonly because: string };
  readonly cautions: readonly string[];
}

export const run: Verb = async (args, context) => {
  const { values } = parseVerb(
    args,
    {
      ...commonOptions,
      ...scopeOptions,
      of: { type: 'string' },
      attempts: { type: 'string' },
      within: { type: 'string' },
      subgroup: { type: 'string' },
      model: { type: 'string' },
      requirement: { type: 'string' },
      seed: { type: 'string' },
      judge: { type: 'string' },
      'fit-p': { type: 'boolean', default: false },
      'baseline-from': { type: 'string' },
      'baseline-to': { type: 'string' },
      out: { type: 'string' },
      paper: { type: 'string' },
    },
    [0, 0],
  );
  const joint = values.joint?.[0];
  if (joint === undefined || values.joint?.length !== 1)
    throw new WrongUsage('A study is of one joint: name it with --joint.');
  const within = oneOf('--within', values.within, ['pooled', 's-bar', 'r-bar', 'mr-bar', 'mr-median']);
  const subgroup = wholeNumber('--subgroup', values.subgroup, 1, 25);
  if ((within === 'mr-bar' || within === 'mr-median') && subgroup !== undefined && subgroup !== 1) {
    throw new WrongUsage(`--within ${within} works on single readings; leave --subgroup out or give 1.`);
  }
  if (subgroup === 1 && within !== undefined && within !== 'mr-bar' && within !== 'mr-median') {
    throw new WrongUsage(`--within ${within} needs groups of 2 or more.`);
  }
  const unit = unitOf(values.unit);
  const of = oneOf('--of', values.of, ['torque', 'angle']);
  const attempts = oneOf('--attempts', values.attempts, ['first', 'last', 'all']);
  const model = oneOf('--model', values.model, models);
  const seed = wholeNumber('--seed', values.seed, 0, 4_294_967_295);
  const judge = oneOf('--judge', values.judge, ['low-end', 'estimate']);
  const requirement = values.requirement === undefined ? undefined : requirementOf(values.requirement);
  const choices: RequestInput<'study:read'> = {
    joint,
    scope: { ...scopeOf({ ...values, joint: [] }), joints: [] },
    ...(of ? { of } : {}),
    ...(attempts ? { attempts } : {}),
    ...(within ? { within } : {}),
    ...(subgroup === undefined ? {} : { subgroup }),
    ...(model ? { model } : {}),
    ...(requirement ? { requirement } : {}),
    ...(seed === undefined ? {} : { seed }),
    ...(judge ? { judge } : {}),
    ...(unit ? { unit } : {}),
    fitP: values['fit-p'],
    baseline: baselineOf(values['baseline-from'], values['baseline-to']),
  };
  const format =
    values.out === undefined ? undefined : formats.find((known) => path.extname(values.out ?? '') === `.${known}`);
  if (values.out !== undefined && format === undefined) {
    throw new WrongUsage(`--out ${values.out}: the ending must be one of ${formats.map((f) => `.${f}`).join(', ')}.`);
  }
  if (values.out !== undefined) checkOut(values.out);
  const paper = oneOf('--paper', values.paper, ['A4', 'letter']) ?? 'A4';
  const client = await context.open(values.store);
  if (values.out !== undefined && format !== undefined) {
    const made = await client.call('report:study', { choices, format, paper, madeMs: Date.now() });
    await writeOut(values.out, made.bytes);
    context.warn(`Written: ${values.out}`);
  }
  if (values.json) printJson(context, await client.call('study:answer', choices));
  else if (values.out === undefined) context.print(inWords((await client.call('study:answer', choices)) as Answer));
  return 0;
};

/** The span whose groups set the control limits; a bare date as its end includes that day. */
function baselineOf(
  from: string | undefined,
  to: string | undefined,
): { from: number | null; to: number | null } | null {
  if (from === undefined && to === undefined) return null;
  const span = scopeOf({
    from: from === undefined ? undefined : checked('--baseline-from', from),
    to: to === undefined ? undefined : checked('--baseline-to', to),
  });
  if (span.from !== null && span.to !== null && span.from >= span.to) {
    throw new WrongUsage('--baseline-from must be before --baseline-to.');
  }
  return { from: span.from, to: span.to };
}

/** Names the option in the problem, then gives the text on. */
function checked(option: string, text: string): string {
  civil(option, text);
  return text;
}

function requirementOf(text: string): { index: (typeof indexNames)[number]; value: number } {
  const m = /^(\w+)=(\d+(?:\.\d+)?)$/.exec(text);
  const index = indexNames.find((name) => name === m?.[1]);
  if (!m || index === undefined)
    throw new WrongUsage(`--requirement ${text}: write it as Ppk=1.33, with one of ${indexNames.join(', ')}.`);
  return { index, value: Number(m[2]) };
}

function inWords(answer: Answer): string {
  const rows = Object.entries(answer.indices).flatMap(([name, index]) =>
    index === null
      ? []
      : [
          [
            name,
            index.value.toFixed(2),
            index.low95 === null ? '-' : `${index.low95.toFixed(2)} to ${index.high95?.toFixed(2)}`,
            index.method,
          ],
        ],
  );
  return `${[
    `${answer.joint}, n ${answer.n}`,
    `${answer.verdict.headline} ${answer.verdict.because}`,
    '',
    ...(rows.length > 0 ? [table(['Index', 'Value', '95 % interval', 'Method'], rows), ''] : []),
    ...answer.cautions,
  ].join('\n')}\n`;
}
