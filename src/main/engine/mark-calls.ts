/** What people say of single readings. */
import { ProblemError } from '#core/contract/problems.ts';
import { saysWhatHappened } from '#core/study/leave-out-reason.ts';
import { said } from '#core/text/said.ts';
import type { StoreOp } from '../store/store.ts';
import type { CallHost, OwnCalls } from './call-host.ts';
import { positionsOf } from './mark-commands.ts';

/** Leaving readings out of studies and putting them back, notes, and whose readings they are. */
export function markCalls(host: CallHost): OwnCalls<'mark:leave-out' | 'mark:put-back' | 'mark:note' | 'mark:assign'> {
  return {
    'mark:leave-out': async (request) => {
      const readings = await readingIds(host, request.readings);
      const value = request.reason.trim();
      if (value === '') {
        throw new ProblemError('wrong-request', said('problem.wrong-request', { detail: 'a reason is required' }));
      }
      // Whatever screen or script asks: that a value is odd is no reason to leave it out.
      if (!saysWhatHappened(value)) throw new ProblemError('refused-input', said('ui.study.leave-out.refused', {}));
      return host.commit('leave-out', markSubject(request.readings), value, [
        { t: 'marks', kind: 'left-out', value, readings, replaces: true },
      ]);
    },
    'mark:put-back': async (request) =>
      host.commit('put-back', markSubject(request.readings), null, [
        { t: 'end-marks', kind: 'left-out', readings: await readingIds(host, request.readings) },
      ]),
    'mark:note': async (request) => {
      const names = [...new Set([request.reading, ...(request.also ?? [])])];
      return host.commit('note', markSubject(names), null, [
        {
          t: 'marks',
          kind: 'note',
          value: JSON.stringify({ disposition: request.disposition, text: request.text }),
          readings: await readingIds(host, names),
          replaces: false,
        },
      ]);
    },
    'mark:assign': async (request) => {
      const readings = await readingIds(host, request.readings);
      const state = host.registerNow();
      const ops: StoreOp[] = [];
      for (const kind of ['joint', 'operator', 'tool'] as const) {
        const wanted = request[kind];
        if (wanted === undefined) continue;
        if (wanted !== null && state.entryId(kind, wanted) === null) {
          ops.push({ t: 'entry', id: null, row: { kind, name: wanted, confirmed: false, body: {}, revisions: [] } });
        }
        ops.push({ t: 'marks', kind, value: JSON.stringify(wanted), readings, replaces: true });
      }
      if (ops.length === 0) {
        const detail = 'name a joint, an operator or a tool to assign';
        throw new ProblemError('wrong-request', said('problem.wrong-request', { detail }));
      }
      return host.commit('assign', markSubject(request.readings), null, ops);
    },
  };
}

async function readingIds(host: CallHost, names: readonly string[]): Promise<number[]> {
  const { readings } = await host.plant();
  return [...new Set(positionsOf(readings, names))].map((position) => readings.id[position]!);
}

function markSubject(names: readonly string[]): string {
  return names.length === 1 ? (names[0] ?? '') : `${names.length} readings`;
}
