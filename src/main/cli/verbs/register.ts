/** `register FILE.json` or `FILE.csv` (one table of it), and `register --export`. */
import { readFile } from 'node:fs/promises';
import { ProblemError } from '#core/contract/problems.ts';
import { registerFileFromCsv } from '#core/register/register-csv.ts';
import { said } from '#core/text/said.ts';
import { commonOptions, parseVerb } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, type Verb } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(
    args,
    { ...commonOptions, export: { type: 'boolean', default: false } },
    [0, 1],
  );
  const file = positionals[0];
  if (values.export === (file !== undefined)) throw new WrongUsage('Name a register file, or --export, not both.');
  const client = await context.open(values.store);
  if (file === undefined) {
    printJson(context, await client.call('register:export', {}));
    return 0;
  }
  const done = await client.call('register:put', {
    file: await registerFile(file),
    why: `from ${file.split(/[\\/]/).at(-1)}`,
  });
  if (values.json) printJson(context, done);
  else context.print('The register has taken it in.\n');
  return 0;
};

async function registerFile(file: string): Promise<never> {
  const text = await readFile(file, 'utf8');
  if (/\.csv$/i.test(file)) {
    const { file: parsed, problems } = registerFileFromCsv(text);
    const [first] = problems;
    if (first) throw new ProblemError('refused-input', first);
    // Parsed by the schema of the call, as JSON is.
    return parsed as never;
  }
  try {
    // Whatever it holds is parsed by the schema of the call.
    return JSON.parse(text.replace(/^\uFEFF/, '')) as never;
  } catch (thrown) {
    throw new ProblemError(
      'refused-input',
      said('shell.not-json', { file, detail: thrown instanceof Error ? thrown.message : '' }),
    );
  }
}
