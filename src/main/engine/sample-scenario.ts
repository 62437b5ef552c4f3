/** The invented plant that a first look begins with. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Replies, Request } from '#core/contract/calls.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { said, say } from '#core/text/said.ts';
import type { Json, Store, StoreOp } from '../store/store.ts';
import type { ServeContext } from './engine.ts';
import { notFound } from './engine-calls.ts';
import type { Inbox } from './inbox.ts';

export interface ScenarioHost {
  /** Holds `register.json`, `settings.json`, `answers.json` and `dumps/`. */
  readonly sampleFolder: string;
  readonly store: Store;
  readonly inbox: Pick<Inbox, 'offer' | 'read' | 'accept' | 'drop'>;
  putRegister(file: Request<'register:put'>['file']): Promise<void>;
  commit(kind: string, subject: string, why: string | null, ops: readonly StoreOp[]): Promise<unknown>;
}

/** Takes the sample scenario in: its register, its settings and its dumps, each file as a person would. */
export async function loadScenario(host: ScenarioHost, context: ServeContext): Promise<Replies['demo:load']> {
  const folder = host.sampleFolder;
  const dumps = join(folder, 'dumps');
  if (!existsSync(dumps)) throw notFound('sample scenario', folder);
  const file: Request<'register:put'>['file'] = JSON.parse(readFileSync(join(folder, 'register.json'), 'utf8'));
  await host.putRegister(file);
  const answersPath = join(folder, 'answers.json');
  const answers: Record<string, { answers?: Record<string, string>; set?: Request<'inbox:read'>['set'] }> = existsSync(
    answersPath,
  )
    ? JSON.parse(readFileSync(answersPath, 'utf8'))
    : {};
  await bringSettings(host, join(folder, 'settings.json'));
  const names = readdirSync(dumps).sort();
  let sources = 0;
  let readings = 0;
  for (const [done, name] of names.entries()) {
    context.onProgress?.({ phase: 'reading', done, total: names.length, unit: 'files' });
    const ticket = await host.inbox.offer(join(dumps, name), name, false);
    const quiet = context.signal ? { signal: context.signal } : {};
    try {
      await host.inbox.read(
        ticket,
        { answers: answers[name]?.answers ?? {}, set: answers[name]?.set ?? {}, useRecipe: true },
        quiet,
      );
      const [outcome] = await host.inbox.accept([ticket], { saveRecipe: false, dryRun: false }, quiet);
      if (outcome?.source == null) {
        throw new ProblemError(
          'fault',
          said('problem.fault', { detail: `${name}: ${outcome ? say(outcome.said) : ''}` }),
        );
      }
      sources++;
      readings += outcome.accepted;
    } catch (error) {
      host.inbox.drop([ticket]);
      throw error;
    }
  }
  context.onProgress?.({ phase: 'reading', done: names.length, total: names.length, unit: 'files' });
  return { sources, readings };
}

/** Settings that the scenario brings; those the store has already stay. */
async function bringSettings(host: ScenarioHost, path: string): Promise<void> {
  if (!existsSync(path)) return;
  const brought: Readonly<Record<string, Json>> = JSON.parse(readFileSync(path, 'utf8'));
  const kept = await host.store.settings();
  const ops = Object.entries(brought)
    .filter(([key]) => kept[key] === undefined || kept[key] === null)
    .map(([key, value]): StoreOp => ({ t: 'setting', key, value }));
  if (ops.length > 0) await host.commit('settings', 'sample', null, ops);
}
