/** All files of the sample as bytes, by path under sample-data/. Pure: the same bytes on every machine. */
import type { WrittenDump } from './dump-layouts.ts';
import { plantRegister } from './plant-register.ts';
import { plantedTruth } from './planted-truth.ts';
import { simulateLine } from './simulate-line.ts';
import { filesToTry } from './to-try-files.ts';
import { readOutMemories } from './tool-memories.ts';

/** Everything follows from this number. */
export const sampleSeed = 20_261_126;

/** Answers that a reader needs for the dumps, by file name and question. None: evidence decides every one. */
/** Settings that the scenario brings, where the store has none of its own yet. */
export const sampleSettings = { plantName: 'Halden Cargo Cycles' } as const;

export const sampleAnswers: Readonly<Record<string, Readonly<Record<string, string>>>> = {};

/** Builds the sample. */
export function sampleFiles(seed = sampleSeed): ReadonlyMap<string, Uint8Array> {
  const line = simulateLine(seed);
  const memories = readOutMemories(line);
  const files = new Map<string, Uint8Array>();
  for (const dump of memories.dumps) files.set(`dumps/${dump.file}`, encoded(dump.written));
  files.set('register.json', json(plantRegister(seed)));
  files.set('answers.json', json(sampleAnswers));
  files.set('settings.json', json(sampleSettings));
  files.set('truth.json', json(plantedTruth(line, memories)));
  for (const [name, text] of filesToTry(seed)) files.set(`to-try/${name}`, new TextEncoder().encode(text));
  return files;
}

/** Bytes of a text; the two encodings that dumps come in beside plain UTF-8. */
function encoded(written: Pick<WrittenDump, 'text' | 'encoding'>): Uint8Array {
  if (written.encoding === 'latin1') {
    return Uint8Array.from(written.text, (letter) => {
      const code = letter.charCodeAt(0);
      if (code > 255) throw new Error(`"${letter}" is not in ISO 8859-1`);
      return code;
    });
  }
  return new TextEncoder().encode(written.encoding === 'utf8-bom' ? `\ufeff${written.text}` : written.text);
}

const json = (value: unknown): Uint8Array => new TextEncoder().encode(`${JSON.stringify(value, null, 1)}\n`);
