/** The fingerprint of a study: which readings, which choices (definitions 18). */
import type { StudyChoices } from '../contract/calls.ts';
import type { WithinMethod } from '../contract/models/study-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Limits } from '../stats/capability-indices.ts';
import { plainDecimal } from '../text/format.ts';

export interface FingerprintChoices {
  readonly joint: string;
  readonly of: StudyChoices['of'];
  readonly attempts: StudyChoices['attempts'];
  readonly within: WithinMethod;
  readonly subgroup: number;
  readonly model: StudyChoices['model'];
  readonly limits: Limits;
  readonly requirement: { readonly index: string; readonly value: number } | null;
  /** Span of the baseline that was chosen; without one the text has no such line. */
  readonly baseline?: StudyChoices['baseline'];
}

type NamedReading = { readonly source: string; readonly line: number; readonly value: number };

/**
 * The text whose SHA-256 is the fingerprint: one line a reading used, in order, then one line a choice, each ended by LF.
 *
 * @param readings `<sha256 of the source>`, line and value in the unit of the limits
 */
export function fingerprintText(readings: Iterable<NamedReading>, choices: FingerprintChoices): string {
  return [...fingerprintParts(readings, choices)].join('');
}

/** The same text in parts of some thousand lines: a million readings make 85 MB of it, which need not be held at once. */
export function* fingerprintParts(readings: Iterable<NamedReading>, choices: FingerprintChoices): Generator<string> {
  // Readings are rounded, so few values come many times: their text is made once.
  const texts = new Map<number, string>();
  let part = '';
  let lines = 0;
  for (const { source, line, value } of readings) {
    let text = texts.get(value);
    if (text === undefined) {
      text = `${plainDecimal(value)}\n`;
      if (texts.size < 100_000) texts.set(value, text);
    }
    part += `${source}:${line}:${text}`;
    if (++lines === 4096) {
      yield part;
      part = '';
      lines = 0;
    }
  }
  const number = (value: number | null): string => (value === null ? '' : plainDecimal(value));
  const { requirement } = choices;
  const last = [
    `joint=${choices.joint}`,
    `of=${choices.of}`,
    `attempts=${choices.attempts}`,
    `within=${choices.within}`,
    `subgroup=${choices.subgroup}`,
    `model=${choices.model}`,
    `low=${number(choices.limits.low)}`,
    `target=${number(choices.limits.target)}`,
    `high=${number(choices.limits.high)}`,
    `requirement=${requirement === null ? '' : `${requirement.index}=${plainDecimal(requirement.value)}`}`,
    ...(choices.baseline ? [`baseline=${number(choices.baseline.from)}/${number(choices.baseline.to)}`] : []),
  ];
  yield `${part}${last.join('\n')}\n`;
}

/** Names of the readings used, from the columns. */
export function* usedReadings(
  plant: Plant,
  positions: Uint32Array,
  used: Uint8Array,
  values: Float64Array,
): Generator<{ source: string; line: number; value: number }> {
  const { readings } = plant;
  const sha = new Map(plant.sources.map((source) => [source.id, source.sha256]));
  for (let k = 0; k < positions.length; k++) {
    if (used[k] !== 1) continue;
    const i = positions[k]!;
    yield { source: sha.get(readings.source[i]!) ?? '', line: readings.line[i]!, value: values[k]! };
  }
}

/** The seed of a study's random numbers: the first 32 bits of its fingerprint. */
export function fingerprintSeed(fingerprint: string): number {
  return Number.parseInt(fingerprint.slice(0, 8), 16);
}
