import { startTransition, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { CallName, Replies, RequestInput } from '#core/contract/calls.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import type { Problem } from '#core/contract/problems.ts';
import { problemOf } from './problem-of.ts';
import { useBridge } from './use-bridge.ts';

export interface Called<T> {
  /** The newest answer; kept while a newer one is on its way, then `stale` is true. */
  readonly value: T | null;
  readonly problem: Problem | null;
  readonly loading: boolean;
  /** The value answers an earlier question than the one now asked. */
  readonly stale: boolean;
  readonly progress: Progress | null;
  /** Asks again. */
  again(): void;
  /** Gives up the running question; the last answer stays. */
  cancel(): void;
}

export interface UseCallOptions {
  /** Which changes of the store make the answer old. Default: readings, register and marks. */
  readonly touches?: readonly StoreEvent['touches'][number][];
}

/** Pause before a question that was overtaken is asked again. */
const askAgainMs = 60;

const usualTouches: readonly StoreEvent['touches'][number][] = ['readings', 'register', 'marks'];

interface CallState<T> {
  readonly value: T | null;
  readonly problem: Problem | null;
  readonly loading: boolean;
  /** Question that `value` answers. */
  readonly answers: string | null;
  readonly progress: Progress | null;
}

/**
 * Asks the engine, and asks again when the question or the store changes.
 *
 * @param body null: nothing is asked (yet)
 * @param lane name of the place on screen that shows the answer: a newer question there replaces the older
 */
export function useCall<C extends CallName>(
  name: C,
  body: RequestInput<C> | null,
  lane: string,
  options: UseCallOptions = {},
): Called<Replies[C]> {
  const bridge = useBridge();
  const [state, setState] = useState<CallState<Replies[C]>>({
    value: null,
    problem: null,
    loading: body !== null,
    answers: null,
    progress: null,
  });
  const [round, setRound] = useState(0);
  const running = useRef<AbortController | null>(null);
  // Bodies are small plain data; their text tells whether the question is the same.
  const question = body === null ? null : `${name} ${JSON.stringify(body)}`;
  const bodyNow = useRef(body);
  bodyNow.current = body;
  const touches = options.touches ?? usualTouches;
  const touchesNow = useRef(touches);
  touchesNow.current = touches;

  // biome-ignore lint/correctness/useExhaustiveDependencies: the question stands for the body; a new round asks again
  useEffect(() => {
    const asked = bodyNow.current;
    if (question === null || asked === null) {
      setState((old) => (old.loading ? { ...old, loading: false } : old));
      return;
    }
    const controller = new AbortController();
    running.current = controller;
    let live = true;
    setState((old) => ({ ...old, loading: true, progress: null }));
    bridge
      .call(name, asked, {
        lane,
        signal: controller.signal,
        onProgress: (progress) => {
          if (live) setState((old) => ({ ...old, progress }));
        },
      })
      .then(
        (value) => {
          // A large answer is drawn in pieces, so that keys and pointer are heard meanwhile.
          startTransition(() => {
            if (live) setState({ value, problem: null, loading: false, answers: question, progress: null });
          });
        },
        (thrown: unknown) => {
          if (!live) return;
          const problem = problemOf(thrown);
          if (problem.kind === 'superseded') {
            // Requests may overtake each other on their way: an older one of this place took ours out of its lane.
            // Nobody has asked anything newer here, so it is asked again; else the place would show old figures.
            setTimeout(() => {
              if (live) setRound((old) => old + 1);
            }, askAgainMs);
            return;
          }
          const quiet = problem.kind === 'cancelled';
          setState((old) => ({ ...old, problem: quiet ? null : problem, loading: false, progress: null }));
        },
      );
    return () => {
      live = false;
      controller.abort();
    };
  }, [bridge, name, question, lane, round]);

  useEffect(
    () =>
      bridge.onEvent((event) => {
        if (event.touches.some((touch) => touchesNow.current.includes(touch))) setRound((old) => old + 1);
      }),
    [bridge],
  );

  const again = useCallback(() => setRound((old) => old + 1), []);
  const cancel = useCallback(() => running.current?.abort(), []);
  return useMemo(
    () => ({
      value: state.value,
      problem: state.problem,
      loading: state.loading,
      stale: state.value !== null && state.answers !== question,
      progress: state.progress,
      again,
      cancel,
    }),
    [state, question, again, cancel],
  );
}

/** One command of the user: runs when asked to, tells how it stands. */
export function useCommand<C extends CallName>(
  name: C,
): {
  run(body: RequestInput<C>): Promise<Replies[C] | null>;
  readonly running: boolean;
  readonly problem: Problem | null;
  clear(): void;
} {
  const bridge = useBridge();
  const [running, setRunning] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const run = useCallback(
    async (body: RequestInput<C>) => {
      setRunning(true);
      setProblem(null);
      try {
        return await bridge.call(name, body);
      } catch (thrown) {
        setProblem(problemOf(thrown));
        return null;
      } finally {
        setRunning(false);
      }
    },
    [bridge, name],
  );
  const clear = useCallback(() => setProblem(null), []);
  return { run, running, problem, clear };
}
