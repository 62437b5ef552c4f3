/** `drift [scope]`. */

import { civilNow } from '../../civil-now.ts';
import { civil, commonOptions, parseVerb, scopeOf, scopeOptions } from '../scope-options.ts';
import { printJson, type Verb } from '../verb.ts';

/** The parts of the `drift` document that are printed for people. */
interface Answer {
  readonly tools: readonly { readonly tool: string; readonly n: number; readonly finding: string }[];
  readonly expectedFalseAlarms: number | null;
  readonly tangled: readonly { readonly says: string; readonly untangleBy: string }[];
}

export const run: Verb = async (args, context) => {
  const { values } = parseVerb(args, { ...commonOptions, ...scopeOptions, now: { type: 'string' } }, [0, 0]);
  const now = values.now === undefined ? civilNow() : civil('--now', values.now).at;
  const scope = scopeOf(values);
  const client = await context.open(values.store);
  const answer = (await client.call('drift:answer', { scope, now })) as Answer;
  if (values.json) {
    printJson(context, answer);
    return 0;
  }
  const lines = answer.tools.map((t) => `${t.tool}  ${t.finding}`);
  if (answer.expectedFalseAlarms !== null)
    lines.push('', `False alarms expected in one lane: ${answer.expectedFalseAlarms.toFixed(1)}`);
  for (const t of answer.tangled) lines.push(`${t.says} ${t.untangleBy}`);
  lines.push('', 'Nothing here releases a tool or a fastener: the responsible engineer and local rules decide.');
  context.print(`${lines.join('\n')}\n`);
  return 0;
};
