import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { sampleFiles } from '#sample/sample-files.ts';

const folder = fileURLToPath(new URL('../../sample-data/', import.meta.url));

describe('sampleFiles', () => {
  const files = sampleFiles();

  it('writes the committed files byte for byte', () => {
    expect(files.size).toBeGreaterThan(20);
    for (const [name, bytes] of files) {
      expect(Buffer.compare(Buffer.from(bytes), readFileSync(path.join(folder, name))), name).toBe(0);
    }
  });

  it('leaves no other file among the dumps and the files to try', () => {
    for (const part of ['dumps', 'to-try']) {
      const made = [...files.keys()].filter((name) => name.startsWith(`${part}/`)).map((name) => path.basename(name));
      expect(readdirSync(path.join(folder, part)).sort()).toEqual(made.sort());
    }
  });

  it('follows from its seed alone: another one gives other readings', () => {
    const other = sampleFiles(7);
    expect(other.get('dumps/T-207_2026-11-24.csv')).not.toEqual(files.get('dumps/T-207_2026-11-24.csv'));
    expect(sampleFiles().get('truth.json')).toEqual(files.get('truth.json'));
  });

  it('counts the physical lines of every dump in the truth file', () => {
    const truth = JSON.parse(Buffer.from(files.get('truth.json')!).toString('utf8')) as {
      files: { file: string; lines: Record<string, number> }[];
    };
    for (const { file, lines } of truth.files) {
      const ends = files.get(`dumps/${file}`)!.filter((byte) => byte === 10).length;
      const { total, ...parts } = lines;
      expect(total, file).toBe(ends);
      expect(
        Object.values(parts).reduce((sum, part) => sum + part, 0),
        file,
      ).toBe(total);
    }
  });
});
