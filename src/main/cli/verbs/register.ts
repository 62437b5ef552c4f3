/**
 * `register FILE.json` or `FILE.csv` (one table of it), `register --export`, `register --export --csv DIR`, and
 * `register --remove KIND NAME`.
 */
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import Papa from 'papaparse';
import { ProblemError } from '#core/contract/problems.ts';
import { registerCsv, registerFileFromRecords, registerTableNames } from '#core/register/register-csv.ts';
import type { RegisterFile } from '#core/register/register-file.ts';
import { withoutFormulaGuard } from '#core/text/csv.ts';
import { said } from '#core/text/said.ts';
import { commonOptions, parseVerb } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, type Verb } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(
    args,
    {
      ...commonOptions,
      export: { type: 'boolean', default: false },
      csv: { type: 'string' },
      remove: { type: 'boolean', default: false },
      why: { type: 'string' },
    },
    [0, 2],
  );
  if (values.remove) {
    if (values.export || values.csv !== undefined) throw new WrongUsage('--remove goes alone, without --export.');
    return remove(positionals, values, context);
  }
  if (values.why !== undefined) throw new WrongUsage('--why TEXT goes with --remove.');
  const file = positionals[0];
  if (positionals.length > 1) throw new WrongUsage(`Name one register file; "${positionals[1]}" is one too many.`);
  if (values.export === (file !== undefined)) throw new WrongUsage('Name a register file, or --export, not both.');
  if (values.csv !== undefined && !values.export) throw new WrongUsage('--csv DIR goes with --export.');
  const client = await context.open(values.store);
  if (file === undefined) {
    // Made by `registerToFile` on the other side.
    const exported = (await client.call('register:export', {})) as RegisterFile;
    if (values.csv === undefined) printJson(context, exported);
    else await writeTables(exported, values.csv, values.json, context);
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

const kinds = ['joint', 'tool', 'operator', 'shift'] as const;

/** Takes out an entry that nothing points to; what points to it is said with what to do instead, and is exit 3. */
async function remove(
  positionals: readonly string[],
  values: { readonly store?: string | undefined; readonly json: boolean; readonly why?: string | undefined },
  context: Parameters<Verb>[1],
): Promise<number> {
  const [word, name] = positionals;
  const kind = kinds.find((one) => one === word);
  if (kind === undefined || name === undefined) {
    throw new WrongUsage('Write --remove KIND NAME; KIND is joint, tool, operator or shift.');
  }
  const client = await context.open(values.store);
  const done = await client.call('register:remove', { kind, name, why: values.why ?? null });
  if (values.json) printJson(context, done);
  else context.print(`${name} is removed. The journal keeps it.\n`);
  return 0;
}

/** One CSV a table that has rows, in a folder that is made where it is not there. */
async function writeTables(
  file: RegisterFile,
  folder: string,
  json: boolean,
  context: Parameters<Verb>[1],
): Promise<void> {
  await mkdir(folder, { recursive: true });
  const written: string[] = [];
  for (const table of registerTableNames) {
    const text = registerCsv(file, table);
    // The head alone: a list without entries.
    if (text.trimEnd().split('\n').length < 2) continue;
    const name = `${table}.csv`;
    await writeFile(path.join(folder, name), text);
    written.push(name);
  }
  if (json) printJson(context, { written });
  else
    context.print(
      `${written.length === 0 ? 'The register is empty: nothing was written' : `Written: ${written.join(', ')}`}.\n`,
    );
}

async function registerFile(file: string): Promise<never> {
  const text = await readFile(file, 'utf8');
  if (/\.csv$/i.test(file)) {
    const { data } = Papa.parse<string[]>(text.replace(/^\uFEFF/, ''), {
      delimitersToGuess: [',', ';', '\t'],
      skipEmptyLines: 'greedy',
      transform: withoutFormulaGuard,
    });
    const { file: parsed, problems } = registerFileFromRecords(data);
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
