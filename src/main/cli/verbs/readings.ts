/** `readings [scope]`: readings in force, judged, in time order. */
import { once } from 'node:events';
import { commonOptions, parseVerb, scopeOf, scopeOptions, unitOf } from '../scope-options.ts';
import type { Verb } from '../verb.ts';

const page = 20_000;

export const run: Verb = async (args, context) => {
  const { values } = parseVerb(args, { ...commonOptions, ...scopeOptions }, [0, 0]);
  unitOf(values.unit);
  const scope = scopeOf(values);
  const client = await context.open(values.store);
  // Written page by page: a million readings are no reason to hold one text of 400 MB.
  if (values.json) context.print('{"readings":[');
  let offset = 0;
  let total = 0;
  do {
    const answer = await client.call('readings:answer', { scope, offset, limit: page });
    total = answer.total;
    if (values.json) {
      const text = answer.readings.map((reading) => JSON.stringify(reading)).join(',\n');
      if (text !== '') context.print(offset === 0 ? `\n${text}` : `,\n${text}`);
    } else {
      context.print(answer.readings.map((reading) => `${plain(reading)}\n`).join(''));
    }
    if (process.stdout.writableNeedDrain) await once(process.stdout, 'drain');
    offset += page;
    // Nobody reads on (`| head`): what is left need not be made.
  } while (offset < total && !process.stdout.destroyed);
  if (values.json) context.print('\n]}\n');
  else context.warn(`${total} readings`);
  return 0;
};

/** One reading as one line: the fields a person looks for, separated by tabs. */
function plain(reading: unknown): string {
  const r = reading as Readonly<Record<string, unknown>>; // the JSON contract's reading
  const reasons = Array.isArray(r.reasons) ? r.reasons.join(' ') : '';
  return [
    r.at,
    r.joint,
    r.tool,
    r.operator,
    r.torqueAsRecorded,
    r.unit,
    r.angle,
    r.verdict,
    reasons || r.unjudgedBecause,
    r.id,
  ]
    .map((cell) => (cell === null || cell === undefined ? '-' : String(cell)))
    .join('\t');
}
