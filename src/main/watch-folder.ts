/**
 * A folder whose new dumps come in by themselves: taken in when their recipe is known, waiting as questions when not.
 *
 * Polled and not watched: notifications are deaf on network drives, where wrenches' dumps usually land.
 */
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import type { EngineClient } from './client/engine-client.ts';

const pollEveryMs = 5000;

/** Starts watching; returns the way to stop. A file is taken when its size and time stood still for two polls. */
export function watchFolder(folder: string, client: EngineClient, everyMs = pollEveryMs): () => void {
  const seen = new Map<string, string>();
  const offered = new Set<string>();
  let stopped = false;
  let timer: NodeJS.Timeout | null = null;

  const poll = async (): Promise<void> => {
    const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
    for (const entry of entries) {
      if (!entry.isFile() || entry.name.startsWith('.')) continue;
      const file = path.join(folder, entry.name);
      const facts = await stat(file).catch(() => null);
      if (!facts) continue;
      const state = `${facts.size} ${facts.mtimeMs}`;
      const key = `${file} ${state}`;
      if (seen.get(file) === state && !offered.has(key)) {
        offered.add(key);
        await takeIn(client, file, entry.name);
      }
      seen.set(file, state);
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

/** Reads the file; takes it in at once when nothing is open, else leaves it in the queue with its questions. */
async function takeIn(client: EngineClient, file: string, name: string): Promise<void> {
  try {
    const ticket = await client.offer({ path: file, name, ours: false });
    const preview = await client.call('inbox:read', { ticket });
    if (preview.questions.length === 0 && preview.recipe?.used)
      await client.call('inbox:accept', { tickets: [ticket] });
  } catch {
    // The queue shows what is wrong with the file; a bad file must not end the watching.
  }
}
