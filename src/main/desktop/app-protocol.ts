/** Serves the built renderer to the window under our own scheme; `file://` is never used. */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { protocol } from 'electron';
import { containedFile, contentSecurityPolicy, contentType } from '../browser/static-files.ts';
import { installationUrl } from '../worker-url.ts';

const scheme = 'tightbook';
export const appOrigin = `${scheme}://app`;

/** Must run before the application is ready. */
export function declareScheme(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme, privileges: { standard: true, secure: true, supportFetchAPI: true, codeCache: true } },
  ]);
}

/** Answers requests of our scheme from the renderer's folder, with the policy in every answer. */
export function serveScheme(folder = path.join(fileURLToPath(installationUrl), 'out', 'renderer')): void {
  protocol.handle(scheme, async (request) => {
    const url = new URL(request.url);
    const headers = {
      'content-security-policy': contentSecurityPolicy,
      'x-content-type-options': 'nosniff',
      'content-type': 'text/plain; charset=utf-8',
    };
    if (url.host !== 'app') return new Response('There is nothing at this address.', { status: 404, headers });
    const file = containedFile(folder, url.pathname === '/' ? '/index.html' : url.pathname);
    if (!file) return new Response('There is nothing at this address.', { status: 404, headers });
    return new Response(await readFile(file), { headers: { ...headers, 'content-type': contentType(file) } });
  });
}
