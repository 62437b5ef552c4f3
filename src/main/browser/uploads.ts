/** Files on their way from the page to the inbox: streamed to disk with back-pressure, never held in memory. */
import { randomUUID } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, rm, statfs } from 'node:fs/promises';
import type { IncomingMessage } from 'node:http';
import path from 'node:path';
import { Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';

export const maxUploadBytes = 4 * 1024 ** 3;

export interface Uploads {
  /** Announces a file; returns the name under which its bytes are to be sent. */
  announce(name: string, size: number): Promise<string>;
  /** Takes the bytes; returns where they lie and what the file is called. */
  receive(upload: string, request: IncomingMessage): Promise<{ path: string; name: string }>;
}

/** Uploads into a folder. */
export function createUploads(folder: string): Uploads {
  const announced = new Map<string, { name: string; size: number }>();
  return {
    async announce(name, size) {
      if (size > maxUploadBytes) throw new ProblemError('refused-input', said('shell.too-large', { name }));
      await mkdir(folder, { recursive: true });
      const disk = await statfs(folder);
      // Twice the size: the upload itself, and its staging until it is taken in.
      if (disk.bavail * disk.bsize < size * 2) throw new ProblemError('disk-full', said('problem.disk-full', {}));
      const upload = randomUUID();
      announced.set(upload, { name, size });
      return upload;
    },
    async receive(upload, request) {
      const file = announced.get(upload);
      if (!file) throw new ProblemError('not-found', said('problem.not-found', { what: 'upload', name: upload }));
      announced.delete(upload);
      const target = path.join(folder, `${upload}.upload`);
      let received = 0;
      const guard = new Transform({
        transform(chunk: Buffer, _encoding, done) {
          received += chunk.length;
          if (received > maxUploadBytes)
            done(new ProblemError('refused-input', said('shell.too-large', { name: file.name })));
          else done(null, chunk);
        },
      });
      try {
        await pipeline(request, guard, createWriteStream(target, { flags: 'wx', mode: 0o600 }));
        if (received !== file.size) throw new ProblemError('cancelled', said('problem.cancelled', {}));
      } catch (thrown) {
        // A cancelled upload leaves nothing behind.
        await rm(target, { force: true });
        throw thrown;
      }
      return { path: target, name: file.name };
    },
  };
}
