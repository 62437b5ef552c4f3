/** Lanes, progress and cancel of the protocol between shells and engine. */
import { describe, expect, it } from 'vitest';
import type { FromEngine } from '../../../src/core/contract/wire.ts';
import { createDispatcher, type Servant } from '../../../src/main/engine/dispatch.ts';

function harness(
  serve: (
    call: string,
    body: unknown,
    context: { onProgress: (p: never) => void; signal: AbortSignal },
  ) => Promise<unknown>,
) {
  const sent: FromEngine[] = [];
  let now = 0;
  const engine = {
    serve: serve as never,
    onEvent: () => () => undefined,
    offer: async () => 'ticket',
    close: async () => undefined,
  } satisfies Servant;
  const dispatcher = createDispatcher(
    engine,
    (message) => sent.push(message),
    () => now,
  );
  return {
    dispatcher,
    sent,
    tick: (ms: number) => {
      now += ms;
    },
  };
}

const gate = () => {
  let open = (): void => undefined;
  const passed = new Promise<void>((done) => {
    open = done;
  });
  return { open, passed };
};

describe('createDispatcher', () => {
  it('answers exactly once with the value', async () => {
    const { dispatcher, sent } = harness(async (_call, body) => body);
    dispatcher.receive({ v: 1, id: 7, call: 'app:status', body: { a: 1 } });
    await dispatcher.idle();
    expect(sent).toEqual([{ id: 7, ok: true, value: { a: 1 } }]);
  });

  it('answers a thrown error of the file system with its own kind', async () => {
    const { dispatcher, sent } = harness(async () => {
      throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
    });
    dispatcher.receive({ v: 1, id: 1, call: 'app:status', body: {} });
    await dispatcher.idle();
    expect(sent[0]).toMatchObject({ id: 1, ok: false, problem: { kind: 'disk-full' } });
  });

  it('stops a study that runs when a newer one is asked in its lane, and answers it superseded', async () => {
    const aborted: unknown[] = [];
    const { dispatcher, sent } = harness(async (_call, body, { signal }) => {
      if ((body as { n: number }).n === 2) return 'second';
      await new Promise<void>((done) => signal.addEventListener('abort', () => done(), { once: true }));
      aborted.push(signal.reason);
      throw signal.reason;
    });
    dispatcher.receive({ v: 1, id: 1, call: 'study:read', lane: 'study', body: { n: 1 } });
    dispatcher.receive({ v: 1, id: 2, call: 'study:read', lane: 'study', body: { n: 2 } });
    await dispatcher.idle();
    expect(aborted).toHaveLength(1);
    expect(sent[0]).toMatchObject({ id: 1, ok: false, problem: { kind: 'superseded' } });
    expect(sent[1]).toEqual({ id: 2, ok: true, value: 'second' });
  });

  it('replaces the waiting question of a lane and answers it superseded', async () => {
    const first = gate();
    const served: unknown[] = [];
    const { dispatcher, sent } = harness(async (_call, body) => {
      served.push(body);
      if (served.length === 1) await first.passed;
      return body;
    });
    for (const id of [1, 2, 3]) dispatcher.receive({ v: 1, id, call: 'review:read', lane: 'review', body: id });
    dispatcher.receive({ v: 1, id: 4, call: 'drift:read', lane: 'drift', body: 4 });
    first.open();
    await dispatcher.idle();
    expect(served).toEqual([1, 4, 3]);
    expect(sent.find((m) => 'id' in m && m.id === 2)).toMatchObject({ ok: false, problem: { kind: 'superseded' } });
    expect(
      sent
        .filter((m) => 'ok' in m && m.ok)
        .map((m) => ('id' in m ? m.id : 0))
        .sort(),
    ).toEqual([1, 3, 4]);
  });

  it('cancels a running call, and a waiting one before it starts', async () => {
    const { dispatcher, sent } = harness(
      (_call, _body, { signal }) =>
        new Promise((_done, failed) =>
          signal.addEventListener('abort', () => failed(Object.assign(new Error('x'), { name: 'AbortError' }))),
        ),
    );
    dispatcher.receive({ v: 1, id: 1, call: 'review:read', lane: 'a', body: {} });
    dispatcher.receive({ v: 1, id: 2, call: 'review:read', lane: 'a', body: {} });
    dispatcher.receive({ cancel: 2 });
    dispatcher.receive({ cancel: 1 });
    await dispatcher.idle();
    expect(sent.map((m) => ('problem' in m ? ['id' in m ? m.id : 0, m.problem?.kind] : m))).toEqual([
      [1, 'cancelled'],
      [2, 'cancelled'],
    ]);
  });

  it('sends at most ten progress messages a second, and always the last', async () => {
    const h = harness(async (_call, _body, { onProgress }) => {
      for (let done = 0; done <= 100; done += 1) {
        onProgress({ phase: 'reading', done, total: 100, unit: 'lines' } as never);
        h.tick(10);
      }
      return null;
    });
    h.dispatcher.receive({ v: 1, id: 1, call: 'demo:load', body: {} });
    await h.dispatcher.idle();
    const progress = h.sent.flatMap((m) => ('progress' in m ? [m.progress.done] : []));
    expect(progress).toEqual([0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100]);
  });
});
