/** `review [scope] [--out FILE.html|.pdf|.csv]`. */
import path from 'node:path';
import { say } from '#core/text/said.ts';
import { commonOptions, parseVerb, scopeOf, scopeOptions, unitOf } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, table, type Verb } from '../verb.ts';
import { checkOut, writeOut } from '../write-out.ts';

interface Rate {
  readonly fasteners: number;
  readonly judged: number;
  readonly passed: number;
  readonly rate: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}
/** The parts of the `review` document that are printed for people. */
interface Answer {
  readonly readings: {
    readonly n: number;
    readonly pass: number;
    readonly fail: number;
    readonly unjudged: number;
    readonly noTime: number;
  };
  readonly firstPass: Rate;
  readonly finalRate: Rate;
  readonly causes: readonly {
    readonly reasons: readonly string[];
    readonly joint: string | null;
    readonly count: number;
  }[];
  /** Null: batches cannot be told. */
  readonly batches:
    | readonly {
        readonly joint: string;
        readonly tool: string;
        readonly batch: string | null;
        readonly from: string | null;
        readonly size: number | null;
        readonly distinct: number;
        readonly missing: number | null;
        readonly surplus: number | null;
      }[]
    | null;
}

const formats = ['html', 'pdf', 'csv'] as const;

export const run: Verb = async (args, context) => {
  const { values } = parseVerb(args, { ...commonOptions, ...scopeOptions, out: { type: 'string' } }, [0, 0]);
  const unit = unitOf(values.unit);
  const scope = scopeOf(values);
  const format = formats.find((known) => path.extname(values.out ?? '') === `.${known}`);
  if (values.out !== undefined && format === undefined) {
    throw new WrongUsage(`--out ${values.out}: the ending must be one of ${formats.map((f) => `.${f}`).join(', ')}.`);
  }
  if (values.out !== undefined) checkOut(values.out);
  const client = await context.open(values.store);
  if (values.out !== undefined && format !== undefined) {
    const made = await client.call('report:shift', { scope, format, madeMs: Date.now() });
    await writeOut(values.out, made.bytes);
    context.warn(`Written: ${values.out}`);
    if (!values.json) return 0;
  }
  const answer = (await client.call('review:answer', { scope, ...(unit ? { unit } : {}) })) as Answer;
  if (values.json) {
    printJson(context, answer);
    return 0;
  }
  const model = await client.call('review:read', { scope });
  const percent = (share: number | null): string => (share === null ? '-' : `${(share * 100).toFixed(1)} %`);
  const rate = (r: Rate): string =>
    `${percent(r.rate)} (95 % interval ${percent(r.low95)} to ${percent(r.high95)}; ${r.passed} of ${r.judged} judged)`;
  const incomplete = (answer.batches ?? []).filter((b) => (b.missing ?? 0) > 0 || (b.surplus ?? 0) > 0);
  context.print(
    `${[
      model.finding.map((sentence) => say(sentence)).join(' '),
      '',
      `Readings ${answer.readings.n}: ${answer.readings.pass} inside, ${answer.readings.fail} outside, ${answer.readings.unjudged} unjudged, ${answer.readings.noTime} without a time`,
      `First try  ${rate(answer.firstPass)}`,
      `Last try   ${rate(answer.finalRate)}`,
      '',
      table(
        ['Cause', 'Joint', 'Count'],
        answer.causes.map((c) => [c.reasons.join(' and ').replaceAll('-', ' '), c.joint ?? '-', String(c.count)]),
      ),
      '',
      incomplete.length === 0
        ? 'No batch is short or over.'
        : table(
            ['Batch', 'Joint', 'Tool', 'Size', 'Read', 'Missing', 'Surplus'],
            incomplete.map((b) => [
              b.batch ?? b.from ?? '-',
              b.joint,
              b.tool,
              String(b.size ?? '-'),
              String(b.distinct),
              String(b.missing ?? '-'),
              String(b.surplus ?? '-'),
            ]),
          ),
    ].join('\n')}\n`,
  );
  return 0;
};
