/** `demo`: fills the store with the sample scenario. */
import { commonOptions, parseVerb } from '../scope-options.ts';
import { printJson, type Verb } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values } = parseVerb(args, commonOptions, [0, 0]);
  const client = await context.open(values.store);
  const loaded = await client.call('demo:load', {});
  if (values.json) printJson(context, loaded);
  else
    context.print(
      `The sample scenario is in the store: ${loaded.readings} readings from ${loaded.sources} dumps. All of it is invented.\n`,
    );
  return 0;
};
