/**
 * A folder whose new dumps come in by themselves: taken in when their recipe is known, waiting as questions when not.
 *
 * Polled and not watched: notifications are deaf on network drives, where wrenches' dumps usually land.
 */
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import type { EngineClient } from './client/engine-client.ts';
import { problemOf } from './client/problem-of.ts';

const pollEveryMs = 5000;

/** Problems that pass by themselves: the file is tried again at the next poll. */
const passing: ReadonlySet<string> = new Set(['busy', 'disk-full', 'cancelled']);

/**
 * Starts watching; returns the way to stop. A file is taken when its size and time stood still for two polls, and again
 * when it has changed since.
 */
export function watchFolder(folder: string, client: EngineClient, everyMs = pollEveryMs): () => void {
  /** What was seen of each file at the last poll, and as what it was handed in. */
  const seen = new Map<string, string>();
  const taken = new Map<string, string>();
  let stopped = false;
  let timer: NodeJS.Timeout | null = null;

  const poll = async (): Promise<void> => {
    const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
    for (const entry of entries) {
      if (stopped) return;
      if (!entry.isFile() || hidden(entry.name)) continue;
      const file = path.join(folder, entry.name);
      const facts = await stat(file).catch(() => null);
      if (!facts) continue;
      const state = `${facts.size} ${facts.mtimeMs}`;
      const stoodStill = seen.get(file) === state;
      seen.set(file, state);
      // An empty file is one that somebody is about to write.
      if (!stoodStill || facts.size === 0 || taken.get(file) === state) continue;
      if (await takeIn(client, file, entry.name)) taken.set(file, state);
    }
  };

  const loop = async (): Promise<void> => {
    await poll();
    if (!stopped) timer = setTimeout(() => void loop(), everyMs);
  };
  void loop();
  return () => {
    stopped = true;
    if (timer) clearTimeout(timer);
  };
}

/** Files that systems and programs leave in folders while they work. */
const hidden = (name: string): boolean =>
  name.startsWith('.') ||
  name.startsWith('~') ||
  /^(?:thumbs\.db|desktop\.ini)$|\.(?:tmp|part|crdownload)$/i.test(name);

/**
 * Reads the file; takes it in at once when its layout has a recipe and nothing is open, else leaves it in the queue.
 *
 * @returns false when it should be tried again
 */
async function takeIn(client: EngineClient, file: string, name: string): Promise<boolean> {
  let ticket: string | null = null;
  try {
    ticket = await client.offer({ path: file, name, ours: false });
    const preview = await client.call('inbox:read', { ticket });
    // The very bytes are held already (a folder met again after a restart), or were and have been withdrawn: neither
    // asks for anything, and taking a withdrawn file in again is a person's decision.
    const isHeld = preview.problem === null && preview.layout === null && preview.accepted === 0;
    if (isHeld) await client.call('inbox:drop', { tickets: [ticket] });
    else if (preview.questions.length === 0 && preview.recipe?.used)
      await client.call('inbox:accept', { tickets: [ticket] });
    return true;
  } catch (thrown) {
    // The queue shows what is wrong with the file; a bad file must not end the watching.
    const again = passing.has(problemOf(thrown).kind);
    if (again && ticket !== null) await client.call('inbox:drop', { tickets: [ticket] }).catch(() => null);
    return !again;
  }
}
