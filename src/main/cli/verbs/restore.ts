/** `restore SOURCE`: puts a withdrawn file's readings back in force. */

import { commonOptions, parseVerb } from '../scope-options.ts';
import { sourceNumber } from '../source-number.ts';
import { printJson, type Verb } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(args, commonOptions, [1, 1]);
  const source = sourceNumber(positionals[0]);
  const client = await context.open(values.store);
  const done = await client.call('source:restore', { source });
  if (values.json) printJson(context, done);
  else context.print(`File ${done.source} is back: ${done.backInForce} readings are in force again.\n`);
  return 0;
};
