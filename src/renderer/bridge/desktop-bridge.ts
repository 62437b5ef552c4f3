/** The bridge in the desktop window: the same interface over what the preload script offers. */
import type { DesktopApi } from '#core/contract/desktop-api.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import { type Bridge, CallProblem, type OfferedFile } from './bridge.ts';
import { problemOf } from './problem-of.ts';

declare global {
  interface Window {
    readonly tightbook?: DesktopApi<File>;
  }
}

/** Wraps the preload's object; signals and progress are turned into messages here, since neither can cross. */
export function desktopBridge(api: DesktopApi<File>): Bridge {
  const listeners = new Set<(event: StoreEvent) => void>();
  const watching = new Map<number, (progress: Progress) => void>();
  let next = 0;
  api.onMessage((message) => {
    if ('event' in message) for (const listener of listeners) listener(message.event);
    else watching.get(message.id)?.(message.progress);
  });
  return {
    kind: 'desktop',
    async call(name, body, options = {}) {
      next += 1;
      const id = next;
      if (options.onProgress) watching.set(id, options.onProgress);
      const cancel = (): void => api.cancel(id);
      options.signal?.addEventListener('abort', cancel, { once: true });
      try {
        const lane = options.lane;
        const reply = await api.call(
          lane === undefined ? { v: 1, id, call: name, body } : { v: 1, id, call: name, lane, body },
        );
        if (!reply.ok) throw new CallProblem(reply.problem);
        return reply.value as never; // typed by the call's name
      } catch (thrown) {
        throw thrown instanceof CallProblem ? thrown : new CallProblem(problemOf(thrown));
      } finally {
        watching.delete(id);
        options.signal?.removeEventListener('abort', cancel);
      }
    },
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async offerFiles(files, options = {}) {
      const out: OfferedFile[] = [];
      for (const file of files) {
        if (options.signal?.aborted) break;
        try {
          const reply = await api.offerFile(file);
          out.push(
            reply.ok ? { name: file.name, ticket: reply.value.ticket } : { name: file.name, problem: reply.problem },
          );
        } catch (thrown) {
          out.push({ name: file.name, problem: problemOf(thrown) });
        }
        options.onProgress?.(file.name, file.size, file.size);
      }
      return out;
    },
    async saveFile(file) {
      const reply = await api.saveFile(file);
      if (!reply.ok) throw new CallProblem(reply.problem);
      return reply.value;
    },
  };
}
