/** Studies and scopes that people saved under a name. */
import { studyChoicesSchema } from '#core/contract/calls.ts';
import type { SavedStudy } from '#core/contract/models/study-model.ts';
import type { Json, Store } from '../store/store.ts';
import type { CallHost, OwnCalls } from './call-host.ts';
import { notFound, studyOf } from './engine-calls.ts';

/** Listing, saving and deleting studies and scopes. */
export function savedCalls(
  host: CallHost,
): OwnCalls<'study:list' | 'study:save' | 'study:delete' | 'scope:list' | 'scope:save' | 'scope:delete'> {
  return {
    'study:list': () => host.savedStudies(),
    'study:save': async (request, context) => {
      const model = await studyOf(await host.asked(context), request.choices);
      // Plain JSON: choices and figures of a study.
      const body: Json = JSON.parse(
        JSON.stringify({
          choices: request.choices,
          fingerprint: model.fingerprint,
          figures: model.figures,
          programVersion: host.programVersion,
        }),
      );
      const done = await host.committed('study', request.name, null, [
        { t: 'study', id: null, row: { name: request.name, body } },
      ]);
      const op = done.ops[0];
      return { change: done.change, id: op?.t === 'study' ? (op.id ?? 0) : 0 };
    },
    'study:delete': async (request) => {
      const study = (await host.store.studies()).find((one) => one.id === request.id);
      if (!study) throw notFound('study', String(request.id));
      return host.commit('study', study.name, null, [{ t: 'study', id: request.id, row: null }]);
    },

    'scope:list': () => host.savedScopes(),
    'scope:save': async (request) =>
      host.commit('scope', request.name, null, [{ t: 'scope', name: request.name, row: { ...request.scope } }]),
    'scope:delete': async (request) => {
      if (!(await host.store.scopes()).some((one) => one.name === request.name)) throw notFound('scope', request.name);
      return host.commit('scope', request.name, null, [{ t: 'scope', name: request.name, row: null }]);
    },
  };
}

/** A stored study as the contract shows it; choices that a later program added take their defaults. */
export function savedStudy(row: Awaited<ReturnType<Store['studies']>>[number]): SavedStudy {
  // Written by `study:save` above.
  const body = row.body as unknown as Pick<SavedStudy, 'choices' | 'fingerprint' | 'figures' | 'programVersion'>;
  const choices = studyChoicesSchema.parse(body.choices);
  return { id: row.id, name: row.name, savedMs: row.savedMs, by: row.who, ...body, choices };
}
