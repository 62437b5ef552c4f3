/** Entry of the command line: finds the verb, runs it, turns problems into exit codes. */
import path from 'node:path';
import type { ProblemKind } from '#core/contract/problems.ts';
import type { EngineClient } from '../client/engine-client.ts';
import { defaultStorePath } from '../store-location.ts';
import { helpText, WrongUsage } from './usage.ts';
import type { Verb, VerbContext } from './verb.ts';

/** Verbs by name; each is loaded only when it is asked for. */
const verbs: Readonly<Record<string, () => Promise<{ readonly run: Verb }>>> = {
  demo: () => import('./verbs/demo.ts'),
  drift: () => import('./verbs/drift.ts'),
  figure: () => import('./verbs/figure.ts'),
  intake: () => import('./verbs/intake.ts'),
  readings: () => import('./verbs/readings.ts'),
  recipe: () => import('./verbs/recipe.ts'),
  register: () => import('./verbs/register.ts'),
  restore: () => import('./verbs/restore.ts'),
  review: () => import('./verbs/review.ts'),
  rows: () => import('./verbs/rows.ts'),
  study: () => import('./verbs/study.ts'),
  withdraw: () => import('./verbs/withdraw.ts'),
};

const exitCodes: Readonly<Record<ProblemKind, number>> = {
  'wrong-request': 4,
  'not-found': 4,
  'refused-input': 3,
  'needs-answer': 2,
  'no-permission': 3,
  conflict: 3,
  busy: 5,
  'read-only': 5,
  'store-newer': 5,
  'store-damaged': 5,
  'disk-full': 5,
  cancelled: 1,
  superseded: 1,
  fault: 1,
};

// Whoever reads may stop early (`... | head`): what is left to say is then said to nobody, and that is no fault.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error: Error) => {
    if (!isReaderGone(error)) throw error;
  });
}

const [name = 'help', ...args] = process.argv.slice(2);
process.exitCode = await main(name, args);

async function main(verbName: string, verbArgs: readonly string[]): Promise<number> {
  if (verbName === 'help' || verbName === '--help' || verbName === '-h') {
    process.stdout.write(helpText);
    return verbName === 'help' && process.argv.length < 3 ? 4 : 0;
  }
  const json = verbArgs.includes('--json');
  const load = Object.hasOwn(verbs, verbName) ? verbs[verbName] : undefined;
  let client: EngineClient | null = null;
  const context: VerbContext = {
    async open(storePath) {
      if (client) return client;
      const [{ startEngine }, { engineSettings }] = await Promise.all([
        import('../client/engine-client.ts'),
        import('../installation.ts'),
      ]);
      // Nobody else waits for this thread, so the engine may run in it: it starts faster than in one of its own.
      client = await startEngine(
        engineSettings(path.resolve(storePath ?? defaultStorePath(process.platform, process.env))),
        'here',
      );
      return client;
    },
    print: (text) => void process.stdout.write(text),
    warn: (text) => void process.stderr.write(`${text}\n`),
  };
  try {
    if (!load) throw new WrongUsage(`There is no verb "${verbName}". Run without a verb to see the list.`);
    return await (await load()).run(verbArgs, context);
  } catch (thrown) {
    // A verb that waited for its output to be read.
    if (isReaderGone(thrown)) return 0;
    const { kind, message } = await problemIn(thrown);
    if (json) context.print(`${JSON.stringify({ problem: { kind, message } })}\n`);
    else context.warn(message);
    return exitCodes[kind];
  } finally {
    await (client as EngineClient | null)?.close();
  }
}

function isReaderGone(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EPIPE';
}

async function problemIn(thrown: unknown): Promise<{ kind: ProblemKind; message: string }> {
  if (thrown instanceof WrongUsage) return { kind: 'wrong-request', message: thrown.message };
  const { problemOf } = await import('../client/problem-of.ts');
  return problemOf(thrown);
}
