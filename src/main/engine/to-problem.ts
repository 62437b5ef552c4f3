/** Whatever was thrown, as a problem that may cross a border. */
import { type Problem, ProblemError } from '#core/contract/problems.ts';
import { said, say } from '#core/text/said.ts';

/**
 * Turns a thrown value into a problem. Known errors of the file system and of SQLite get their own kind; anything
 * else is a fault of ours and keeps its message.
 */
export function toProblem(thrown: unknown): Problem {
  if (thrown instanceof ProblemError) return thrown.problem;
  if (thrown instanceof Error && thrown.name === 'AbortError') return make('cancelled');
  const code = errorCode(thrown);
  const detail = thrown instanceof Error ? thrown.message : String(thrown);
  const path = thrown instanceof Error && 'path' in thrown ? String(thrown.path) : '';
  if (code === 'ENOSPC' || /database or disk is full/.test(detail)) {
    const sentence = said('problem.disk-full', {});
    return { kind: 'disk-full', said: sentence, message: say(sentence) };
  }
  if (code === 'EACCES' || code === 'EPERM') {
    const sentence = said('problem.no-permission', { path });
    return { kind: 'no-permission', said: sentence, message: say(sentence) };
  }
  if (code === 'ENOENT') {
    const sentence = said('problem.not-found', { what: 'file', name: path });
    return { kind: 'not-found', said: sentence, message: say(sentence) };
  }
  if (code === 'EROFS' || /attempt to write a readonly database/.test(detail)) {
    const sentence = said('problem.read-only', { path });
    return { kind: 'read-only', said: sentence, message: say(sentence) };
  }
  if (/database is locked/.test(detail)) {
    const sentence = said('problem.busy', { holder: 'another program' });
    return { kind: 'busy', said: sentence, message: say(sentence) };
  }
  if (/file is not a database|database disk image is malformed/.test(detail)) {
    // The store's own errors say which; whoever gets here without one knows what was opened.
    const sentence = said('problem.store-damaged', { store: path || 'that was opened', backup: null });
    return { kind: 'store-damaged', said: sentence, message: say(sentence) };
  }
  const sentence = said('problem.fault', { detail });
  return { kind: 'fault', said: sentence, message: say(sentence) };
}

function make(kind: 'cancelled'): Problem {
  const sentence = said('problem.cancelled', {});
  return { kind, said: sentence, message: say(sentence) };
}

function errorCode(thrown: unknown): string | null {
  return thrown instanceof Error && 'code' in thrown && typeof thrown.code === 'string' ? thrown.code : null;
}
