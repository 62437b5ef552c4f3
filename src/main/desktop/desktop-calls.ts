/** The window's calls: each checked for its sender, answered with an envelope, never with a thrown error. */
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { type BrowserWindow, dialog, type IpcMainEvent, type IpcMainInvokeEvent, ipcMain } from 'electron';
import { z } from 'zod';
import type { MadeFile } from '#core/contract/calls.ts';
import { isCallName } from '#core/contract/parse-request.ts';
import { type Envelope, ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import type { EngineClient } from '../client/engine-client.ts';
import { problemOf } from '../client/problem-of.ts';
import { appOrigin } from './app-protocol.ts';
import { printToPdf } from './print-to-pdf.ts';

/** Names of the channels; the preload script uses the same. */
export const channels = {
  call: 'tightbook:call',
  cancel: 'tightbook:cancel',
  offer: 'tightbook:offer',
  save: 'tightbook:save',
  message: 'tightbook:message',
} as const;

const callMessage = z.object({
  v: z.literal(1),
  id: z.number(),
  call: z.string(),
  lane: z.string().max(200).optional(),
  body: z.unknown(),
});
const offeredFile = z.strictObject({ path: z.string().min(1).max(32_768), name: z.string().min(1).max(1000) });
const madeFile = z.strictObject({
  name: z.string().min(1).max(255),
  mime: z.string().max(200),
  bytes: z.instanceof(Uint8Array),
});

/** Registers the handlers for one window and one engine. */
export function serveWindow(window: BrowserWindow, client: EngineClient): void {
  const running = new Map<number, AbortController>();
  const handle = (channel: string, serve: (raw: unknown) => Promise<unknown>): void => {
    ipcMain.handle(channel, async (event, raw: unknown): Promise<Envelope<unknown>> => {
      // Thrown, not answered: a refusal must not look like an empty reply.
      assertOwnMainFrame(event, window);
      try {
        return { ok: true, value: await serve(raw) };
      } catch (thrown) {
        return { ok: false, problem: problemOf(thrown) };
      }
    });
  };

  handle(channels.call, async (raw) => {
    const { id, call, lane, body } = callMessage.parse(raw);
    if (!isCallName(call))
      throw new ProblemError('wrong-request', said('problem.wrong-request', { detail: `no such call: ${call}` }));
    const cancel = new AbortController();
    running.set(id, cancel);
    try {
      return await withPdf(client, call, body, {
        signal: cancel.signal,
        ...(lane === undefined ? {} : { lane }),
        onProgress: (progress) => window.webContents.send(channels.message, { id, progress }),
      });
    } finally {
      running.delete(id);
    }
  });

  ipcMain.on(channels.cancel, (event: IpcMainEvent, id: unknown) => {
    assertOwnMainFrame(event, window);
    if (typeof id === 'number') running.get(id)?.abort();
  });

  handle(channels.offer, async (raw) => {
    const file = offeredFile.parse(raw);
    if (!path.isAbsolute(file.path))
      throw new ProblemError('wrong-request', said('problem.wrong-request', { detail: 'the file has no place' }));
    return { ticket: await client.offer({ ...file, ours: false }) };
  });

  handle(channels.save, async (raw) => {
    const file = madeFile.parse(raw);
    const chosen = await dialog.showSaveDialog(window, { defaultPath: path.basename(file.name) });
    if (chosen.canceled || !chosen.filePath) return false;
    await writeFile(chosen.filePath, file.bytes);
    return true;
  });

  client.onEvent((event) => {
    if (!window.isDestroyed()) window.webContents.send(channels.message, { event });
  });
}

/** Pages are turned into PDF by Electron itself; without it the engine looks for an installed browser. */
async function withPdf(
  client: EngineClient,
  call: Parameters<EngineClient['callRaw']>[0],
  body: unknown,
  options: Parameters<EngineClient['callRaw']>[2],
): Promise<unknown> {
  const wantsPdf =
    call.startsWith('report:') &&
    typeof body === 'object' &&
    body !== null &&
    'format' in body &&
    body.format === 'pdf';
  if (!wantsPdf) return client.callRaw(call, body, options);
  // Every report call answers with a made file.
  const page = (await client.callRaw(call, { ...body, format: 'html' }, options)) as MadeFile;
  return {
    name: page.name.replace(/\.html$/, '.pdf'),
    mime: 'application/pdf',
    bytes: await printToPdf(new TextDecoder().decode(page.bytes)),
  } satisfies MadeFile;
}

/** @throws Error unless the call comes from the main frame of our window, showing our own page */
export function assertOwnMainFrame(event: IpcMainInvokeEvent | IpcMainEvent, window: BrowserWindow): void {
  const frame = event.senderFrame;
  if (!frame || frame !== window.webContents.mainFrame || !frame.url.startsWith(`${appOrigin}/`)) {
    throw new Error('a call from a stranger was refused');
  }
}
