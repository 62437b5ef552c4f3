/** What a large file's rows are worth a notice for, found in one pass. */
import type { ReviewNotice } from '#core/contract/models/review-model.ts';
import type { Plant } from '#core/readings/plant.ts';
import { ownDiffers } from '#core/readings/reading-row.ts';
import { said } from '#core/text/said.ts';
import { newtonMetresPer, torqueUnitCodes } from '#core/units/torque-unit.ts';

/** Lines that a notice names. */
export const namedLines = 20;

/** The notices that need no order and no chains, in one pass. */
export function plainNotices(plant: Plant): Pick<ReviewNotice, 'kind' | 'said' | 'count' | 'readings'>[] {
  const { readings, judged, register } = plant;
  const found = { 'other-direction': [] as number[], 'on-limit': [] as number[], 'own-result-differs': [] as number[] };
  const counts = { 'other-direction': 0, 'on-limit': 0, 'own-result-differs': 0, 'beyond-range': 0 };
  const beyond: number[] = [];
  const range = register.tools.map((tool) => {
    const factor = tool.unit === null ? Number.NaN : newtonMetresPer[tool.unit];
    return [
      tool.min === null ? Number.NEGATIVE_INFINITY : tool.min * factor * (1 - 1e-9),
      tool.max === null ? Number.POSITIVE_INFINITY : tool.max * factor * (1 + 1e-9),
    ] as const;
  });
  const see = (kind: keyof typeof found, i: number): void => {
    counts[kind]++;
    if (found[kind].length < namedLines) found[kind].push(i);
  };
  for (let i = 0; i < readings.length; i++) {
    if (judged.unjudgedBecause[i] === 1) see('other-direction', i);
    if (judged.onLimit[i] === 1) see('on-limit', i);
    if (readings.own[i] !== 0 && ownDiffers(plant, i)) see('own-result-differs', i);
    const marked = range[readings.tool[i]!];
    if (!marked) continue;
    const torque = Math.abs(readings.torque[i]!) * factorOfUnit[readings.unit[i]!]!;
    if (torque < marked[0] || torque > marked[1]) {
      counts['beyond-range']++;
      if (beyond.length < namedLines) beyond.push(i);
    }
  }
  const names = (list: readonly number[]): string[] => list.map((i) => `0:${readings.line[i]}`);
  return [
    {
      kind: 'own-result-differs',
      count: counts['own-result-differs'],
      said: said('review.notice-own-differs', { count: counts['own-result-differs'] }),
      readings: names(found['own-result-differs']),
    },
    {
      kind: 'other-direction',
      count: counts['other-direction'],
      said: said('review.notice-other-direction', { count: counts['other-direction'] }),
      readings: names(found['other-direction']),
    },
    {
      kind: 'on-limit',
      count: counts['on-limit'],
      said: said('review.notice-on-limit', { count: counts['on-limit'] }),
      readings: names(found['on-limit']),
    },
    {
      kind: 'beyond-range',
      count: counts['beyond-range'],
      said: said('review.notice-beyond-range', { count: counts['beyond-range'] }),
      readings: names(beyond),
    },
  ].filter((notice) => notice.count > 0);
}

const factorOfUnit = Float64Array.from(torqueUnitCodes, (code) => newtonMetresPer[code]);
