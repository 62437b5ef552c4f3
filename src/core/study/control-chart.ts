import { type ControlChart, studyMarksMost } from '../contract/models/study-model.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { defaultRunRules, runRuleNames } from '../stats/run-rules.ts';
import { said } from '../text/said.ts';
import type { Study } from './study.ts';
import { readingsOfSignal } from './study-answer.ts';

/** Signals listed at most. */
const signalsMost = 200;

/** The control chart as the screen is sent it; EWMA and CUSUM only while the points are few enough to draw. */
export function controlChart(plant: Plant, study: Study): ControlChart {
  const { chart, readings } = study;
  const groupIndex = (p: number): number => {
    return (chart.singles ? chart.points.fromOrder : chart.points.group)[p]!;
  };
  const short = chart.points.length <= studyMarksMost;
  return {
    kind: chart.singles ? 'singles' : 'means',
    size: study.subgroup,
    groupCount: study.groupCount,
    leftOver: study.leftOver,
    shortened: study.shortened,
    center: chart.center,
    lower: chart.lower,
    upper: chart.upper,
    spread: {
      kind: chart.spreadKind,
      center: chart.spreadCenter,
      lower: chart.spreadLower,
      upper: chart.spreadUpper,
    },
    status: chart.stability?.status ?? null,
    baseline: chart.baseline,
    signals: chart.signals.slice(0, signalsMost).map((signal) => {
      const value = chart.points.mean[signal.at]!;
      return {
        rule: signal.rule,
        group: groupIndex(signal.at),
        value,
        readings: readingsOfSignal(study, signal.from, signal.at)
          .slice(0, 100)
          .map((order) => readingName(plant.readings, readings.positions[order]!)),
        said: said('study.signal', { rule: signal.rule, value, decimals: readings.decimals, singles: chart.singles }),
      };
    }),
    signalCount: chart.signals.length,
    rulesOn: runRuleNames.filter((rule) => defaultRunRules.includes(rule)),
    counts: {
      points: chart.points.length,
      beyond: chart.beyond,
      beyondAllowed: chart.stability?.beyondAllowed ?? 0,
      runs: chart.runs,
      runsAllowed: chart.stability?.runsAllowed ?? 0,
    },
    ewma:
      chart.ewma && short
        ? {
            lambda: 0.2,
            width: 3,
            group: Array.from(chart.points.group, (_, p) => groupIndex(p)),
            value: Array.from(chart.ewma.z),
            lower: Array.from(chart.ewma.lower),
            upper: Array.from(chart.ewma.upper),
            signalAt: chart.ewma.signals.map(groupIndex),
          }
        : null,
    cusum:
      chart.cusum && short
        ? {
            k: 0.5,
            h: 5,
            group: Array.from(chart.points.group, (_, p) => groupIndex(p)),
            high: Array.from(chart.cusum.high),
            low: Array.from(chart.cusum.low),
            signalAt: chart.cusum.signals.map(groupIndex),
          }
        : null,
  };
}
