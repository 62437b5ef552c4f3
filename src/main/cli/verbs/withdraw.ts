/** `withdraw SOURCE`: takes out of force what only this file shows. */

import { commonOptions, parseVerb } from '../scope-options.ts';
import { sourceNumber } from '../source-number.ts';
import { printJson, type Verb } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(args, commonOptions, [1, 1]);
  const source = sourceNumber(positionals[0]);
  const client = await context.open(values.store);
  const done = await client.call('source:withdraw', { source });
  if (values.json) printJson(context, done);
  else {
    context.print(
      `File ${done.source} is withdrawn: ${done.outOfForce} readings are out of force; ${done.stillShownElsewhere} stay, since another held file shows them.\n`,
    );
  }
  return 0;
};
