/** What the reader found and the store counted, as the models of the intake screen and of the command line. */
import type {
  ImportedSource,
  IntakeNotice,
  IntakeOutcome,
  IntakePreview,
  ProvisionalPicture,
  QuestionCard,
  RejectedLine,
  WouldAdd,
} from '#core/contract/models/intake-model.ts';
import type { Problem } from '#core/contract/problems.ts';
import type { DumpReading, RejectedRow } from '#core/intake/dump-reading.ts';
import { type LineCounts, noticeKinds } from '#core/intake/vocabulary.ts';
import { waitsForAnswer, whatIsOpen } from '#core/intake/what-is-open.ts';
import { type Said, said, say } from '#core/text/said.ts';
import type { HeldCount, OverlapDoubt, StoredSource } from '../store/store.ts';

/** Everything known of a ticket that its models are made of. */
export interface TicketFacts {
  readonly ticket: string;
  readonly name: string;
  readonly bytes: number;
  readonly answers: Readonly<Record<string, string>>;
  /** False while the file is being read. */
  readonly complete: boolean;
  readonly reading: DumpReading | null;
  readonly sha256: string | null;
  readonly held: HeldCount | null;
  /** The file held already with the same bytes. */
  readonly same: StoredSource | null;
  readonly problem: Problem | null;
  readonly wouldAdd: WouldAdd | null;
  readonly notices: readonly IntakeNotice[];
  /** Other tickets that ask the same, by question id. */
  readonly alsoIn: (question: string) => readonly string[];
}

export const noLines: LineCounts = { total: 0, header: 0, blank: 0, accepted: 0, alreadyHeld: 0, rejected: 0 };

/** The questions still open, the store's own among them. */
export function openQuestions(facts: TicketFacts): QuestionCard[] {
  const cards = (facts.reading?.questions ?? []).map((card) => ({ ...card, alsoIn: facts.alsoIn(card.id) }));
  const doubt = facts.held?.overlap ?? null;
  if (doubt && facts.answers.overlap === undefined) cards.push(overlapCard(doubt, facts.alsoIn('overlap')));
  return cards;
}

/** Where the file's lines went, with what the store counted. */
export function linesOf(facts: TicketFacts): LineCounts {
  const { reading, held, same } = facts;
  if (same) {
    const lines = same.accounting.lines;
    return { ...lines, accepted: 0, alreadyHeld: lines.accepted + lines.alreadyHeld };
  }
  if (!reading || reading.problem) return noLines;
  return {
    total: reading.lineTotal,
    header: reading.headerLines,
    blank: reading.blankLines,
    accepted: held ? held.acceptedLines : reading.acceptedLines,
    alreadyHeld: held ? held.alreadyHeldLines : 0,
    rejected: reading.rejectedLines,
  };
}

/** Readings new to the store, and readings it holds already. */
export function countsOf(facts: TicketFacts): { accepted: number; alreadyHeld: number } {
  if (facts.same) {
    return { accepted: 0, alreadyHeld: facts.same.accounting.accepted + facts.same.accounting.alreadyHeld };
  }
  if (facts.held) return { accepted: facts.held.accepted, alreadyHeld: facts.held.alreadyHeld };
  return { accepted: facts.reading?.accepted ?? 0, alreadyHeld: 0 };
}

/** The whole preview of a ticket. */
export function intakePreview(facts: TicketFacts): IntakePreview {
  const { reading } = facts;
  const questions = openQuestions(facts);
  const counts = countsOf(facts);
  const problem = facts.problem ?? reading?.problem ?? null;
  const open = reading && whatIsOpen(reading);
  return {
    ticket: facts.ticket,
    name: facts.name,
    bytes: facts.bytes,
    sha256: facts.sha256,
    complete: facts.complete,
    problem,
    finding: finding(facts, problem, questions.length, counts),
    lines: linesOf(facts),
    ...counts,
    layout: reading?.layout ?? null,
    firstLines: reading?.firstLines ?? [],
    moreLines: Math.max(0, (reading?.lineTotal ?? 0) - (reading?.firstLines.length ?? 0)),
    roles: reading?.roles ?? [],
    questions: withVerdicts(questions, facts.wouldAdd?.provisional ?? null),
    answers: facts.answers,
    wouldAdd: withOverlap(facts.wouldAdd, questions),
    rejected: (reading?.firstRejected ?? []).map(rejectedLine),
    rejectedByReason: reading?.rejectedByReason ?? [],
    notices: noticesOf(facts).filter((notice) => open === null || !waitsForAnswer(notice.kind, open)),
    noticesWait: open !== null && noticeKinds.some((kind) => waitsForAnswer(kind, open)),
    recipe: reading?.recipeInfo ?? null,
  };
}

/** Beside each order of day and month, what the limits in force on its days make of the readings. */
function withVerdicts(questions: readonly QuestionCard[], picture: ProvisionalPicture | null): readonly QuestionCard[] {
  const byOrder = picture?.byOrder ?? [];
  // Where no order finds limits there is nothing to tell them apart by.
  if (byOrder.length < 2 || byOrder.every((one) => one.pass + one.fail === 0)) return questions;
  return questions.map((card) => {
    if (card.id !== 'date-order') return card;
    const choices = card.choices.map((choice) => {
      const verdicts = byOrder.find((one) => one.order === choice.value);
      if (!verdicts) return choice;
      return { ...choice, evidence: [...choice.evidence, said('intake.ev-order-verdicts', { ...verdicts })] };
    });
    return { ...card, choices };
  });
}

/** While it is asked whether the rows are held already, the picture shows the file and not what it would add. */
function withOverlap(wouldAdd: WouldAdd | null, questions: readonly QuestionCard[]): WouldAdd | null {
  if (wouldAdd === null || wouldAdd.provisional !== null || questions.length === 0) return wouldAdd;
  const provisional = {
    questions: questions.map((card) => card.id),
    said: [said('intake.open-overlap', {})],
    unitOpen: false,
    leftUnjudged: 0,
    byOrder: [],
  };
  return { ...wouldAdd, provisional };
}

function finding(
  facts: TicketFacts,
  problem: Problem | null,
  questions: number,
  counts: { accepted: number; alreadyHeld: number },
): Said {
  if (problem) return problem.said;
  if (facts.same) {
    return said('store.finding.same', {
      source: facts.same.id,
      name: facts.same.name,
      withdrawn: facts.same.withdrawn,
    });
  }
  if (!facts.complete) return said('intake.finding-reading', { lines: facts.reading?.lineTotal ?? 0 });
  const [first] = openQuestions(facts);
  if (first) return said('intake.finding-question', { accepted: counts.accepted, questions, first: first.text });
  if (counts.accepted === 0 && counts.alreadyHeld > 0) {
    return said('intake.finding-nothing-new', { alreadyHeld: counts.alreadyHeld });
  }
  const rejected = facts.reading?.rejected ?? 0;
  if (counts.accepted === 0) return said('intake.finding-none', { rejected });
  return said('intake.finding-ready', { ...counts, rejected });
}

/** Notices of the reader and of the register, one a kind. */
export function noticesOf(facts: TicketFacts): IntakeNotice[] {
  const own = facts.reading?.notices ?? [];
  const kinds = new Set(own.map((notice) => notice.kind));
  return [...own, ...facts.notices.filter((notice) => !kinds.has(notice.kind))];
}

/** One file of the command line's `intake` document. `source` null: refused, waiting or a dry run. */
export function intakeOutcome(
  facts: TicketFacts,
  result: { readonly source: number | null; readonly dryRun: boolean; readonly rejected: readonly RejectedRow[] },
): IntakeOutcome {
  const questions = openQuestions(facts);
  const problem = facts.problem ?? facts.reading?.problem ?? null;
  const counts = countsOf(facts);
  // While the file asks, what the register says of its rows is for the preview alone.
  const asked = (facts.reading?.questions.length ?? 0) > 0;
  const sentence = problem
    ? problem.said
    : questions.length > 0
      ? said('intake.waits', { questions: questions.length })
      : result.dryRun
        ? said('store.would-take-in', counts)
        : facts.same
          ? said('store.finding.same', { source: facts.same.id, name: facts.same.name, withdrawn: false })
          : said('intake.taken-in', { ...counts, rejected: facts.reading?.rejected ?? 0 });
  return {
    file: facts.name,
    sha256: facts.sha256,
    problem: problem && { kind: problem.kind, message: problem.message },
    source: result.source,
    lines: problem ? null : linesOf(facts),
    accepted: problem ? 0 : counts.accepted,
    alreadyHeld: problem ? 0 : counts.alreadyHeld,
    rejected: result.rejected.map((row) => ({
      line: row.line,
      lines: row.lines,
      column: row.column,
      reason: row.code,
      says: say(rejectedLine(row).said),
      text: row.text,
    })),
    questions: questions.map((card) => ({
      id: card.id,
      text: say(card.text),
      choices: card.choices.map((choice) => ({
        value: choice.value,
        meaning: say(choice.meaning),
        evidence: choice.evidence.map((one) => say(one)),
      })),
    })),
    notices: (asked ? (facts.reading?.notices ?? []) : noticesOf(facts)).map((notice) => ({
      kind: notice.kind,
      text: say(notice.said),
      lines: notice.lines,
    })),
    recipe: facts.reading?.recipe ?? null,
    secondTable: facts.reading?.secondTable ?? null,
    said: sentence,
    ticket: result.source === null ? facts.ticket : null,
  };
}

/** A held file as the list of imported ones shows it. */
export function importedSource(source: StoredSource, onlyHere: number, stillShownElsewhere: number): ImportedSource {
  return {
    source: source.id,
    name: source.name,
    sha256: source.sha256,
    bytes: source.bytes,
    takenInMs: source.takenMs,
    accepted: source.accounting.accepted,
    alreadyHeld: source.accounting.alreadyHeld,
    rejected: source.accounting.rejected,
    withdrawn: source.withdrawn,
    onlyHere,
    stillShownElsewhere,
  };
}

/** A rejected line with its sentence. */
export function rejectedLine(row: RejectedRow): RejectedLine {
  return {
    line: row.line,
    lines: row.lines,
    column: row.column,
    reason: row.code,
    said: rejectedSaid(row),
    text: row.text,
    span: row.span,
  };
}

function rejectedSaid(row: RejectedRow): Said {
  return said('store.rejected', { line: row.line, reason: row.code, column: row.column, text: offending(row) });
}

function offending(row: RejectedRow): string | null {
  if (!row.span) return null;
  return row.text.slice(row.span[0], row.span[1]).slice(0, 80);
}

function overlapCard(doubt: OverlapDoubt, alsoIn: readonly string[]): QuestionCard {
  const { kind, ...args } = doubt;
  const text =
    kind === 'no-time'
      ? said('store.overlap.no-time', args)
      : kind === 'unit-changed'
        ? said('store.overlap.unit-changed', args)
        : said('store.overlap.minute-edge', args);
  return {
    id: 'overlap',
    text,
    choices: [
      {
        value: 'same',
        meaning: said('store.overlap.same', {}),
        evidence: [said('store.overlap.evidence-same', args)],
        leaning: doubt.same >= 5 || doubt.same === doubt.rows,
        picture: null,
      },
      {
        value: 'new',
        meaning: said('store.overlap.new', {}),
        evidence: [said('store.overlap.evidence-new', args)],
        leaning: false,
        picture: null,
      },
    ],
    free: false,
    alsoIn,
  };
}
