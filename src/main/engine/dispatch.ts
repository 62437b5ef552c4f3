/**
 * Requests in, replies out: lanes, progress, cancel.
 *
 * One question per lane at a time. A newer request in a lane replaces the one that waits there, which is answered
 * `superseded`: a person who drags a filter wants the last answer, not all of them. Questions that may take seconds
 * (`givesWay`) are replaced while they run, too.
 */
import type { CallName, Replies, Request } from '#core/contract/calls.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import { ProblemError } from '#core/contract/problems.ts';
import type { FromEngine, OfferedFile, ToEngine } from '#core/contract/wire.ts';
import { said } from '#core/text/said.ts';
import { toProblem } from './to-problem.ts';

/** What the dispatcher needs of an engine. */
export interface Servant {
  serve<C extends CallName>(
    call: C,
    request: Request<C>,
    context: { readonly onProgress: (progress: Progress) => void; readonly signal: AbortSignal },
  ): Promise<Replies[C]>;
  onEvent(listener: (event: StoreEvent) => void): () => void;
  offer(path: string, name: string, options: { readonly ours: boolean }): Promise<string>;
  close(): Promise<void>;
}

interface Waiting {
  readonly id: number;
  /** Whether a newer request in its lane stops it while it runs: nothing is written by it, and it can take long. */
  readonly givesWay: boolean;
  readonly run: () => Promise<void>;
}

const longQuestions: ReadonlySet<CallName> = new Set<CallName>(['study:read']);

const progressEveryMs = 100;

/**
 * Serves messages until closed.
 *
 * @param send carries a message back to the shell; values may hold typed arrays
 * @param nowMs a clock, for keeping progress at ten messages a second
 */
export function createDispatcher(
  engine: Servant,
  send: (message: FromEngine) => void,
  nowMs: () => number,
): { receive(message: ToEngine): void; idle(): Promise<void> } {
  const cancels = new Map<number, AbortController>();
  const busyLanes = new Map<string, { readonly running: Waiting; waiting: Waiting | null }>();
  const running = new Set<Promise<void>>();
  engine.onEvent((event) => send({ event }));

  const answer = async (id: number, work: (signal: AbortSignal) => Promise<unknown>): Promise<void> => {
    const cancel = cancels.get(id) ?? new AbortController();
    cancels.set(id, cancel);
    try {
      if (cancel.signal.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
      send({ id, ok: true, value: await work(cancel.signal) });
    } catch (thrown) {
      const problem = toProblem(thrown);
      // Only our own faults are logged with a stack; everything else is an answer.
      if (problem.kind === 'fault') console.error(thrown);
      send({ id, ok: false, problem });
    } finally {
      cancels.delete(id);
    }
  };

  const track = (work: Promise<void>): void => {
    running.add(work);
    void work.finally(() => running.delete(work));
  };

  const superseded = (): ProblemError => new ProblemError('superseded', said('problem.superseded', {}));

  const inLane = (lane: string, next: Waiting): void => {
    const busy = busyLanes.get(lane);
    if (!busy) {
      busyLanes.set(lane, { running: next, waiting: null });
      track(
        next.run().then(() => {
          const waiting = busyLanes.get(lane)?.waiting ?? null;
          busyLanes.delete(lane);
          if (waiting) inLane(lane, waiting);
        }),
      );
      return;
    }
    const replaced = busy.waiting;
    busy.waiting = next;
    if (replaced) {
      cancels.delete(replaced.id);
      send({ id: replaced.id, ok: false, problem: toProblem(superseded()) });
    }
    if (busy.running.givesWay) cancels.get(busy.running.id)?.abort(superseded());
  };

  const withProgress = (id: number): ((progress: Progress) => void) => {
    let last = Number.NEGATIVE_INFINITY;
    return (progress) => {
      const now = nowMs();
      const complete = progress.total !== null && progress.done >= progress.total;
      if (now - last < progressEveryMs && !complete) return;
      last = now;
      send({ id, progress });
    };
  };

  return {
    receive(message) {
      if ('cancel' in message) {
        cancels.get(message.cancel)?.abort();
        return;
      }
      const { id } = message;
      if (message.call === 'shell:close') {
        track(answer(id, async () => engine.close().then(() => null)));
        return;
      }
      if (message.call === 'shell:offer') {
        const file: OfferedFile = message.body;
        track(answer(id, () => engine.offer(file.path, file.name, { ours: file.ours })));
        return;
      }
      const { call, body, lane } = message;
      cancels.set(id, new AbortController());
      // The shell has parsed the body with the schema of this very call.
      const run = (): Promise<void> =>
        answer(id, (signal) =>
          engine.serve(call, body as Request<typeof call>, { onProgress: withProgress(id), signal }),
        );
      if (lane === undefined) track(run());
      else inLane(lane, { id, givesWay: longQuestions.has(call), run });
    },
    async idle() {
      while (running.size > 0) await Promise.all(running);
    },
  };
}
