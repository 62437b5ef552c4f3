/** `recipe list | export FILE | import FILE | delete FINGERPRINT`: how known layouts are read. */
import { readFile, writeFile } from 'node:fs/promises';
import { commonOptions, parseVerb } from '../scope-options.ts';
import { WrongUsage } from '../usage.ts';
import { printJson, type Verb } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(args, commonOptions, [1, 2]);
  const [what, named] = positionals;
  if (what !== 'list' && named === undefined)
    throw new WrongUsage(`recipe ${what}: name the file, or the fingerprint.`);
  const client = await context.open(values.store);
  switch (what) {
    case 'list':
      printJson(context, { recipes: await client.call('recipe:list', {}) });
      return 0;
    case 'export':
      await writeFile(named ?? '', `${JSON.stringify({ recipes: await client.call('recipe:list', {}) }, null, 1)}\n`);
      return 0;
    case 'import':
      await client.call('recipe:put', { recipes: await recipesOf(named ?? '') });
      return 0;
    case 'delete':
      await client.call('recipe:delete', { fingerprint: named ?? '' });
      return 0;
    default:
      throw new WrongUsage(`recipe ${what} is not known: list, export, import or delete.`);
  }
};

/** Recipes of a file, as `recipesIn` finds them. */
export async function recipesOf(file: string): Promise<never[]> {
  const text = await readFile(file, 'utf8').catch(() => null);
  if (text === null) throw new WrongUsage(`The recipe file ${file} cannot be read. Check its name.`);
  return recipesIn(text, file);
}

/**
 * The recipes in a text: a list, `{"recipes": [...]}`, one recipe alone, or the document that `intake --json` printed.
 * Each is checked by the engine.
 */
export function recipesIn(text: string, file: string): never[] {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    throw new WrongUsage(`${file} is not a recipe file: it is not JSON. Export one with \`recipe export FILE\`.`);
  }
  const list = Array.isArray(parsed) ? parsed : isRecord(parsed) ? recipesInside(parsed) : null;
  if (list === null || list.length === 0)
    throw new WrongUsage(`${file} holds no recipe. Export one with \`recipe export FILE\`.`);
  // Nothing is known of the entries yet; the engine checks each by the schema of recipes.
  return list as never[];
}

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

function recipesInside(parsed: Record<string, unknown>): unknown[] | null {
  if (Array.isArray(parsed.recipes)) return parsed.recipes;
  if (Array.isArray(parsed.files))
    return parsed.files.flatMap((one: unknown) => (isRecord(one) && one.recipe ? [one.recipe] : []));
  return 'fingerprint' in parsed ? [parsed] : null;
}
