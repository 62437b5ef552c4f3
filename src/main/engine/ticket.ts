/** A file in the queue: what is known of it, and how that is told. */
import type { IntakeNotice, QueueItem, QueueState, WouldAdd } from '#core/contract/models/intake-model.ts';
import type { Problem } from '#core/contract/problems.ts';
import type { DumpReading } from '#core/intake/dump-reading.ts';
import { dateOrderCodes } from '#core/intake/vocabulary.ts';
import { said } from '#core/text/said.ts';
import type { StagedReading, TicketState } from '../reader/staging.ts';
import type { OpenHypotheses } from '../store/sqlite/held-evidence.ts';
import type { HeldCount, StoredSource } from '../store/store.ts';
import { linesOf, openQuestions, type TicketFacts } from './intake-answers.ts';

export interface Ticket {
  state: TicketState;
  staged: StagedReading | null;
  held: HeldCount | null;
  same: StoredSource | null;
  problem: Problem | null;
  wouldAdd: WouldAdd | null;
  notices: readonly IntakeNotice[];
  /** What `wouldAdd`, `notices` and `held` were worked out from; null: nothing yet. */
  seenWith: { readonly register: string; readonly change: number } | null;
  looking: Promise<void> | null;
  firstLines: DumpReading | null;
  progress: { done: number; total: number; lines: number } | null;
  takingIn: boolean;
  /** Files held when it was read: more of them may settle what was open. */
  readAtSources: number;
  running: Promise<void> | null;
}

/** A ticket of which nothing is known yet but where its file lies. */
export function freshTicket(state: TicketState): Ticket {
  return {
    state,
    staged: null,
    held: null,
    same: null,
    problem: null,
    wouldAdd: null,
    notices: [],
    seenWith: null,
    looking: null,
    firstLines: null,
    progress: null,
    takingIn: false,
    readAtSources: 0,
    running: null,
  };
}

/** What the queue says of it. */
function queueState(ticket: Ticket, questions: number): QueueState {
  if (ticket.takingIn) return 'taking-in';
  if (ticket.running) return 'reading';
  if (ticket.problem || ticket.staged?.reading.problem) return 'failed';
  if (ticket.same) return 'nothing-new';
  if (!ticket.staged) return ticket.state.phase === 'reading' ? 'interrupted' : 'waiting';
  if (questions > 0) return 'needs-answer';
  return ticket.held && ticket.held.accepted === 0 && ticket.held.alreadyHeld > 0 ? 'nothing-new' : 'ready';
}

/** What a read file leaves open that held readings may settle; null: nothing. */
export function openHypotheses(reading: DumpReading): OpenHypotheses | null {
  if (reading.problem !== null || reading.recipe === null) return null;
  // A file that contradicts itself is for a person: settling it would reject lines.
  const order = reading.questions.find((card) => card.id === 'date-order' && card.text.key === 'intake.q-order');
  const mark = reading.questions.some((card) => card.id === 'decimal-mark' && card.text.key === 'intake.q-mark');
  if (!order && !mark) return null;
  return {
    readOrder: reading.readOrder,
    orders: dateOrderCodes.filter((code) => order?.choices.some((choice) => choice.value === code)),
    mark,
    fingerprint: reading.recipe.fingerprint,
  };
}

/** What was answered to the question whether an overlap shows the same readings; null: not asked, or not answered. */
export function overlapAnswer(ticket: Ticket): 'same' | 'new' | null {
  const answer = ticket.state.answers.overlap;
  return answer === 'same' || answer === 'new' ? answer : null;
}

/** A ticket as the queue shows it. */
export function queueItem(ticket: Ticket, facts: TicketFacts): QueueItem {
  const questions = openQuestions(facts).length;
  const state = queueState(ticket, questions);
  const lines = linesOf(facts);
  const problem = facts.problem ?? facts.reading?.problem ?? null;
  return {
    ticket: ticket.state.ticket,
    name: ticket.state.name,
    bytes: ticket.state.bytes,
    state,
    said: problem
      ? problem.said
      : state === 'interrupted'
        ? said('store.queue.interrupted', {})
        : ticket.same
          ? said('store.queue.same', { source: ticket.same.id, name: ticket.same.name })
          : state === 'nothing-new'
            ? said('intake.finding-nothing-new', { alreadyHeld: ticket.held?.alreadyHeld ?? 0 })
            : ticket.staged
              ? said('intake.queue-ready', {
                  lines: lines.total,
                  accepted: ticket.held?.accepted ?? ticket.staged.reading.accepted,
                  questions,
                })
              : null,
    questions,
    progress: ticket.progress,
    lines: ticket.staged || ticket.same ? lines : null,
  };
}
