import type { Plant } from '../readings/plant.ts';
import { type Said, said } from '../text/said.ts';
import type { Cause } from './causes.ts';
import { fastenerRate } from './fastener-rates.ts';
import type { ReviewTally } from './review-tally.ts';

/** A tool stands out when it made at least this many readings of the most frequent cause, all of them or nearly. */
const leastToStandOut = 3;

/** The finding of Review: the rate with its interval, the most frequent cause, what is missing or cannot be judged. */
export function reviewFinding(
  plant: Plant,
  tally: ReviewTally,
  causes: readonly Cause[],
  missing: { count: number; batches: number },
): { said: Said[]; tool: number } {
  const sentences: Said[] = [];
  const rate = fastenerRate(tally.fasteners, tally.firstJudged, tally.firstPassed);
  if (rate.share === null) sentences.push(said('review.finding-none-judged', { fasteners: tally.fasteners }));
  else {
    sentences.push(
      said('review.finding-rate', {
        judged: rate.judged,
        fasteners: rate.fasteners,
        share: rate.share,
        low95: rate.low95 ?? 0,
        high95: rate.high95 ?? 1,
      }),
    );
  }
  const failing = causes.filter((cause) => cause.bits !== 0);
  const total = failing.reduce((sum, cause) => sum + cause.readings.length, 0);
  const top = failing[0];
  let tool = -1;
  if (top === undefined) {
    if (rate.judged > 0) sentences.push(said('review.finding-all-inside', { last: rate.judged }));
  } else if (failing.length > 2 && top.readings.length === 1) {
    sentences.push(said('review.finding-many', { failing: total, causes: failing.length }));
  } else {
    const one = singleTool(plant, top.readings);
    sentences.push(
      said('review.finding-top', {
        failing: total,
        count: top.readings.length,
        joint: plant.register.joints[top.joint]?.name ?? null,
        reasons: top.reasons,
        tool: plant.register.tools[one]?.serial ?? null,
      }),
    );
    tool = standsOut(plant, top.readings);
  }
  if (missing.count > 0) {
    sentences.push(said('review.finding-missing', { missing: missing.count, batches: missing.batches }));
  }
  const unset = causes.filter((cause) => cause.clockUnset);
  if (unset.length > 0) {
    const times = unset.map((cause) => plant.readings.at[cause.readings[0]!]!);
    sentences.push(
      said('review.finding-clock-unset', {
        count: unset.reduce((sum, cause) => sum + cause.readings.length, 0),
        at: Math.min(...times),
      }),
    );
  }
  const unjudged = causes.filter((cause) => cause.unjudgedBecause === 'no-limits' && !cause.clockUnset);
  const withoutLimits = unjudged.find((cause) => cause.joint >= 0);
  const withoutJoint = unjudged.find((cause) => cause.joint < 0);
  if (withoutLimits) {
    const joint = plant.register.joints[withoutLimits.joint];
    sentences.push(
      said(joint?.confirmed === false ? 'review.finding-unknown-joint' : 'review.finding-no-limits', {
        joint: joint?.name ?? '',
        count: withoutLimits.readings.length,
      }),
    );
  } else if (withoutJoint && rate.judged === 0) {
    sentences.push(said('review.finding-no-joint', { count: withoutJoint.readings.length }));
  }
  return { said: sentences, tool };
}

/** The tool that made all of these readings, or -1. */
function singleTool(plant: Plant, readings: Uint32Array): number {
  const { tool } = plant.readings;
  const first = tool[readings[0]!]!;
  return readings.every((i) => tool[i] === first) ? first : -1;
}

/** The tool that made at least four fifths of these readings, and no fewer than three; or -1. */
function standsOut(plant: Plant, readings: Uint32Array): number {
  const counts = new Map<number, number>();
  for (const i of readings) {
    const tool = plant.readings.tool[i]!;
    counts.set(tool, (counts.get(tool) ?? 0) + 1);
  }
  const most = [...counts].sort((a, b) => b[1] - a[1])[0];
  return most && most[1] >= leastToStandOut && most[1] >= 0.8 * readings.length ? most[0] : -1;
}
