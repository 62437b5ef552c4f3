/** The bridge over HTTP to the browser shell on this computer. */
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import { decodeFrame, framedType } from '#core/contract/framing.ts';
import type { Envelope } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { type Bridge, CallProblem, type OfferedFile, type OfferOptions } from './bridge.ts';
import { downloadFile } from './download-file.ts';
import { makeProblem, problemOf } from './problem-of.ts';

/** ASCII is a part of Latin-1, which is read without a look at each byte. */
const decoder = new TextDecoder('latin1');

type Message = { readonly event: StoreEvent } | { readonly id: number; readonly progress: Progress };

/** Opens the bridge; the event stream reconnects by itself when the shell was restarted. */
export function browserBridge(): Bridge {
  const listeners = new Set<(event: StoreEvent) => void>();
  const watching = new Map<number, (progress: Progress) => void>();
  // Ids are the page's own: several pages share one shell, so each begins at a place of its own.
  let next = Math.floor(Math.random() * 2 ** 31) * 1024;

  const stream = new EventSource('/events');
  stream.onmessage = (incoming: MessageEvent<string>) => {
    const message = JSON.parse(incoming.data) as Message; // our own shell writes it
    if ('event' in message) for (const listener of listeners) listener(message.event);
    else watching.get(message.id)?.(message.progress);
  };

  const post = async (body: unknown): Promise<Envelope<unknown>> => {
    const response = await fetch('/call', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
    const type = response.headers.get('content-type') ?? '';
    // The shell is the other half of the same contract; its replies are trusted.
    if (type.startsWith(framedType))
      return decodeFrame(await response.arrayBuffer(), (ascii) => decoder.decode(ascii)) as Envelope<unknown>;
    if (type.startsWith('application/json')) return (await response.json()) as Envelope<unknown>;
    throw new CallProblem(makeProblem('fault', said('ui.problem.refused', { status: response.status })));
  };

  return {
    kind: 'browser',
    async call(name, body, options = {}) {
      next += 1;
      const id = next;
      if (options.onProgress) watching.set(id, options.onProgress);
      const cancel = (): void => void post({ v: 1, cancel: id }).catch(() => null);
      options.signal?.addEventListener('abort', cancel, { once: true });
      try {
        if (options.signal?.aborted) throw new CallProblem(makeProblem('cancelled', said('problem.cancelled', {})));
        const lane = options.lane;
        const reply = await post(
          lane === undefined ? { v: 1, id, call: name, body } : { v: 1, id, call: name, lane, body },
        );
        if (!reply.ok) throw new CallProblem(reply.problem);
        return reply.value as never; // typed by the call's name
      } catch (thrown) {
        if (thrown instanceof TypeError) throw new CallProblem(makeProblem('fault', said('ui.problem.no-engine', {})));
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
      for (const file of files) out.push(await offer(file, options));
      return out;
    },
    async saveFile(file) {
      downloadFile(file);
      return true;
    },
  };
}

async function offer(file: File, options: OfferOptions): Promise<OfferedFile> {
  try {
    const response = await fetch('/inbox', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ name: file.name, size: file.size }),
      ...(options.signal ? { signal: options.signal } : {}),
    });
    const reply = (await response.json()) as Envelope<{ ticket: string }>; // written by our own shell
    if (!reply.ok) return { name: file.name, problem: reply.problem };
    const sent = await send(file, `/inbox/${encodeURIComponent(reply.value.ticket)}`, options);
    return sent.ok ? { name: file.name, ticket: sent.value.ticket } : { name: file.name, problem: sent.problem };
  } catch (thrown) {
    const lost = thrown instanceof TypeError;
    return {
      name: file.name,
      problem: lost ? makeProblem('fault', said('ui.problem.no-engine', {})) : problemOf(thrown),
    };
  }
}

/** XMLHttpRequest and not fetch: it alone tells how much has been sent. */
function send(file: File, path: string, options: OfferOptions): Promise<Envelope<{ ticket: string }>> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    const abort = (): void => request.abort();
    options.signal?.addEventListener('abort', abort, { once: true });
    request.upload.onprogress = (e) => options.onProgress?.(file.name, e.loaded, file.size);
    request.onloadend = () => options.signal?.removeEventListener('abort', abort);
    request.onerror = () => reject(new TypeError('the connection was lost'));
    request.onabort = () => reject(new DOMException('aborted', 'AbortError'));
    request.onload = () => {
      try {
        resolve(JSON.parse(request.responseText) as Envelope<{ ticket: string }>);
      } catch {
        reject(new Error(`answer ${request.status} could not be read`));
      }
    };
    request.open('POST', path);
    request.setRequestHeader('content-type', 'application/octet-stream');
    request.send(file);
  });
}
