/** The closed lists of intake: roles, reasons, notices, orders, and the parts a file's lines are counted in. */

export const roles = [
  'date',
  'time',
  'date-time',
  'torque',
  'torque-unit',
  'angle',
  'tool',
  'operator',
  'joint',
  'own-result',
  'sequence',
  'batch-position',
  'batch-size',
  'target',
  'low-limit',
  'high-limit',
  'fastener',
  'station',
  'note',
  'ignore',
] as const;
/** What a column holds. `batch` ids are read as part of `fastener` columns named so. */
export type Role = (typeof roles)[number];

export const rejectCodes = [
  'bad-torque',
  'bad-angle',
  'bad-unit',
  'bad-date',
  'bad-time',
  'no-torque',
  'too-few-fields',
  'too-many-fields',
  'open-quote',
  'undecodable',
] as const;
/** Why a line became no reading. */
export type RejectCode = (typeof rejectCodes)[number];

export const noticeKinds = [
  'memory-full',
  'clock-back',
  'clock-unset',
  'date-range',
  'future-date',
  'zone-ignored',
  'epoch-utc',
  'duplicate-lines',
  'unit-changes',
  'own-result-differs',
  'other-direction',
  'zero-torque',
  'second-pull',
  'newest-first',
  'beyond-range',
  'calibration-overdue',
  'unknown-name',
  'sequence-gap',
  'on-limit',
] as const;
/** Something worth knowing about accepted lines. */
export type NoticeKind = (typeof noticeKinds)[number];

export const dateOrderCodes = ['dmy', 'mdy', 'ymd'] as const;
export type DateOrder = (typeof dateOrderCodes)[number];
export type DecimalMark = 'comma' | 'point';

/**
 * Where a file's physical lines went. Always `total = header + blank + accepted + alreadyHeld + rejected`; preamble,
 * header, repeated header and footer count under `header`, a record over three lines counts three.
 */
export interface LineCounts {
  readonly total: number;
  readonly header: number;
  readonly blank: number;
  readonly accepted: number;
  readonly alreadyHeld: number;
  readonly rejected: number;
}

/** Whether a text is a role code. */
export function isRole(text: string): text is Role {
  return (roles as readonly string[]).includes(text);
}
