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
      await client.call('recipe:put', { recipes: recipesIn(await readFile(named ?? '', 'utf8')) });
      return 0;
    case 'delete':
      await client.call('recipe:delete', { fingerprint: named ?? '' });
      return 0;
    default:
      throw new WrongUsage(`recipe ${what} is not known: list, export, import or delete.`);
  }
};

/** The list in a recipe file; its entries are checked by the engine. */
export function recipesIn(text: string): never[] {
  const parsed: unknown = JSON.parse(text);
  const list = typeof parsed === 'object' && parsed !== null && 'recipes' in parsed ? parsed.recipes : parsed;
  if (!Array.isArray(list)) throw new WrongUsage('This is not a recipe file: it holds no list of recipes.');
  return list as never[];
}
