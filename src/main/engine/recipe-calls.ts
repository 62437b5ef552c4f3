/** Recipes: how files of one layout are read. */
import { ProblemError } from '#core/contract/problems.ts';
import { recipeSchema } from '#core/intake/recipe.ts';
import { said } from '#core/text/said.ts';
import type { Json, StoreOp } from '../store/store.ts';
import type { CallHost, OwnCalls } from './call-host.ts';
import { notFound } from './engine-calls.ts';

/** Listing, keeping, renaming and dropping recipes. */
export function recipeCalls(
  host: CallHost,
): OwnCalls<'recipe:list' | 'recipe:put' | 'recipe:rename' | 'recipe:delete'> {
  return {
    'recipe:list': async () => (await host.store.recipes()).map((recipe) => recipe.body),
    'recipe:put': async (request) => {
      const ops: StoreOp[] = request.recipes.map((raw) => {
        const parsed = recipeSchema.safeParse(raw);
        if (!parsed.success) {
          const issue = parsed.error.issues[0];
          const detail = `a recipe is not valid: ${issue?.path.join('.')} ${issue?.message}`;
          throw new ProblemError('wrong-request', said('problem.wrong-request', { detail }));
        }
        // Plain JSON by its schema.
        const body = JSON.parse(JSON.stringify(parsed.data)) as Json;
        return { t: 'recipe', fingerprint: parsed.data.fingerprint, row: { name: parsed.data.name, body } };
      });
      return host.commit('recipe', `${ops.length}`, null, ops);
    },
    'recipe:rename': async (request) => {
      const recipe = (await host.store.recipes()).find((one) => one.fingerprint === request.fingerprint);
      if (!recipe) throw notFound('recipe', request.fingerprint);
      const body =
        typeof recipe.body === 'object' && recipe.body !== null && !Array.isArray(recipe.body)
          ? { ...recipe.body, name: request.name }
          : recipe.body;
      return host.commit('recipe', request.name, null, [
        { t: 'recipe', fingerprint: request.fingerprint, row: { name: request.name, body } },
      ]);
    },
    'recipe:delete': async (request) => {
      const recipe = (await host.store.recipes()).find((one) => one.fingerprint === request.fingerprint);
      if (!recipe) throw notFound('recipe', request.fingerprint);
      return host.commit('recipe', recipe.name, null, [{ t: 'recipe', fingerprint: request.fingerprint, row: null }]);
    },
  };
}
