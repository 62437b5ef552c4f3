/**
 * What the open questions of a file leave undecided, so that its rows can be shown meanwhile without saying more than is
 * known: which rows must stay unjudged, which days are not certain, which notices have to wait.
 */
import { type Said, said } from '../text/said.ts';
import type { DumpReading } from './dump-reading.ts';
import { type DateOrder, type DecimalMark, dateOrderCodes, type NoticeKind, type Role } from './vocabulary.ts';

export interface WhatIsOpen {
  /** Ids of the open questions that bear on judging or on days, in the order in which they are asked. */
  readonly questions: readonly string[];
  /** Torques without a unit of their own have none yet. */
  readonly unit: boolean;
  /** The mark the numbers were read with, which may yet be the other one; null: settled. */
  readonly mark: DecimalMark | null;
  /** How the dates were read, the order that leads (what the file leans to), and the others left; null: settled. */
  readonly order: { readonly from: DateOrder; readonly lead: DateOrder; readonly others: readonly DateOrder[] } | null;
  /** The torque may stand in another column, or in none; `column` from 1 is the one drawn for now, null: none. */
  readonly torque: { readonly column: number | null; readonly name: string | null } | null;
  /** The torque is known, and one more column may hold the angle. */
  readonly angle: boolean;
  /** Rows that name no tool, or no joint, may yet get one. */
  readonly tool: boolean;
  readonly joint: boolean;
  /** Roles that some column may yet turn out to have. */
  readonly roles: ReadonlySet<Role>;
}

/** What is open in a read file; null: nothing is asked. */
export function whatIsOpen(
  reading: Pick<DumpReading, 'questions' | 'roles' | 'readOrder' | 'readMark'>,
): WhatIsOpen | null {
  const { questions } = reading;
  if (questions.length === 0) return null;
  const asked = (id: string): boolean => questions.some((card) => card.id === id);
  const offered = (id: string): readonly string[] =>
    questions.filter((card) => card.id === id).flatMap((card) => card.choices.map((choice) => choice.value));
  const columns = questions.filter((card) => card.id.startsWith('role:'));
  const roles = new Set<Role>();
  for (const row of reading.roles) {
    if (row.question?.startsWith('role:')) {
      // What it is read as for now may be only the guess that leads.
      if (row.role !== 'ignore') roles.add(row.role);
      for (const value of offered(row.question)) {
        const role = row.choices.find((one) => one === value);
        if (role !== undefined && role !== 'ignore') roles.add(role);
      }
    }
  }
  const guess = reading.roles.find((row) => row.role === 'torque');
  const bears = (id: string): boolean =>
    !id.startsWith('role:') || offered(id).some((value) => bearing.has(value as Role)); // only compared with roles
  return {
    questions: [...questions.filter((card) => bears(card.id)).map((card) => card.id)],
    unit: asked('torque-unit'),
    mark: asked('decimal-mark') ? reading.readMark : null,
    order: openOrder(reading),
    torque:
      columns.length > 0 && roles.has('torque') ? { column: guess?.column ?? null, name: guess?.name ?? null } : null,
    angle: roles.has('angle') && !roles.has('torque'),
    tool: asked('tool') || roles.has('tool'),
    joint: asked('joint') || roles.has('joint'),
    roles,
  };
}

function openOrder({ questions, readOrder: from }: Pick<DumpReading, 'questions' | 'readOrder'>): WhatIsOpen['order'] {
  const card = questions.find((one) => one.id === 'date-order');
  if (!card) return null;
  const orders = dateOrderCodes.filter((order) => card.choices.some((choice) => choice.value === order));
  const leaning = orders.find((order) => card.choices.some((choice) => choice.value === order && choice.leaning));
  // A file that contradicts itself has dates that only one order can read: they stay as they were read.
  const lead = card.text.key === 'intake.q-order' && leaning !== undefined ? leaning : from;
  return { from, lead, others: orders.filter((order) => order !== lead) };
}

/** Roles that decide on verdicts. */
const bearing: ReadonlySet<Role> = new Set<Role>(['torque', 'angle', 'tool', 'joint']);

/** Whether a notice of this kind may come, go or change with the answers, so that it is not said yet. */
export function waitsForAnswer(kind: NoticeKind, open: WhatIsOpen): boolean {
  const { roles } = open;
  const days = open.order !== null;
  const torque = open.torque !== null;
  switch (kind) {
    case 'zone-ignored':
    case 'epoch-utc':
      return false;
    case 'clock-unset':
    case 'date-range':
    case 'future-date':
    case 'newest-first':
      return days;
    case 'clock-back':
    case 'calibration-overdue':
      return days || open.tool;
    case 'memory-full':
      return open.tool;
    case 'duplicate-lines':
      return [...bearing].some((role) => roles.has(role));
    case 'unit-changes':
    case 'zero-torque':
      return torque;
    case 'other-direction':
      return torque || open.angle || open.joint;
    case 'beyond-range':
      return open.unit || open.mark !== null || torque || open.tool;
    case 'unknown-name':
      return roles.has('tool') || roles.has('joint') || roles.has('operator');
    case 'sequence-gap':
      return roles.has('sequence');
    case 'own-result-differs':
    case 'on-limit':
    case 'second-pull':
      return open.unit || open.mark !== null || days || torque || open.angle || open.tool || open.joint;
  }
}

/**
 * What is open, said for the picture of the rows.
 *
 * @param counts readings that are judged, and those left out because another order of day and month judges otherwise
 */
export function openSaid(open: WhatIsOpen, counts: { readonly judged: number; readonly otherwise: number }): Said[] {
  const sentences: Said[] = [];
  if (open.torque) sentences.push(said('intake.open-torque', open.torque));
  if (open.unit) sentences.push(said('intake.open-unit', {}));
  if (open.mark) sentences.push(said('intake.open-mark', { mark: open.mark }));
  if (open.order) sentences.push(said('intake.open-order', counts));
  if (open.tool) sentences.push(said('intake.open-tool', {}));
  if (open.joint) sentences.push(said('intake.open-joint', {}));
  if (open.angle && !open.unit && open.mark === null) sentences.push(said('intake.open-angle', {}));
  if (sentences.length === 0) sentences.push(said('intake.open-no-bearing', {}));
  return sentences;
}
