/** Shapes the Register screen is sent. */
import type { Direction, ShiftBreak, StopsBy, ToolStatus } from '../../register/register.ts';
import type { Said } from '../../text/said.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';

export interface RegisterModel {
  readonly joints: readonly {
    readonly name: string;
    readonly class: string | null;
    readonly confirmed: boolean;
    readonly readings: number;
    /** Limits in force last, e.g. "22.00 to 26.00 N·m"; or that there are none. */
    readonly said: Said;
  }[];
  readonly tools: readonly {
    readonly serial: string;
    readonly status: ToolStatus;
    readonly confirmed: boolean;
    readonly readings: number;
    readonly calibrationDue: number | null;
    readonly said: Said;
  }[];
  readonly operators: readonly {
    readonly badge: string;
    readonly name: string | null;
    readonly confirmed: boolean;
    readonly readings: number;
    /** Names of the shifts in which the operator's readings fall. */
    readonly shifts: readonly string[];
  }[];
  readonly shifts: readonly {
    readonly name: string;
    readonly startMinute: number;
    readonly endMinute: number;
    /** 0 Monday to 6 Sunday; null: every day. */
    readonly weekdays: readonly number[] | null;
    readonly breaks: readonly ShiftBreak[];
    readonly readings: number;
    readonly said: Said;
  }[];
  readonly checks: readonly CheckRow[];
  /** Names from dumps that wait for a person, most readings first. */
  readonly toSettle: readonly NameToSettle[];
}

export interface NameToSettle {
  readonly kind: 'tool' | 'joint' | 'operator';
  readonly name: string;
  readonly readings: number;
  /** Entries it may be, most alike first, at most three. */
  readonly candidates: readonly string[];
  readonly said: Said;
}

/** One check: rows of the same tool, time, kind and nominal. */
export interface CheckRow {
  readonly tool: string;
  readonly at: number;
  readonly kind: 'as-found' | 'as-left';
  readonly nominal: number;
  readonly unit: TorqueUnit;
  readonly pulls: number;
  readonly shownMean: number;
  readonly referenceMean: number;
  /** 100 (shown - reference)/reference: mean over the pulls, smallest, largest. */
  readonly deviationPercent: number;
  readonly deviationLow: number;
  readonly deviationHigh: number;
  /** Each pull's deviation, in order. */
  readonly deviations: readonly number[];
  readonly permissiblePercent: number | null;
  /** Null: no permissible deviation, or the nominal is outside the marked range. */
  readonly passed: boolean | null;
  readonly uncertaintyPercent: number | null;
  readonly said: Said;
}

export interface JointModel {
  readonly name: string;
  readonly class: string | null;
  readonly direction: Direction;
  readonly stopsBy: StopsBy;
  readonly station: string | null;
  readonly note: string | null;
  readonly confirmed: boolean;
  readonly readings: number;
  /** Under the heading. */
  readonly said: Said;
  /** Unit of the figure: that of the newest revision. */
  readonly unit: TorqueUnit;
  /** Newest first. */
  readonly revisions: readonly RevisionRow[];
  readonly steps: StepFigureModel;
  readonly tools: readonly JointToolRow[];
  readonly toolsCaption: Said;
}

export interface RevisionRow {
  readonly label: string;
  readonly from: number;
  readonly to: number | null;
  readonly unit: TorqueUnit;
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  readonly lowPercent: number | null;
  readonly highPercent: number | null;
  readonly angleLowDeg: number | null;
  readonly angleTargetDeg: number | null;
  readonly angleHighDeg: number | null;
  readonly batchSize: number | null;
  readonly retryWithinSeconds: number | null;
  readonly by: string | null;
  readonly why: string | null;
  readonly readings: number;
  readonly pass: number;
  readonly fail: number;
}

/** Limits as steps over time with the readings behind them, all in `JointModel.unit`. */
export interface StepFigureModel {
  readonly from: number | null;
  readonly to: number | null;
  /** In order of time, cut to from..to. */
  readonly steps: readonly {
    readonly label: string;
    readonly from: number;
    readonly to: number;
    readonly low: number | null;
    readonly target: number | null;
    readonly high: number | null;
    readonly said: Said;
  }[];
  /** At most 4,000 readings; `every` says which part of them is drawn (1: all). */
  readonly at: Float64Array;
  readonly torque: Float64Array;
  /** Codes of judged.ts: 0 unjudged, 1 pass, 2 fail. */
  readonly verdict: Uint8Array;
  /** Bits of `failBits`: 0 unless the reading failed. */
  readonly reasons: Uint8Array;
  readonly every: number;
}

export interface JointToolRow {
  readonly tool: string;
  readonly readings: number;
  readonly lastCheck: number | null;
  readonly pulls: number | null;
  readonly deviationPercent: number | null;
  /** "3.0 % more than shown". */
  readonly fastenersGet: Said | null;
  readonly checkDue: number | null;
  readonly calibrationDue: number | null;
  readonly stored: number | null;
  readonly capacity: number | null;
  readonly perDay: number | null;
  readonly fullOn: number | null;
  /** Between these shown values inside is proved at the permissible deviation; null: unknown or impossible. */
  readonly provedFrom: number | null;
  readonly provedTo: number | null;
  readonly accuracyRatio: number | null;
}

export interface ToolModel {
  readonly serial: string;
  readonly status: ToolStatus;
  readonly confirmed: boolean;
  readonly unit: TorqueUnit | null;
  readonly min: number | null;
  readonly max: number | null;
  readonly permissibleDeviationPercent: number | null;
  readonly storageCapacity: number | null;
  readonly calibratedOn: number | null;
  readonly calibrationDue: number | null;
  readonly calibrationOverdue: boolean;
  readonly intervalMonths: number | null;
  readonly intervalCycles: number | null;
  readonly cyclesSince: number | null;
  readonly checkEveryDays: number | null;
  readonly checkDue: number | null;
  readonly lengthMm: number | null;
  readonly events: readonly {
    readonly at: number;
    readonly kind: 'calibration' | 'repair';
    readonly note: string | null;
  }[];
  readonly adapters: readonly {
    readonly from: number;
    readonly to: number | null;
    readonly lengthMm: number;
    readonly offsetMm: number;
    readonly angleDeg: number;
    readonly factor: number;
    readonly said: Said;
    /** Readings in force made with it. */
    readonly readings: number;
  }[];
  readonly readings: number;
  readonly firstAt: number | null;
  readonly lastAt: number | null;
  readonly joints: readonly {
    readonly name: string;
    readonly readings: number;
    readonly pass: number;
    readonly fail: number;
  }[];
  /** In time order. */
  readonly checks: readonly CheckRow[];
  readonly stored: number | null;
  readonly perDay: number | null;
  readonly fullOn: number | null;
  readonly said: Said;
  /** What is due, most urgent first. */
  readonly due: readonly Said[];
}

/** What taking a register file in would change. */
export interface EditPreview {
  /** What is wrong with the file; when not empty it cannot be taken in. */
  readonly problems: readonly Said[];
  readonly added: readonly Said[];
  readonly changed: readonly Said[];
  /** Readings whose verdict or reasons would change, over all joints. */
  readonly changedVerdicts: number;
  readonly judgedNow: number;
  /** Readings that would count with another torque because another adapter, or none, was on the tool; null: none. */
  readonly torques: {
    readonly readings: number;
    /** How much more torque, in percent of what counts now: the least and the most. */
    readonly lowPercent: number;
    readonly highPercent: number;
    readonly said: Said;
  } | null;
  readonly joints: readonly {
    readonly joint: string;
    /** Readings held from the start of the first new or changed revision on. */
    readonly readings: number;
    readonly changedVerdicts: number;
    readonly changes: readonly {
      readonly from: string;
      readonly to: string;
      readonly count: number;
      readonly said: Said;
    }[];
    readonly byTool: readonly { readonly tool: string; readonly count: number }[];
    /** Start that leaves every past verdict alone: just after the last reading held at the joint. */
    readonly fromAfterLast: number | null;
    /** Positions of changed readings as marks for the step figure, at most 2,000: time, torque in the new unit, new verdict bits. */
    readonly at: Float64Array;
    readonly torque: Float64Array;
    readonly reasons: Uint8Array;
    /** Names of the changed readings, at most 200. */
    readonly ids: readonly string[];
  }[];
  readonly said: Said;
}

/** What taking an entry out of the register comes to. */
export interface RemovalModel {
  readonly kind: 'joint' | 'tool' | 'operator' | 'shift';
  readonly name: string;
  readonly allowed: boolean;
  /** What goes with it, or how much stands in the way. */
  readonly said: Said;
  /** What to do instead; null when it can be removed. */
  readonly instead: Said | null;
  /** Entries that what stands in the way can be moved to by merging, the likeliest first, at most 1,000. */
  readonly mergeInto: readonly string[];
  /** A tool that can be retired instead. */
  readonly canRetire: boolean;
}

/** What confirming a name, renaming it, or taking it for another entry comes to. */
export interface SettleModel {
  readonly kind: 'joint' | 'tool' | 'operator';
  readonly name: string;
  /** What it is called from then on, or the entry it counts as. */
  readonly into: string;
  readonly how: 'confirm' | 'rename' | 'merge';
  /** Readings in force that count under `into` from then on. */
  readonly readings: number;
  /** Of those, readings whose verdict, its reasons or why there is none changes. */
  readonly changedVerdicts: number;
  readonly changes: readonly {
    readonly from: string;
    readonly to: string;
    readonly count: number;
    readonly said: Said;
  }[];
  /** Readings that become equal to another and are out of force from then on. */
  readonly setAside: number;
  /** Saved studies and scopes that name it, and name `into` from then on. */
  readonly studies: readonly string[];
  readonly scopes: readonly string[];
  readonly said: Said;
  /** What follows; null: nothing does. */
  readonly follow: Said | null;
}
