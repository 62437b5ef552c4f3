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
  const lines: string[] = [];
  for (const { source, line, value } of readings) lines.push(`${source}:${line}:${plainDecimal(value)}\n`);
  return lines.join('') + choiceLines(choices);
}

/** The lines of the choices, which end the text. */
function choiceLines(choices: FingerprintChoices): string {
  const number = (value: number | null): string => (value === null ? '' : plainDecimal(value));
  const { requirement } = choices;
  const lines = [
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
  return `${lines.join('\n')}\n`;
}

/** Names of the readings used, from the columns. */
export function* usedReadings(
  plant: Plant,
  positions: Uint32Array,
  used: Uint8Array,
  values: Float64Array,
): Generator<NamedReading> {
  const { readings } = plant;
  const sha = new Map(plant.sources.map((source) => [source.id, source.sha256]));
  for (let k = 0; k < positions.length; k++) {
    if (used[k] !== 1) continue;
    const i = positions[k]!;
    yield { source: sha.get(readings.source[i]!) ?? '', line: readings.line[i]!, value: values[k]! };
  }
}

/** Bytes handed over at a time, and room for one line more: a hash, ten digits of line, and a number. */
const partBytes = 1 << 18;
const longestLine = 512;

/**
 * The text of `fingerprintText` over the readings used, as bytes, part by part: a million readings make 80 MB of it. ASCII,
 * but for the last part, which is text.
 *
 * Every part is in the same memory: it must be used before the next is asked for.
 *
 * @param decimals most decimals of a value; values with more are written all the same, only slower
 */
export function* fingerprintParts(
  plant: Plant,
  used: { readonly positions: Uint32Array; readonly used: Uint8Array; readonly values: Float64Array },
  decimals: number,
  choices: FingerprintChoices,
): Generator<Uint8Array | string> {
  const { source: sourceOf, line: lineOf } = plant.readings;
  const { positions, values } = used;
  const shaOf = new Map(plant.sources.map((source) => [source.id, source.sha256]));
  const part = new Uint8Array(partBytes + longestLine);
  const scale = 10 ** decimals;
  // Readings are rounded, so few values come many times: text that must be made is made once.
  const texts = new Map<number, string>();
  let source = Number.NaN;
  let prefix: Uint8Array = new Uint8Array(0);
  let at = 0;
  for (let k = 0; k < positions.length; k++) {
    if (used.used[k] !== 1) continue;
    const i = positions[k]!;
    if (sourceOf[i] !== source) {
      source = sourceOf[i]!;
      const sha = `${shaOf.get(source) ?? ''}:`;
      prefix = new Uint8Array(sha.length);
      putText(prefix, 0, sha);
    }
    part.set(prefix, at);
    at += prefix.length;
    at = putWhole(part, at, lineOf[i]!);
    part[at++] = 58;
    const value = values[k]!;
    const steps = Math.round(value * scale);
    if (steps / scale === value && steps < mostSteps && steps >= 0) {
      at = putDecimal(part, at, steps, decimals);
    } else {
      let text = texts.get(value);
      if (text === undefined) {
        text = plainDecimal(value);
        if (texts.size < 100_000) texts.set(value, text);
      }
      at = putText(part, at, text);
    }
    part[at++] = 10;
    if (at >= partBytes) {
      yield part.subarray(0, at);
      at = 0;
    }
  }
  yield part.subarray(0, at);
  yield choiceLines(choices);
}

/** Below ten digits: a double has one decimal text of so many, and it is the shortest. */
const mostSteps = 2 ** 31;

function putText(part: Uint8Array, at: number, ascii: string): number {
  let to = at;
  for (let c = 0; c < ascii.length; c++) part[to++] = ascii.charCodeAt(c);
  return to;
}

/** A whole number from 0 to 2^31 - 1. */
function putWhole(part: Uint8Array, at: number, value: number): number {
  let digits = 1;
  for (let power = 10; digits < 10 && value >= power; power *= 10) digits++;
  let rest = value | 0;
  for (let to = at + digits - 1; to >= at; to--) {
    const next = (rest / 10) | 0;
    part[to] = 48 + rest - next * 10;
    rest = next;
  }
  return at + digits;
}

/** `steps` / 10^decimals without zeros at the end; steps as in `putWhole`. */
function putDecimal(part: Uint8Array, at: number, steps: number, decimals: number): number {
  let rest = steps | 0;
  let places = decimals;
  while (places > 0 && rest % 10 === 0) {
    rest = (rest / 10) | 0;
    places--;
  }
  if (places === 0) return putWhole(part, at, rest);
  let power = 10;
  for (let place = 1; place < places; place++) power *= 10;
  const whole = (rest / power) | 0;
  const point = putWhole(part, at, whole);
  part[point] = 46;
  rest -= whole * power;
  for (let to = point + places; to > point; to--) {
    const next = (rest / 10) | 0;
    part[to] = 48 + rest - next * 10;
    rest = next;
  }
  return point + 1 + places;
}

/** The seed of a study's random numbers: the first 32 bits of its fingerprint. */
export function fingerprintSeed(fingerprint: string): number {
  return Number.parseInt(fingerprint.slice(0, 8), 16);
}
