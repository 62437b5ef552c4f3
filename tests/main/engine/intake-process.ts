/**
 * A process of its own that takes one file in, for tests that kill it: says on standard output where it is.
 *
 * `node intake-process.ts STORE FILE`
 */
import { basename } from 'node:path';
import { openEngine } from '../../../src/main/engine/engine.ts';

const [storePath, file] = process.argv.slice(2);
if (!storePath || !file) throw new Error('usage: intake-process.ts STORE FILE');
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const engine = await openEngine({
  storePath,
  clock: Date.now,
  programVersion: '0.0.0-test',
  sampleFolder: '',
  who: 'killed',
});
say('open');
const ticket = await engine.offer(file, basename(file), { ours: false });
const onProgress = (progress: { phase: string; done: number }): void => say(`${progress.phase} ${progress.done}`);
const preview = await engine.serve('inbox:read', { ticket, answers: {}, set: {}, useRecipe: true }, { onProgress });
say(`read ${preview.questions.length}`);
const [outcome] = await engine.serve(
  'inbox:accept',
  { tickets: [ticket], saveRecipe: false, dryRun: false },
  { onProgress },
);
say(`accepted ${outcome?.accepted}`);
await engine.close();
say('closed');
