/**
 * Reads the files of the inbox one after the other, also while another screen is open.
 *
 * The engine keeps the queue; this keeps what only the window knows: what is being handed over, how far the running
 * read is, and what there is to tell. One for each bridge.
 */
import { useSyncExternalStore } from 'react';
import type { Progress } from '#core/contract/events.ts';
import type { Problem } from '#core/contract/problems.ts';
import type { Bridge } from '../../bridge/bridge.ts';
import { problemOf } from '../../bridge/problem-of.ts';
import { plain, t } from '../../parts/text.ts';

export interface RunnerState {
  /** File on its way from the page to the engine. */
  readonly sending: {
    readonly name: string;
    readonly percent: number;
    /** Which of how many files of the drag, from 1. */
    readonly nth: number;
    readonly of: number;
  } | null;
  /** Ticket being read by this window, with how far it is. */
  readonly reading: { readonly ticket: string; readonly progress: Progress | null } | null;
  /** Rises with everything that may have changed the inbox. */
  readonly round: number;
  /** The newest thing to say, in words. */
  readonly told: string;
  readonly problem: Problem | null;
}

export interface IntakeRunner {
  state(): RunnerState;
  listen(listener: () => void): () => void;
  /** Hands files over and reads them. Returns the tickets. */
  offer(files: readonly File[]): Promise<readonly string[]>;
  /** Reads everything that waits. */
  pump(): void;
  /** Reads a ticket again with answers. */
  readAgain(ticket: string, answers: Readonly<Record<string, string>>, useRecipe?: boolean): Promise<void>;
  cancel(ticket: string, name: string): void;
  tell(words: string): void;
}

const bumpEveryMs = 400;

const runners = new WeakMap<Bridge, IntakeRunner>();

/** The runner of this window, followed. */
export function useIntakeRunner(bridge: Bridge): { readonly runner: IntakeRunner; readonly state: RunnerState } {
  let runner = runners.get(bridge);
  if (!runner) {
    runner = createIntakeRunner(bridge);
    runners.set(bridge, runner);
  }
  return { runner, state: useSyncExternalStore(runner.listen, runner.state) };
}

function createIntakeRunner(bridge: Bridge): IntakeRunner {
  let now: RunnerState = { sending: null, reading: null, round: 0, told: '', problem: null };
  const listeners = new Set<() => void>();
  let pumping = false;
  let running: AbortController | null = null;
  /** Tickets that this window gave up on: reading them again would undo the cancel. */
  const left = new Set<string>();

  let bumpedAt = 0;
  let later: ReturnType<typeof setTimeout> | null = null;
  /**
   * Asks the screen to look at the inbox again; of many files in a row not after each, or drawing would take longer than
   * reading.
   */
  const bump = (): void => {
    if (later !== null) return;
    const wait = bumpedAt + bumpEveryMs - performance.now();
    const ask = (): void => {
      later = null;
      bumpedAt = performance.now();
      set({ round: now.round + 1 });
    };
    if (wait <= 0) ask();
    else later = setTimeout(ask, wait);
  };

  const set = (change: Partial<RunnerState>): void => {
    now = { ...now, ...change };
    for (const listener of listeners) listener();
  };

  const read = async (
    ticket: string,
    answers: Readonly<Record<string, string>>,
    useRecipe: boolean,
  ): Promise<Problem | null> => {
    const cancel = new AbortController();
    running = cancel;
    set({ reading: { ticket, progress: null }, problem: null });
    bump();
    try {
      await bridge.call(
        'inbox:read',
        { ticket, answers: { ...answers }, useRecipe },
        { signal: cancel.signal, onProgress: (progress) => set({ reading: { ticket, progress } }) },
      );
      return null;
    } catch (thrown) {
      return problemOf(thrown);
    } finally {
      running = null;
      set({ reading: null });
      bump();
    }
  };

  const pump = async (): Promise<void> => {
    if (pumping) return;
    pumping = true;
    try {
      for (;;) {
        const inbox = await bridge.call('inbox:list', {});
        // The newest stands first; what was offered first is read first.
        const next = [...inbox.queue].reverse().find((item) => item.state === 'waiting' && !left.has(item.ticket));
        if (!next) return;
        const problem = await read(next.ticket, {}, true);
        // A file that cannot be read says so in its own row; only what stops the whole queue is told here.
        if (problem) {
          left.add(next.ticket);
          if (!['refused-input', 'needs-answer', 'cancelled', 'superseded'].includes(problem.kind)) set({ problem });
        }
      }
    } catch (thrown) {
      set({ problem: problemOf(thrown) });
    } finally {
      pumping = false;
    }
  };

  return {
    state: () => now,
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async offer(files) {
      set({ told: files.length === 0 ? t('intake-ui.drop.nothing', {}) : '', problem: null });
      const tickets: string[] = [];
      const refused: string[] = [];
      for (const [i, file] of files.entries()) {
        const place = { nth: i + 1, of: files.length };
        set({ sending: { name: file.name, percent: 0, ...place } });
        const [offered] = await bridge.offerFiles([file], {
          onProgress: (name, sent, total) =>
            set({ sending: { name, percent: total > 0 ? Math.floor((100 * sent) / total) : 100, ...place } }),
        });
        if (!offered) continue;
        if ('ticket' in offered) tickets.push(offered.ticket);
        else refused.push(t('intake-ui.drop.not-taken', { name: offered.name, why: plain(offered.problem.said) }));
        bump();
        void pump();
      }
      set({ sending: null, round: now.round + 1, ...(refused.length > 0 ? { told: refused.join(' ') } : {}) });
      return tickets;
    },
    pump: () => void pump(),
    async readAgain(ticket, answers, useRecipe = true) {
      left.delete(ticket);
      const problem = await read(ticket, answers, useRecipe);
      if (problem && problem.kind !== 'cancelled' && problem.kind !== 'superseded') set({ problem });
      void pump();
    },
    cancel(ticket, name) {
      left.add(ticket);
      if (now.reading?.ticket === ticket) running?.abort();
      bridge.call('inbox:drop', { tickets: [ticket] }).then(
        () => set({ told: t('intake-ui.cancelled', { name }), round: now.round + 1 }),
        (thrown: unknown) => set({ problem: problemOf(thrown), round: now.round + 1 }),
      );
    },
    tell: (words) => set({ told: words }),
  };
}
