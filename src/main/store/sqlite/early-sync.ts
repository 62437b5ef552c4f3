/**
 * Has what a long transaction wrote to SQLite's log put on the disk while it goes on, on the thread pool, so that its
 * commit has little left to wait for: the store's lock is held that much shorter.
 *
 * Only a courtesy: the commit itself still syncs, and whether this did anything makes no difference to what is kept.
 * (Closing a second handle on a file gives up a process's locks on it; SQLite holds none on its log.)
 */
import { type FileHandle, open } from 'node:fs/promises';

/** Rows between two syncs: about ten megabytes of log. */
const rowsBetween = 131_072;

export class EarlySync {
  readonly #path: string;
  #file: FileHandle | null = null;
  #rows = 0;
  #running: Promise<void> | null = null;

  constructor(storePath: string) {
    this.#path = `${storePath}-wal`;
  }

  /** Told how many rows have been written in all; starts a sync when enough are new and none is under way. */
  wrote(rows: number): void {
    if (this.#running || rows - this.#rows < rowsBetween) return;
    this.#rows = rows;
    this.#running = this.#sync().finally(() => {
      this.#running = null;
    });
  }

  async #sync(): Promise<void> {
    try {
      this.#file ??= await open(this.#path, 'r+');
      await this.#file.datasync();
    } catch {
      // No log (another journal mode), or a file system without this: the commit does it all.
    }
  }

  /** Waits for what is under way. */
  async close(): Promise<void> {
    await this.#running;
    await this.#file?.close().catch(() => undefined);
    this.#file = null;
  }
}
