/** `drift [scope] [--card SERIAL | --affected SERIAL | --in-question SERIAL, each with --out FILE]`. */
import path from 'node:path';
import { say } from '#core/text/said.ts';
import { civilNow } from '../../civil-now.ts';
import { civil, commonOptions, parseVerb, scopeOf, scopeOptions } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, type Verb } from '../verb.ts';
import { checkOut, writeOut } from '../write-out.ts';

/** The parts of the `drift` document that are printed for people. */
interface Answer {
  readonly tools: readonly {
    readonly tool: string;
    readonly finding: string;
    readonly urgency: string;
    readonly lanes: {
      readonly checks: {
        readonly crossesOn: string | null;
        readonly crossesLow95: string | null;
        readonly crossesHigh95: string | null;
      } | null;
    };
    readonly affected: {
      readonly since: string | null;
      readonly count: number;
      readonly byJoint: readonly { readonly joint: string; readonly count: number }[];
    };
    readonly inQuestion: {
      readonly since: string;
      readonly count: number;
      readonly wouldLeaveLimits: number | null;
    } | null;
  }[];
  readonly expectedFalseAlarms: number | null;
  readonly tangled: readonly { readonly says: string; readonly untangleBy: string }[];
}

/** What `--out` may be asked for, and the endings it takes. */
const files = { card: ['html', 'pdf'], affected: ['csv'], 'in-question': ['csv'] } as const;

export const run: Verb = async (args, context) => {
  const { values } = parseVerb(
    args,
    {
      ...commonOptions,
      ...scopeOptions,
      now: { type: 'string' },
      card: { type: 'string' },
      affected: { type: 'string' },
      'in-question': { type: 'string' },
      out: { type: 'string' },
    },
    [0, 0],
  );
  const now = values.now === undefined ? civilNow() : civil('--now', values.now).at;
  const scope = scopeOf(values);
  const wanted = (['card', 'affected', 'in-question'] as const).filter((kind) => values[kind] !== undefined);
  const [kind, second] = wanted;
  if (second !== undefined) throw new WrongUsage(`--${kind} and --${second}: ask for one of them.`);
  if ((kind === undefined) !== (values.out === undefined)) {
    throw new WrongUsage('--out FILE goes with --card SERIAL, --affected SERIAL or --in-question SERIAL.');
  }
  if (kind !== undefined && values.out !== undefined) {
    const tool = values[kind] ?? '';
    const ending = path.extname(values.out).slice(1);
    const known: readonly string[] = files[kind];
    if (!known.includes(ending)) {
      throw new WrongUsage(`--out ${values.out}: the ending must be ${known.map((one) => `.${one}`).join(' or ')}.`);
    }
    if (values.out !== undefined) checkOut(values.out);
    const client = await context.open(values.store);
    if (kind === 'card') {
      const format = ending === 'pdf' ? 'pdf' : 'html';
      const made = await client.call('report:tool', { scope, tool, now, format, madeMs: Date.now() });
      await writeOut(values.out, made.bytes);
    } else {
      const { row } = await client.call('drift:tool', { scope, now, tool });
      const span =
        kind === 'affected'
          ? // Just after the check: its own time is the tester's, not the line's.
            { from: row.affected.since === null ? null : row.affected.since + 1, to: row.affected.until }
          : { from: row.inQuestion?.since ?? null, to: null };
      if (kind === 'in-question' && row.inQuestion === null) {
        context.warn(`No reading of ${tool} is in question: ${say(row.finding)} Nothing was written.`);
        return 0;
      }
      const made = await client.call('readings:csv', {
        scope: { ...span, shifts: [], joints: [], tools: [tool], operators: [] },
        filters: [],
      });
      await writeOut(values.out, made.bytes);
    }
    context.warn(`Written: ${values.out}`);
    return 0;
  }

  const client = await context.open(values.store);
  const answer = (await client.call('drift:answer', { scope, now })) as Answer;
  if (values.json) {
    printJson(context, answer);
    return 0;
  }
  const lines = answer.tools.flatMap((tool) => [`${tool.tool}  ${tool.finding}`, ...doubts(tool)]);
  if (answer.expectedFalseAlarms !== null)
    lines.push('', `False alarms expected in one lane: ${answer.expectedFalseAlarms.toFixed(1)}`);
  for (const t of answer.tangled) lines.push(`${t.says} ${t.untangleBy}`);
  lines.push(
    '',
    'Quarantine a suspect tool and have it checked by a competent laboratory; re-check its fasteners by the procedure of the product’s owner.',
    'Nothing here releases a tool or a fastener: the responsible engineer and local rules decide.',
  );
  context.print(`${lines.join('\n')}\n`);
  return 0;
};

/** Readings in doubt and the forecast, where there is something to do about them. */
function doubts(tool: Answer['tools'][number]): string[] {
  const out: string[] = [];
  const { affected, inQuestion, lanes } = tool;
  if (tool.urgency === 'failing-check') {
    const joints = affected.byJoint.map((one) => `${one.joint} ${one.count}`).join(', ');
    out.push(
      `       affected: ${affected.count} readings${affected.since === null ? '' : ` since ${affected.since.replace('T', ' ')}`}${joints === '' ? '' : ` (${joints})`}`,
    );
  }
  if (inQuestion) {
    const leave =
      inQuestion.wouldLeaveLimits === null
        ? ''
        : `; corrected by the latest check, ${inQuestion.wouldLeaveLimits} of those that passed leave their limits`;
    out.push(`       in question: ${inQuestion.count} readings since ${inQuestion.since.replace('T', ' ')}${leave}`);
  }
  const { checks } = lanes;
  if (checks?.crossesOn) {
    out.push(
      `       checks: at this rate outside what is permitted on ${checks.crossesOn} (95 %: ${checks.crossesLow95} to ${checks.crossesHigh95})`,
    );
  }
  return out;
}
