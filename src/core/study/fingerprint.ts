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
}

/**
 * The text whose SHA-256 is the fingerprint: one line a reading used, in order, then one line a choice, each ended by LF.
 *
 * @param readings `<sha256 of the source>`, line and value in the unit of the limits
 */
export function fingerprintText(
  readings: Iterable<{ readonly source: string; readonly line: number; readonly value: number }>,
  choices: FingerprintChoices,
): string {
  const lines: string[] = [];
  const block: string[] = [];
  // Readings are rounded, so few values come many times: their text is made once.
  const texts = new Map<number, string>();
  for (const { source, line, value } of readings) {
    let text = texts.get(value);
    if (text === undefined) {
      text = plainDecimal(value);
      if (texts.size < 100_000) texts.set(value, text);
    }
    block.push(`${source}:${line}:${text}\n`);
    // Joined in blocks: a million short strings kept until the end would burden the memory for nothing.
    if (block.length === 4096) {
      lines.push(block.join(''));
      block.length = 0;
    }
  }
  lines.push(block.join(''));
  const number = (value: number | null): string => (value === null ? '' : plainDecimal(value));
  const { requirement } = choices;
  lines.push(
    `joint=${choices.joint}\n`,
    `of=${choices.of}\n`,
    `attempts=${choices.attempts}\n`,
    `within=${choices.within}\n`,
    `subgroup=${choices.subgroup}\n`,
    `model=${choices.model}\n`,
    `low=${number(choices.limits.low)}\n`,
    `target=${number(choices.limits.target)}\n`,
    `high=${number(choices.limits.high)}\n`,
    `requirement=${requirement === null ? '' : `${requirement.index}=${plainDecimal(requirement.value)}`}\n`,
  );
  return lines.join('');
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
