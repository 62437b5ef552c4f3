/** A limit revision that a person is writing, and what it says in the register file. */
import type { JointModel } from '#core/contract/models/register-model.ts';
import type { DraftLimits } from '#core/figures/limit-steps.ts';
import { civilText, parseCivil } from '#core/time/civil-time.ts';
import type { TorqueUnit } from '#core/units/torque-unit.ts';
import { fieldText, typedNumber } from './number-field.tsx';
import type { FilePart } from './pending-edit.tsx';

export interface RevisionDraft {
  readonly label: string;
  /** ISO date, or with a time of day when it begins after the last reading. */
  readonly from: string;
  readonly unit: TorqueUnit;
  readonly percent: boolean;
  readonly low: string;
  readonly target: string;
  readonly high: string;
  readonly lowPercent: string;
  readonly highPercent: string;
  readonly angleLow: string;
  readonly angleTarget: string;
  readonly angleHigh: string;
  readonly batchSize: string;
  readonly retry: string;
  readonly by: string;
  readonly why: string;
}

/** A draft that begins with what is in force. */
export function draftOf(joint: JointModel, today: number): RevisionDraft {
  const newest = joint.revisions[0];
  return {
    label: nextLabel(newest?.label ?? null),
    from: civilText(today, 86_400_000),
    unit: newest?.unit ?? joint.unit,
    percent: newest !== undefined && (newest.lowPercent !== null || newest.highPercent !== null),
    low: fieldText(newest?.low ?? null),
    target: fieldText(newest?.target ?? null),
    high: fieldText(newest?.high ?? null),
    lowPercent: fieldText(newest?.lowPercent ?? null),
    highPercent: fieldText(newest?.highPercent ?? null),
    angleLow: fieldText(newest?.angleLowDeg ?? null),
    angleTarget: fieldText(newest?.angleTargetDeg ?? null),
    angleHigh: fieldText(newest?.angleHighDeg ?? null),
    batchSize: fieldText(newest?.batchSize ?? null),
    retry: fieldText(newest?.retryWithinSeconds ?? null),
    by: '',
    why: '',
  };
}

/** A, B ... Z, AA, AB ... */
export function nextLabel(label: string | null): string {
  if (label === null || !/^[A-Z]+$/.test(label)) return 'A';
  const letters = [...label];
  for (let i = letters.length - 1; i >= 0; i -= 1) {
    const letter = letters[i]!;
    if (letter !== 'Z') {
      letters[i] = String.fromCharCode(letter.charCodeAt(0) + 1);
      return letters.join('');
    }
    letters[i] = 'A';
  }
  return `A${letters.join('')}`;
}

/** The part of a register file that the draft is, or null while it is not finished. */
export function draftFile(joint: string, draft: RevisionDraft): FilePart | null {
  const numbers = [
    draft.low,
    draft.target,
    draft.high,
    draft.lowPercent,
    draft.highPercent,
    draft.angleLow,
    draft.angleTarget,
    draft.angleHigh,
    draft.batchSize,
    draft.retry,
  ].map(typedNumber);
  if (numbers.some(Number.isNaN) || parseCivil(draft.from) === null) return null;
  const [low, target, high, lowPercent, highPercent, angleLow, angleTarget, angleHigh, batchSize, retry] = numbers;
  const none = [low, target, high, angleLow, angleTarget, angleHigh, lowPercent, highPercent].every(
    (value) => value === null,
  );
  if (none) return null;
  return {
    joints: [
      {
        name: joint,
        limits: [
          {
            from: draft.from,
            unit: draft.unit,
            ...(draft.percent
              ? { lowPercent: lowPercent ?? null, highPercent: highPercent ?? null }
              : { low: low ?? null, high: high ?? null }),
            target: target ?? null,
            angleLow: angleLow ?? null,
            angleTarget: angleTarget ?? null,
            angleHigh: angleHigh ?? null,
            batchSize: batchSize ?? null,
            retryWithinSeconds: retry ?? null,
            by: draft.by.trim() === '' ? null : draft.by.trim(),
            why: draft.why.trim() === '' ? null : draft.why.trim(),
          },
        ],
      },
    ],
  };
}

/** Torque limits of a draft as values, percent tolerances resolved. */
export function draftLimits(
  draft: RevisionDraft,
  changed: Pick<DraftLimits, 'at' | 'torque' | 'reasons'>,
): DraftLimits | null {
  const from = parseCivil(draft.from);
  const target = typedNumber(draft.target);
  const side = (value: string, percent: string): number | null => {
    if (!draft.percent) return typedNumber(value);
    const given = typedNumber(percent);
    return given === null || target === null ? null : target * (1 + given / 100);
  };
  const low = side(draft.low, draft.lowPercent);
  const high = side(draft.high, draft.highPercent);
  if (from === null || [low, high, target].some(Number.isNaN) || (low === null && high === null)) return null;
  return { label: draft.label, from: from.at, low, target, high, ...changed };
}
