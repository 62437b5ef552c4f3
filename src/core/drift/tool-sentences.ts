/** The sentences of one tool, by the kind of its finding. */
import type { AffectedReadings, CheckRow, FindingKind, Lane } from '../contract/models/drift-model.ts';
import type { Overdue } from '../text/en/drift.ts';
import { type Said, said } from '../text/said.ts';
import type { Evidence } from './finding.ts';

/** What the sentences of a tool are made from. */
interface Words {
  readonly kind: FindingKind;
  readonly tool: string;
  readonly joints: readonly string[];
  readonly own: Lane;
  readonly response: Lane;
  readonly latest: CheckRow | null;
  readonly failing: CheckRow | null;
  /** The failing check after which the tool was adjusted, as long as no later check or calibration closed the matter. */
  readonly adjusted: { readonly check: CheckRow; readonly at: number; readonly affected: AffectedReadings } | null;
  readonly permissible: number | null;
  readonly perPercent: number | null;
  readonly others: Evidence['others'];
  readonly othersAt: boolean;
  readonly checkSince: Evidence['checkSince'];
  readonly affectedSince: number | null;
  readonly overdue: Overdue;
  readonly isOverdue: boolean;
  readonly togetherWith: readonly string[];
  readonly blocks: number;
  readonly phaseSince: number | null;
  readonly tangled: boolean;
}

/** The line of a tool in the list and its finding, from its kind and the facts around it. */
export function toolSentences(w: Words): { line: Said; finding: Said } {
  const joints = w.joints.slice(0, 2);
  const change = w.response.changePoint;
  const ownChange = w.own.changePoint;
  const { quantity } = w.response;
  if (w.kind === 'out-of-tolerance' && w.failing) {
    return {
      line: said('drift.line.out-of-tolerance', { joints, percent: w.failing.deviationPercent }),
      finding: said('drift.finding.out-of-tolerance', {
        tool: w.tool,
        percent: w.failing.deviationPercent,
        permissible: w.permissible ?? 0,
        at: w.failing.at,
        since: w.affectedSince,
      }),
    };
  }
  if (change && w.latest && w.kind === 'reads-wrong') {
    return {
      line: said('drift.line.reads-wrong', {
        joints,
        percent: w.latest.deviationPercent,
        permissible: w.permissible,
      }),
      finding: said('drift.finding.reads-wrong', {
        tool: w.tool,
        percent: w.latest.deviationPercent,
        at: w.latest.at,
        since: change.at,
      }),
    };
  }
  if (change && w.latest && w.kind === 'check-disagrees') {
    return {
      line: said('drift.line.check-disagrees', { joints }),
      finding: said('drift.finding.check-disagrees', {
        tool: w.tool,
        quantity,
        percent: change.shiftPercent,
        since: change.at,
        checkAt: w.latest.at,
        checkPercent: w.latest.deviationPercent,
      }),
    };
  }
  if (change && w.kind === 'may-read-wrong') {
    // The response of a tool that shows too little moves against the sign of perPercent; without it, by the usual sense.
    const sense = w.perPercent ?? (quantity === 'torque-at-equal-angle' ? 1 : -1);
    return {
      line: said('drift.line.may-read-wrong', { joints }),
      finding: said('drift.finding.may-read-wrong', {
        tool: w.tool,
        quantity,
        percent: change.shiftPercent,
        since: change.at,
        low: change.shiftPercent / sense < 0,
        others: w.others === 'still' ? 'still' : 'none',
      }),
    };
  }
  if (change && w.kind === 'joint-not-tool') {
    return {
      line: said('drift.line.joint-not-tool', { joints }),
      finding: said('drift.finding.joint-not-tool', {
        tool: w.tool,
        quantity,
        percent: change.shiftPercent,
        since: change.at,
        joints,
        checked: w.checkSince !== 'none',
      }),
    };
  }
  if (change && ownChange && w.kind === 'more-than-one') {
    return {
      line: said('drift.line.more-than-one', { joints }),
      finding: said('drift.finding.more-than-one', {
        tool: w.tool,
        own: ownChange.shiftPercent,
        response: change.shiftPercent,
        quantity,
        since: Math.min(change.at, ownChange.at),
      }),
    };
  }
  if (change && w.kind === 'more-than-one') {
    return {
      line: said('drift.line.more-than-one', { joints }),
      finding: said('drift.finding.more-than-one', {
        tool: w.tool,
        own: w.own.since?.percent ?? 0,
        response: change.shiftPercent,
        quantity,
        since: change.at,
      }),
    };
  }
  if (ownChange && w.kind === 'people-or-stop') {
    return {
      line: said('drift.line.people-or-stop', { joints, shape: ownChange.shape, at: ownChange.at }),
      finding: said('drift.finding.people-or-stop', {
        tool: w.tool,
        quantity: w.own.quantity,
        percent: ownChange.shiftPercent,
        since: ownChange.at,
        shape: ownChange.shape,
        with: w.togetherWith,
      }),
    };
  }
  if (ownChange && w.kind === 'own-moved-blind') {
    return {
      line: said('drift.line.own-moved-blind', { joints, at: ownChange.at }),
      finding: said('drift.finding.own-moved-blind', {
        tool: w.tool,
        quantity: w.own.quantity,
        percent: ownChange.shiftPercent,
        since: ownChange.at,
        with: w.togetherWith,
      }),
    };
  }
  if (w.adjusted) {
    const { check, at, affected } = w.adjusted;
    return {
      line: said('drift.line.adjusted', { joints, at, count: affected.count }),
      finding: said('drift.finding.adjusted', {
        tool: w.tool,
        at,
        percent: check.deviationPercent,
        since: affected.since,
        count: affected.count,
      }),
    };
  }
  if (w.isOverdue && w.kind === 'too-little') {
    return {
      line: said('drift.line.too-little-overdue', { joints, blocks: w.blocks, overdue: w.overdue }),
      finding: said('drift.finding.too-little-overdue', { tool: w.tool, blocks: w.blocks, overdue: w.overdue }),
    };
  }
  if (w.isOverdue) {
    return {
      line: said('drift.line.still-overdue', { joints, overdue: w.overdue }),
      finding: said('drift.finding.still-overdue', { tool: w.tool, overdue: w.overdue }),
    };
  }
  if (w.kind === 'too-little') {
    return w.tangled
      ? {
          line: said('drift.line.tangled', { joints, with: w.togetherWith }),
          finding: said('drift.finding.tangled', { tool: w.tool, with: w.togetherWith }),
        }
      : {
          line: said('drift.line.too-little', { joints, blocks: w.blocks }),
          finding: said('drift.finding.too-little', { tool: w.tool, blocks: w.blocks, since: w.phaseSince }),
        };
  }
  const check = w.latest === null ? 'none' : w.latest.passed === true ? 'good' : 'unknown';
  return {
    line: said('drift.line.still', { joints, check }),
    finding: said('drift.finding.still', { tool: w.tool }),
  };
}
