/**
 * Who may talk to the browser shell: the one browser that opened the printed address on this machine.
 *
 * A page on another site can send requests to a loopback port too. What it cannot do: name our host (DNS rebinding
 * shows another one), send our origin, or hold our cookie (SameSite=Strict).
 */
import { randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

export type Refusal = { readonly status: 403 | 421; readonly why: string };

export interface Access {
  /** The token in the printed address; good for one opening. */
  readonly token: string;
  /** Checks host, origin and cookie. Null: may pass. */
  refuse(request: IncomingMessage, port: number): Refusal | null;
  /** Spends the token: the value of the Set-Cookie header, or null when the token is wrong or spent. */
  open(token: string | null): string | null;
}

const cookieName = 'tightbook';

/** Access for one run of the server. */
export function createAccess(): Access {
  const token = randomBytes(24).toString('base64url');
  const session = randomBytes(32).toString('base64url');
  let spent = false;
  return {
    token,
    refuse(request, port) {
      const hosts = [`127.0.0.1:${port}`, `localhost:${port}`];
      const host = request.headers.host ?? '';
      if (!hosts.includes(host)) return { status: 421, why: 'This address is not ours.' };
      const origin = request.headers.origin;
      const own = hosts.map((name) => `http://${name}`);
      if (origin !== undefined && !own.includes(origin))
        return { status: 403, why: 'The request comes from another site.' };
      // Browsers send an origin with every POST; a POST without one is no page of ours.
      if (request.method === 'POST' && origin === undefined)
        return { status: 403, why: 'The request names no origin.' };
      const site = request.headers['sec-fetch-site'];
      if (site !== undefined && site !== 'same-origin' && site !== 'none' && request.method === 'POST') {
        return { status: 403, why: 'The request comes from another site.' };
      }
      return equal(cookie(request), session)
        ? null
        : { status: 403, why: 'Open the address that the program printed; it works once, in one browser.' };
    },
    open(given) {
      if (spent || given === null || !equal(given, token)) return null;
      spent = true;
      return `${cookieName}=${session}; HttpOnly; SameSite=Strict; Path=/`;
    },
  };
}

function cookie(request: IncomingMessage): string {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=');
    if (name === cookieName) return value ?? '';
  }
  return '';
}

/** Comparison whose time does not tell how much was right. */
function equal(a: string, b: string): boolean {
  const left = Buffer.from(a);
  const right = Buffer.from(b);
  return left.length === right.length && timingSafeEqual(left, right);
}
