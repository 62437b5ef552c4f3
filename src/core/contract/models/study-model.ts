/**
 * Shapes the study screen and the study report are sent.
 *
 * `StudyAnswer` is the JSON document of the command line (design: cli contract); `StudyModel` adds what is drawn and
 * said. Every list is bounded: above `studyMarksMost` readings a run chart gets bands instead of dots.
 */
import type { Said } from '../../text/said.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';
import type { StudyChoices } from '../calls.ts';

export type { StudyChoices };

/** Most readings that are drawn or listed one by one. */
export const studyMarksMost = 4000;
/** Up to so many readings the report prints every one in its group. */
export const studyListedMost = 250;

export type StudyCharacteristic = 'torque' | 'angle';
export type WithinMethod = 'pooled' | 's-bar' | 'r-bar' | 'mr-bar' | 'mr-median';
export type StudyModelName = StudyChoices['model'];
export type IndexName = 'Cp' | 'Cpk' | 'Pp' | 'Ppk' | 'Cpm' | 'Cm' | 'Cmk';

/** Unit of the characteristic: a torque unit, or degrees. */
export type StudyUnit = TorqueUnit | 'deg';

// ---------------------------------------------------------------------------------------------------------------
// The JSON document

export interface IndexAnswer {
  readonly value: number;
  /** Null when the interval cannot be given (more than 1 % of bootstrap fits failed, or none made). */
  readonly low95: number | null;
  readonly high95: number | null;
  readonly method: 'normal' | 'percentile';
}

export interface RankedModel {
  readonly name: StudyModelName;
  /** Null: the model does not fit or cannot be used; `why` says so. */
  readonly aicc: number | null;
  readonly ad: number | null;
  readonly why: string | null;
}

export interface WorkingAnswer {
  readonly symbol: string;
  readonly value: number | null;
  readonly formula: string;
  readonly withNumbers: string;
  readonly inputs: Readonly<Record<string, string>>;
  readonly method: string;
  readonly source: string;
  readonly unmet: readonly string[];
}

export type StudyOutcome = 'shown' | 'not-shown-yet' | 'not-met' | 'not-stable' | 'not-computed';

/** `study --json`. Fields may be added, none renamed. Sentences are English. */
export interface StudyAnswer {
  readonly joint: string;
  readonly characteristic: StudyCharacteristic;
  readonly attempts: StudyChoices['attempts'];
  readonly unit: StudyUnit;
  readonly n: number;
  readonly subgroups: { readonly size: number; readonly count: number; readonly leftOver: number };
  readonly excluded: readonly {
    readonly reading: string;
    readonly reason: string;
    readonly by: string;
    /** When it was decided, ISO 8601 UTC. */
    readonly at: string;
  }[];
  readonly limits: { readonly low: number | null; readonly target: number | null; readonly high: number | null };
  readonly location: { readonly mean: number | null; readonly median: number | null };
  readonly spread: {
    readonly overall: number | null;
    readonly within: number | null;
    readonly withinMethod: WithinMethod;
    readonly degreesOfFreedom: { readonly overall: number | null; readonly within: number | null };
  };
  readonly indices: Readonly<Record<IndexName, IndexAnswer | null>>;
  readonly measurement: {
    readonly permissiblePercent: number | null;
    readonly accuracyRatio: number | null;
    readonly uncertaintyRatio: number | null;
    /** As shown by the tool; with a certificate its deviation is taken into account. */
    readonly guardLow: number | null;
    readonly guardHigh: number | null;
    /** The certificate that stands instead of the permissible deviation in the guard band; null: none. */
    readonly certificate: {
      readonly at: string;
      readonly expandedPercent: number;
      readonly deviationPercent: number;
    } | null;
    readonly ppkAtPermittedError: number | null;
    /** Readings proved inside, proved outside, or neither, each by its own tool's permitted error. */
    readonly proof: { readonly inside: number; readonly outside: number; readonly neither: number } | null;
  };
  readonly moreReadings: { readonly evenOdds: number | null; readonly ninetyPercent: number | null } | null;
  readonly model: {
    readonly name: StudyModelName;
    readonly parameters: Readonly<Record<string, number>>;
    readonly ranked: readonly RankedModel[];
    /** p of the chosen model's A² by parametric bootstrap with refitting, where it was asked for and could be made. */
    readonly fit: { readonly statistic: number; readonly p: number; readonly replicates: number } | null;
  };
  readonly normality: {
    readonly andersonDarling: { readonly statistic: number; readonly p: number; readonly atMost: boolean } | null;
    readonly shapiroWilk: { readonly statistic: number; readonly p: number } | null;
  };
  readonly outside: {
    readonly observed: {
      readonly count: number;
      readonly share: number | null;
      readonly low95: number | null;
      readonly high95: number | null;
    };
    readonly expectedPpm: {
      readonly value: number;
      readonly low95: number | null;
      readonly high95: number | null;
    } | null;
  };
  readonly stability: {
    readonly status: 'stable' | 'as-chance' | 'not-stable' | null;
    readonly signals: readonly { readonly rule: RunRule; readonly readings: readonly string[] }[];
    readonly center: number | null;
    readonly lower: number | null;
    readonly upper: number | null;
    /** The span that was chosen for centre and limits, civil times; null: all groups. */
    readonly baseline: {
      readonly from: string | null;
      readonly to: string | null;
      readonly points: number;
    } | null;
  };
  readonly outliers: readonly { readonly reading: string; readonly test: 'grubbs' | 'esd' }[];
  readonly verdict: {
    readonly requirement: { readonly index: IndexName; readonly value: number } | null;
    readonly judged: 'low-end' | 'estimate';
    readonly outcome: StudyOutcome;
    readonly withoutStability: 'shown' | 'not-shown-yet' | 'not-met' | null;
    readonly met: boolean | null;
    /** The outcome in words: "Not stable, and not shown." */
    readonly headline: string;
    readonly because: string;
  };
  readonly cautions: readonly string[];
  readonly working: Readonly<Record<string, WorkingAnswer>>;
  /** SHA-256 of the readings used and the choices, 64 hexadecimal digits. */
  readonly fingerprint: string;
  readonly seed: number | null;
  readonly replicates: number | null;
  readonly programVersion: string;
  /** Why an index is null, by its name. */
  readonly notComputed: Readonly<Record<string, string>>;
}

// ---------------------------------------------------------------------------------------------------------------
// Formulas as data: rendered as MathML on screen and in HTML, as text for copies and JSON

export type MathNode =
  /** A letter or name, set in italics; `over` draws a bar or a hat above. */
  | { readonly kind: 'symbol'; readonly text: string; readonly over?: 'bar' | 'hat' }
  | { readonly kind: 'number'; readonly text: string }
  /** `+`, `−`, `×`, `=`, `±`, `≥`, `(`, `)`, `,` … */
  | { readonly kind: 'operator'; readonly text: string }
  /** Upright words: function names (`min`, `Σ`), units. */
  | { readonly kind: 'words'; readonly text: string }
  | { readonly kind: 'row'; readonly of: readonly MathNode[] }
  | { readonly kind: 'fraction'; readonly over: MathNode; readonly under: MathNode }
  | { readonly kind: 'root'; readonly of: MathNode }
  | { readonly kind: 'power'; readonly base: MathNode; readonly exponent: MathNode }
  | { readonly kind: 'index'; readonly base: MathNode; readonly below: MathNode };

/** How a figure came about: the same on screen, in the report and in JSON. */
export interface Working {
  /** Key in `StudyModel.working`: index names, `mean`, `median`, `overall`, `within`, `controlLimits`, … */
  readonly figure: string;
  readonly title: Said;
  readonly symbol: MathNode;
  readonly value: number | null;
  /** Formula with the numbers put in, one line of `lines` a step: figure first, then its interval if it has one. */
  readonly lines: readonly {
    readonly caption: Said | null;
    readonly formula: MathNode;
    readonly withNumbers: MathNode;
  }[];
  readonly inputs: readonly { readonly symbol: MathNode; readonly text: string; readonly meaning: Said }[];
  readonly method: Said;
  readonly source: Said;
  /** Conditions that do not hold. */
  readonly unmet: readonly Said[];
  /** Whether "the readings" opens the readings used (a list of positions would be too long to carry). */
  readonly fromReadings: boolean;
}

// ---------------------------------------------------------------------------------------------------------------
// What is drawn

export const runRules = [
  'beyond-3-sigma',
  '9-on-one-side',
  '6-rising-or-falling',
  '14-alternating',
  '2-of-3-beyond-2-sigma',
  '4-of-5-beyond-1-sigma',
  '15-within-1-sigma',
  '8-beyond-1-sigma',
] as const;
export type RunRule = (typeof runRules)[number];

/** A reading on the run chart. */
export interface StudyMark {
  /** `<source>:<line>`. */
  readonly id: string;
  /** Position in the engine's columns when the answer was made. */
  readonly position: number;
  /** Place in the sequence, 0-based: left-out readings keep theirs. */
  readonly order: number;
  readonly value: number;
  readonly at: number | null;
  readonly atStepMs: number;
  readonly tool: string | null;
  readonly operator: string | null;
  /** Index in `groups`; null: fills no group. */
  readonly group: number | null;
  readonly leftOut: boolean;
  /** Outside the limits of the joint. */
  readonly outside: -1 | 0 | 1;
}

/** One point of the control chart: a group, or a single reading with groups of 1. */
export interface StudyGroup {
  readonly index: number;
  /** First and last place in the sequence. */
  readonly fromOrder: number;
  readonly toOrder: number;
  readonly at: number | null;
  /** Tool, revision and shift occurrence it lies in; groups with the same number share a stratum. */
  readonly stratum: number;
  /** Change of phase before this group (calibration, repair, limit revision, other tool). */
  readonly phase: number;
  readonly tool: string | null;
  /** Readings used of the full size. */
  readonly n: number;
  /** Null: every reading of the group was left out. */
  readonly mean: number | null;
  /** Null: fewer than 2 readings (or groups of 1: moving range, see `movingRange`). */
  readonly s: number | null;
  readonly range: number | null;
  /** Groups of 1: distance to the reading before within the same tool and phase. */
  readonly movingRange: number | null;
  /** Limits of the location chart for this group's own n; null: none. */
  readonly lower: number | null;
  readonly upper: number | null;
  /** Limits of the chart of spread. */
  readonly spreadLower: number | null;
  readonly spreadUpper: number | null;
  /** Names of signals that end here. */
  readonly signals: readonly RunRule[];
  /** Positions of the readings used in it, in the engine's columns. */
  readonly positions: readonly number[];
}

/** Where there are too many readings to draw each: a column of the run chart. */
export interface StudyBand {
  readonly fromOrder: number;
  readonly toOrder: number;
  readonly at: number | null;
  readonly n: number;
  readonly least: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
  readonly greatest: number;
}

export interface ControlChart {
  /** What a point is. */
  readonly kind: 'means' | 'singles';
  readonly size: number;
  readonly groupCount: number;
  readonly leftOver: number;
  readonly shortened: number;
  readonly center: number | null;
  /** For a full group. */
  readonly lower: number | null;
  readonly upper: number | null;
  readonly spread: {
    readonly kind: 's' | 'range' | 'moving-range';
    readonly center: number | null;
    readonly lower: number | null;
    readonly upper: number | null;
  };
  readonly status: 'stable' | 'as-chance' | 'not-stable' | null;
  /** The span that was chosen for centre and limits; null: all groups. */
  readonly baseline: { readonly from: number | null; readonly to: number | null; readonly points: number } | null;
  readonly signals: readonly {
    readonly rule: RunRule;
    /** Index in `groups` of the point that completes it. */
    readonly group: number;
    /** Mean at that point. */
    readonly value: number;
    readonly readings: readonly string[];
    readonly said: Said;
  }[];
  /** Signals in all when the list above was cut (at 200). */
  readonly signalCount: number;
  readonly rulesOn: readonly RunRule[];
  /** Points counted and what chance allows: for the sentence on stability. */
  readonly counts: {
    readonly points: number;
    readonly beyond: number;
    readonly beyondAllowed: number;
    readonly runs: number;
    readonly runsAllowed: number;
  };
  /** EWMA of the charted points (lambda 0.2, L 3, exact limits), same length as `groups` that have a mean. */
  readonly ewma: {
    readonly lambda: number;
    readonly width: number;
    readonly group: readonly number[];
    readonly value: readonly number[];
    readonly lower: readonly number[];
    readonly upper: readonly number[];
    readonly signalAt: readonly number[];
  } | null;
  /** Tabular CUSUM of the charted points in sigma (k 0.5, h 5, no head start). */
  readonly cusum: {
    readonly k: number;
    readonly h: number;
    readonly group: readonly number[];
    readonly high: readonly number[];
    readonly low: readonly number[];
    readonly signalAt: readonly number[];
  } | null;
}

export interface Histogram {
  readonly width: number;
  /** Edges of the bins, one more than `counts`. */
  readonly edges: readonly number[];
  readonly counts: readonly number[];
  /** Expected count per bin width along the axis, from the chosen model; empty: no model. */
  readonly curve: readonly { readonly x: number; readonly y: number }[];
}

export interface ProbabilityPlot {
  readonly model: StudyModelName;
  /** Distance along the probability axis (standard normal scores of the plotting positions). */
  readonly points: readonly { readonly score: number; readonly value: number; readonly position: number }[];
  /** Fitted line, and the 95 % band point by point. */
  readonly line: readonly { readonly score: number; readonly value: number }[];
  readonly band: readonly { readonly score: number; readonly low: number; readonly high: number }[];
  /** True when points are thinned (ends always kept). */
  readonly thinned: boolean;
}

export interface IndexRow {
  readonly name: IndexName;
  readonly value: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly method: 'normal' | 'percentile';
  /** Requirement where it applies to this index. */
  readonly required: number | null;
  /** Not computed: why. Also set beside values that hold only under a condition. */
  readonly note: Said | null;
  /** False: would hold only if stable. */
  readonly holds: boolean;
}

export interface OfferedModel {
  readonly name: StudyModelName;
  readonly title: Said;
  /** False: cannot be chosen or does not fit; `why` says it. */
  readonly offered: boolean;
  readonly why: Said | null;
  readonly aicc: number | null;
  readonly ad: number | null;
  readonly logLikelihood: number | null;
  readonly parameters: Readonly<Record<string, number>> | null;
  readonly chosen: boolean;
  readonly recommended: boolean;
  /** p of A² by bootstrap, of the chosen model only and where it was asked for; null: not made. */
  readonly fitP: number | null;
}

/** Readings split by one factor: for the mixture warning. */
export interface StratumRow {
  readonly name: string;
  readonly n: number;
  readonly mean: number;
  readonly s: number | null;
  readonly median: number;
  /** The middle 90 % of the readings: their 5 % and 95 % points. */
  readonly low: number;
  readonly high: number;
}

export interface StrataTable {
  readonly by: 'tool' | 'operator' | 'shift';
  readonly rows: readonly StratumRow[];
  /**
   * What the tests compare: single readings where all lie in one block (shift or day), else means of cells (tool x
   * operator x block), since the readings of one shift share its luck.
   */
  readonly basis: { readonly kind: 'readings' | 'cells'; readonly count: number };
  /** Welch's test of equal means and Brown-Forsythe's of equal spread; null where they cannot be computed. */
  readonly welchP: number | null;
  readonly kruskalWallisP: number | null;
  readonly brownForsytheP: number | null;
  /** Largest difference of means with its 95 % interval. */
  readonly largest: {
    readonly first: string;
    readonly second: string;
    readonly difference: number;
    readonly low95: number | null;
    readonly high95: number | null;
  } | null;
  /** Share of the variance that lies between the rows, 0..1. */
  readonly shareBetween: number | null;
  /** True: p < 0.01 and at least 2 rows that can be compared: stratify. */
  readonly mixture: boolean;
}

/** A reading listed in the report, in its group. */
export interface ListedGroup {
  readonly group: number | null;
  readonly values: readonly {
    readonly text: string;
    readonly value: number;
    readonly leftOut: boolean;
    readonly id: string;
  }[];
  readonly mean: number | null;
  readonly s: number | null;
  readonly signal: boolean;
}

export interface LeftOutRow {
  readonly id: string;
  readonly position: number;
  readonly value: number | null;
  readonly at: number | null;
  readonly atStepMs: number;
  readonly reason: string;
  readonly by: string;
  readonly decidedMs: number;
  readonly change: number;
  /** The person who decided is the operator of the reading. */
  readonly byOwnOperator: boolean;
}

export interface StudySource {
  readonly id: number;
  readonly name: string;
  readonly sha256: string;
  readonly readings: number;
}

/** Limits tried out. Always shown with `said`; never enters the verdict, the answer or the report's table. */
export interface WhatIf {
  readonly hypothetical: true;
  readonly low: number | null;
  readonly high: number | null;
  readonly indices: readonly IndexRow[];
  readonly outsideCount: number;
  readonly expectedPpm: number | null;
  readonly said: Said;
}

export interface ToolInStudy {
  readonly serial: string;
  readonly n: number;
  readonly permissiblePercent: number | null;
  /** Newest check: mean deviation in percent. */
  readonly latestCheck: {
    readonly at: number;
    readonly deviationPercent: number;
    readonly passed: boolean | null;
  } | null;
  readonly calibratedOn: number | null;
  readonly calibrationDue: number | null;
  readonly overdue: boolean;
  readonly status: 'in-use' | 'quarantined' | 'retired';
}

/** Named figures of a study, for comparing a saved one with a new run. */
export type StudyFigures = Readonly<Record<string, number | string | null>>;

/** A study kept under a name: choices, never figures alone. */
export interface SavedStudy {
  readonly id: number;
  readonly name: string;
  readonly choices: StudyChoices;
  readonly savedMs: number;
  readonly by: string;
  readonly fingerprint: string;
  readonly figures: StudyFigures;
  readonly programVersion: string;
  /** What its joint was called when it was saved, where `choices` name it otherwise: renamed or merged since. */
  readonly savedAs?: string;
}

/** What differs between a saved study and its run today. */
export interface StudyChange {
  readonly same: boolean;
  readonly said: Said;
  readonly changed: readonly {
    readonly figure: string;
    readonly before: number | string | null;
    readonly now: number | string | null;
  }[];
}

/** What the study screen needs. `answer` is null only when there is nothing to study; `state` says why. */
export interface StudyModel {
  readonly choices: StudyChoices;
  readonly state:
    | { readonly kind: 'ready' }
    /** Too few for indices: chart and description are there. */
    | { readonly kind: 'too-few'; readonly said: Said }
    /** No joint chosen or unknown: candidates with enough readings, most first. */
    | { readonly kind: 'choose-joint'; readonly said: Said }
    | { readonly kind: 'nothing'; readonly said: Said }
    /** No values, only pass or fail. */
    | { readonly kind: 'attribute-only'; readonly said: Said };
  /** Joints that have readings in the scope, most first (at most 200). */
  readonly joints: readonly { readonly name: string; readonly readings: number; readonly class: string | null }[];
  /** Tools with readings of this joint in the period, whatever tools are chosen. */
  readonly toolsOffered: readonly { readonly serial: string; readonly readings: number }[];
  readonly answer: StudyAnswer | null;
  readonly unit: StudyUnit;
  /** Decimals that readings and limits are printed with. */
  readonly decimals: number;
  readonly verdict: {
    readonly outcome: StudyOutcome;
    /** "Not stable, and not shown." */
    readonly headline: Said;
    readonly because: Said;
    /** "Before more readings: …"; null when nothing is to be added. */
    readonly next: Said | null;
    /** "Of shown, not applied torque. …". */
    readonly measurement: Said;
    /** For the glyph: interval of the required index against the requirement. */
    readonly glyph: {
      readonly value: number;
      readonly low95: number | null;
      readonly high95: number | null;
      readonly required: number;
    } | null;
  };
  readonly cautions: readonly Said[];
  readonly scopeFacts: {
    readonly joint: string;
    readonly jointClass: string | null;
    readonly from: number | null;
    readonly to: number | null;
    readonly shifts: readonly string[];
    readonly tools: readonly ToolInStudy[];
    readonly operators: readonly string[];
    /** Candidates before exclusions, used, left out, of other revisions, of further tries, without a value, other direction. */
    readonly counts: {
      readonly inScope: number;
      readonly used: number;
      readonly leftOut: number;
      readonly otherRevisions: number;
      readonly furtherTries: number;
      readonly noValue: number;
      readonly otherDirection: number;
    };
    readonly limitsRevision: { readonly label: string; readonly from: number } | null;
    readonly requirement: {
      readonly index: IndexName;
      readonly value: number;
      readonly from: 'class' | 'chosen';
    } | null;
    readonly said: {
      readonly limits: Said;
      readonly groups: Said;
      readonly distribution: Said;
      readonly indicesCaption: Said;
    };
  };
  readonly limits: { readonly low: number | null; readonly target: number | null; readonly high: number | null };
  readonly chart: ControlChart;
  /** Empty when `bands` is used. Left-out readings included, marked. */
  readonly marks: readonly StudyMark[];
  /** Used instead of marks above `studyMarksMost` readings. */
  readonly bands: readonly StudyBand[];
  /** At most `studyMarksMost`; where there are more, `groupsThinned` is true and only points with signals and every k-th are kept. */
  readonly groups: readonly StudyGroup[];
  readonly groupsThinned: boolean;
  readonly histogram: Histogram | null;
  readonly probabilityPlot: ProbabilityPlot | null;
  readonly indices: readonly IndexRow[];
  /** The percentile results of the best other model beside the normal ones where they differ by more than 0.05. */
  readonly beside: {
    readonly model: StudyModelName;
    readonly Pp: number | null;
    readonly Ppk: number | null;
    readonly said: Said;
  } | null;
  readonly models: readonly OfferedModel[];
  readonly strata: readonly StrataTable[];
  readonly outliers: readonly {
    readonly id: string;
    readonly position: number;
    readonly value: number;
    readonly test: 'grubbs' | 'esd';
  }[];
  readonly leftOut: readonly LeftOutRow[];
  /** "With both put back, Ppk would be 1.32." */
  readonly leftOutEffect: Said | null;
  readonly whatIf: WhatIf | null;
  readonly working: Readonly<Record<string, Working>>;
  /** Every reading in its group, up to `studyListedMost`; above that empty and the report attaches a file. */
  readonly listed: readonly ListedGroup[];
  readonly sources: readonly StudySource[];
  readonly fingerprint: string | null;
  /**
   * The fingerprints this very study would have under names its joint had before, by name; only where a saved study was
   * saved under such a name. The joint's name is part of a fingerprint (definitions 18).
   */
  readonly formerFingerprints?: Readonly<Record<string, string>>;
  readonly seed: number | null;
  readonly replicates: number | null;
  readonly programVersion: string;
  /** Sentences on usage, standards and sources, in the order of the report. */
  readonly methodNotes: readonly Said[];
  /** Figures to keep with a saved study. */
  readonly figures: StudyFigures;
}
