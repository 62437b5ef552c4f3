/**
 * What the preload script of the desktop window puts on `window.tightbook`.
 *
 * Only values cross: no signals, no functions of the page but plain listeners, and nothing of Electron. `FileHandle`
 * is the page's `File`, named here as a parameter because core knows no DOM.
 */
import type { CallName, MadeFile } from './calls.ts';
import type { Progress, StoreEvent } from './events.ts';
import type { Envelope } from './problems.ts';

export interface DesktopApi<FileHandle> {
  call(message: {
    readonly v: 1;
    readonly id: number;
    readonly call: CallName;
    readonly lane?: string;
    readonly body: unknown;
  }): Promise<Envelope<unknown>>;
  cancel(id: number): void;
  /** Events and progress. Returns how to stop listening. */
  onMessage(
    listener: (message: { readonly event: StoreEvent } | { readonly id: number; readonly progress: Progress }) => void,
  ): () => void;
  /** Offers one file by the path that the window system gave it. */
  offerFile(file: FileHandle): Promise<Envelope<{ readonly ticket: string }>>;
  /** Opens a save dialog; false: cancelled. */
  saveFile(file: MadeFile): Promise<Envelope<boolean>>;
}
