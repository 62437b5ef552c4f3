/** The register: what is put into it, settled, removed and carried out of it. */
import { ProblemError } from '#core/contract/problems.ts';
import { mergeRegisterFile, registerToFile } from '#core/register/register-file.ts';
import type { StoreOp } from '../store/store.ts';
import type { CallHost, OwnCalls } from './call-host.ts';
import { registerOps } from './register-state.ts';
import { removalOf, removalOps } from './removal.ts';
import { formerNamesTaken, settling, takesFormerName } from './settle-name.ts';

/** Writing the register, and saying beforehand what that comes to. */
export function registerCalls(
  host: CallHost,
): OwnCalls<'register:put' | 'register:removal' | 'register:remove' | 'register:export' | 'register:settle'> {
  return {
    'register:put': async (request) => {
      const state = await host.registerState();
      const merged = mergeRegisterFile(state.register, request.file);
      const first = merged.problems[0];
      if (first) {
        throw new ProblemError('refused-input', first, merged.problems[1]);
      }
      const ops = registerOps(state, merged.register);
      if (ops.length === 0) return { change: (await host.store.summary()).lastChange };
      const names = takesFormerName(state, ops) ? formerNamesTaken(await host.removalAsked(), ops) : [];
      return host.commit('register', registerSubject(ops), request.why, [...ops, ...names]);
    },
    'register:removal': async (request) => removalOf(await host.removalAsked(), request.kind, request.name),
    'register:remove': async (request) => {
      const ops = removalOps(await host.removalAsked(), request.kind, request.name);
      return host.commit('remove', `${request.kind} ${request.name}`, request.why, ops);
    },
    'register:export': async () => registerToFile((await host.registerState()).register),
    'register:settle': async (request) => {
      const { ops, setAside, into, comesTo } = settling(await host.removalAsked(), request);
      if (request.dryRun) {
        return { change: (await host.store.summary()).lastChange, setAside, comesTo: comesTo() };
      }
      const done = await host.commit('settle', `${request.kind} ${request.name}`, into, ops);
      return { ...done, setAside };
    },
  };
}

function registerSubject(ops: readonly StoreOp[]): string {
  const names = ops.flatMap((op) => (op.t === 'entry' && op.row ? [`${op.row.kind} ${op.row.name}`] : []));
  const checks = ops.filter((op) => op.t === 'check').length;
  return [
    ...names.slice(0, 5),
    ...(names.length > 5 ? [`${names.length - 5} more`] : []),
    ...(checks > 0 ? [`${checks} checks`] : []),
  ].join(', ');
}
