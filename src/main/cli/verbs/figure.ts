/** `figure NAME [scope] --out FILE.svg|.png`: one chart. */
import { civilNow } from '../../civil-now.ts';
import { commonOptions, parseVerb, scopeOf, scopeOptions } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import type { Verb } from '../verb.ts';
import { checkOut, writeOut } from '../write-out.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(
    args,
    { ...commonOptions, ...scopeOptions, out: { type: 'string' } },
    [1, 1],
  );
  const format = /\.(svg|png)$/.exec(values.out ?? '')?.[1];
  if (values.out === undefined || (format !== 'svg' && format !== 'png'))
    throw new WrongUsage('Name the file with --out; it must end in .svg or .png.');
  checkOut(values.out);
  const scope = scopeOf(values);
  const joint = values.joint?.[0];
  const client = await context.open(values.store);
  const made = await client.call('figure:make', {
    name: positionals[0] ?? '',
    scope,
    choices: joint === undefined ? null : { joint, scope: { ...scope, joints: [] } },
    tool: values.tool?.[0] ?? null,
    now: civilNow(),
    format,
  });
  await writeOut(values.out, made.bytes);
  context.warn(`Written: ${values.out}`);
  return 0;
};
