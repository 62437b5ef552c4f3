/** A study as numbers: what it was computed from and everything that came out. */
import type { StudyChoices } from '../contract/calls.ts';
import type { IndexName, WithinMethod } from '../contract/models/study-model.ts';
import type { Computed } from '../outcome.ts';
import type { AndersonDarling } from '../stats/anderson-darling.ts';
import type { ChartLimits } from '../stats/control-limits.ts';
import type { cusumChart } from '../stats/cusum.ts';
import type { ewmaChart } from '../stats/ewma.ts';
import type { FittedModel, ModelName } from '../stats/fitted-model.ts';
import type { Certificate } from '../stats/guard-band.ts';
import type { MoreReadings } from '../stats/more-readings.ts';
import type { BootstrapResult } from '../stats/parametric-bootstrap.ts';
import type { PercentileIndices } from '../stats/percentile-indices.ts';
import type { Judgement } from '../stats/requirement-verdict.ts';
import type { RunSignal } from '../stats/run-rules.ts';
import type { SampleMoments } from '../stats/sample-moments.ts';
import type { StabilityCount } from '../stats/stability-by-count.ts';
import type { GroupFigures } from '../stats/subgroups.ts';
import type { MovingRanges, WithinSigma } from '../stats/within-sigma.ts';
import type { StudyReadings } from './study-readings.ts';
import type { UsedOrigin } from './used-origin.ts';

export interface IndexFigure {
  readonly value: number;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly method: 'normal' | 'percentile';
}

export interface ModelFit {
  readonly name: ModelName;
  readonly model: FittedModel | null;
  readonly aicc: number | null;
  readonly ad: number | null;
  /** Catalogue key of the reason when it does not fit or is not offered. */
  readonly why:
    | null
    | 'study.model-needs-positive'
    | 'study.model-no-maximum'
    | 'study.model-needs-many'
    | 'study.model-too-many'
    | 'study.model-needs-25'
    | 'study.model-no-spread';
}

/** Points of the control chart, one array a field: there may be a million. */
export interface ChartPoints {
  readonly length: number;
  /** Group number; with single readings the place among the used ones. */
  readonly group: Int32Array;
  /** Readings in it. */
  readonly n: Int32Array;
  readonly mean: Float64Array;
  readonly phase: Int32Array;
  /** First place in the sequence. */
  readonly fromOrder: Int32Array;
}

/** The groups that set centre and limits, where the user chose a span for them. */
export interface ChartBaseline {
  readonly from: number | null;
  readonly to: number | null;
  /** Points in it. */
  readonly points: number;
}

export interface ChartFigures {
  /** Groups, or single readings. */
  readonly singles: boolean;
  /** Null: every point is in the baseline. */
  readonly baseline: ChartBaseline | null;
  /** Sigma within groups that the limits rest on: that of the study, or of the baseline. Null: too few points. */
  readonly sigma: number | null;
  readonly points: ChartPoints;
  /** Limits of a point by the number of its readings; empty without sigma. */
  readonly limitsBySize: ReadonlyMap<number, ChartLimits>;
  readonly center: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly spreadKind: 's' | 'range' | 'moving-range';
  readonly spreadCenter: number | null;
  readonly spreadLower: number | null;
  readonly spreadUpper: number | null;
  readonly signals: readonly RunSignal[];
  readonly stability: StabilityCount | null;
  readonly beyond: number;
  readonly runs: number;
  readonly ewma: ReturnType<typeof ewmaChart> | null;
  readonly cusum: ReturnType<typeof cusumChart> | null;
  /** Mean moving range of the points / 1.128: sigma of EWMA and CUSUM. */
  readonly pointSigma: number | null;
}

export interface Study {
  readonly choices: StudyChoices;
  readonly readings: StudyReadings;
  readonly within: WithinMethod;
  readonly subgroup: number;
  readonly requirement: { readonly index: IndexName; readonly value: number; readonly from: 'class' | 'chosen' } | null;
  /** Values used, in order. */
  readonly values: Float64Array;
  /** Place in the sequence of each used value. */
  readonly orderOf: Int32Array;
  readonly origin: UsedOrigin;
  readonly sorted: Float64Array;
  readonly moments: SampleMoments | null;
  readonly median: number | null;
  readonly step: number;
  readonly decimalStep: number;
  /** 6 s / h. */
  readonly resolution: number | null;
  readonly groupOf: Int32Array;
  readonly groupCount: number;
  readonly leftOver: number;
  readonly shortened: number;
  readonly groups: GroupFigures;
  readonly moving: MovingRanges;
  readonly withinSigma: Computed<WithinSigma>;
  readonly indices: Readonly<Record<IndexName, Computed<IndexFigure>>>;
  readonly fits: readonly ModelFit[];
  readonly chosenFit: FittedModel | null;
  readonly recommended: ModelName | null;
  readonly percentile: PercentileIndices | null;
  readonly bootstrap: BootstrapResult | null;
  readonly bootstrapBound: number | null;
  readonly andersonDarling: Computed<AndersonDarling>;
  readonly shapiroWilk: Computed<{ statistic: number; p: number }>;
  readonly outsideCount: number;
  readonly outsideInterval: { low: number; high: number } | null;
  readonly expected: { value: number; low95: number | null; high95: number | null } | null;
  readonly chart: ChartFigures;
  /** One-way F between groups: p, for the independence of readings. */
  readonly betweenGroupsP: number | null;
  readonly outliers: readonly { order: number; test: 'grubbs' | 'esd' }[];
  /** Grubbs' statistic on normal scores of the chosen model; null: not tested. */
  readonly grubbs: { readonly statistic: number; readonly critical: number } | null;
  readonly measurement: {
    /** Positions of the tools in the register. */
    readonly tools: readonly number[];
    readonly permissible: number | null;
    readonly several: boolean;
    readonly accuracyRatio: number | null;
    readonly uncertaintyRatio: number | null;
    /** Of the one tool of the study: it stands instead of the permissible deviation in the guard band. */
    readonly certificate: StudyCertificate | null;
    readonly guardLow: number | null;
    readonly guardHigh: number | null;
    /** False: the tool cannot prove this window. */
    readonly provable: boolean;
    readonly atError: { high: number; low: number; smaller: number } | null;
    /** Readings that their own tool's permitted error leaves proved inside, proved outside, or neither; null: not known. */
    readonly proof: { readonly inside: number; readonly outside: number; readonly neither: number } | null;
  };
  readonly more: MoreReadings | null;
  readonly judgement: Judgement | null;
  readonly outcome: Judgement | 'not-stable' | 'not-computed';
  readonly met: boolean | null;
  readonly fingerprint: string;
  readonly seed: number | null;
}

export interface StudyCertificate extends Certificate {
  readonly at: number;
}
