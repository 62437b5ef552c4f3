/** Serves the built renderer, and nothing beside it. */
import { createReadStream, statSync } from 'node:fs';
import type { ServerResponse } from 'node:http';
import path from 'node:path';

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.json': 'application/json; charset=utf-8',
};

/** Content-Security-Policy of every page of ours: own files only, no inline script, no frames. */
export const contentSecurityPolicy =
  "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

/**
 * The file inside a folder that a URL path names, or null when it would lie outside or is not there.
 *
 * @param urlPath decoded or not; `..` and absolute paths cannot leave the folder
 */
export function containedFile(folder: string, urlPath: string): string | null {
  let decoded: string;
  try {
    decoded = decodeURIComponent(urlPath);
  } catch {
    return null;
  }
  if (decoded.includes('\0')) return null;
  const file = path.resolve(folder, `.${path.posix.normalize(`/${decoded.replace(/\\/g, '/')}`)}`);
  if (file !== folder && !file.startsWith(folder + path.sep)) return null;
  const stats = statSync(file, { throwIfNoEntry: false });
  return stats?.isFile() ? file : null;
}

/** Type of a file by its ending. */
export function contentType(file: string): string {
  return types[path.extname(file)] ?? 'application/octet-stream';
}

/** Sends a file of the folder; `/` is index.html. */
export function sendStatic(folder: string, urlPath: string, response: ServerResponse): void {
  const file = containedFile(folder, urlPath === '/' ? '/index.html' : urlPath);
  if (!file) {
    response.writeHead(404, { 'content-type': 'text/plain; charset=utf-8' }).end('There is nothing at this address.');
    return;
  }
  response.writeHead(200, {
    'content-type': contentType(file),
    'cache-control': file.endsWith('.html') ? 'no-store' : 'private, max-age=31536000, immutable',
  });
  createReadStream(file).pipe(response);
}
