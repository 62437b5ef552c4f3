/** The fingerprint's bytes, made digit by digit, are its text (definitions 18), made by the plain way of writing numbers. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { fingerprintParts, fingerprintText, usedReadings } from '#core/study/fingerprint.ts';
import { plantOf } from './plant-of.ts';

const choices = {
  joint: 'Kurbelarm, Ø 12 – „links“',
  of: 'torque',
  attempts: 'first',
  within: 'pooled',
  subgroup: 5,
  model: 'normal',
  limits: { low: 22.5, target: null, high: 26 },
  requirement: { index: 'Ppk', value: 1.33 },
} as const;

interface Named {
  readonly line: number;
  readonly source: number;
}

/** A plant whose readings come from given lines of three files. */
function plantWith(rows: readonly Named[]): Plant {
  const plant = plantOf([]);
  const readings = emptyColumns(rows.length);
  rows.forEach((row, i) => {
    readings.source[i] = row.source;
    readings.line[i] = row.line;
  });
  const sources = [1, 2, 3].map((id) => ({
    id,
    name: `${id}.csv`,
    sha256: `${id}f`.repeat(32),
    bytes: 1,
    withdrawn: false,
    takenInMs: 0,
    newestFirst: false,
  }));
  return { ...plant, readings, sources };
}

/** Bytes as they are handed over, copied at once: the parts share their memory. */
function bytesOf(parts: Iterable<Uint8Array | string>): string {
  const all: Buffer[] = [];
  for (const part of parts) all.push(typeof part === 'string' ? Buffer.from(part, 'utf8') : Buffer.from(part));
  return Buffer.concat(all).toString('utf8');
}

const value = fc.oneof(
  // Readings as they are written: whole numbers of their last decimal.
  fc.tuple(fc.integer({ min: -50_000, max: 500_000 }), fc.integer({ min: 0, max: 5 })).map(([n, d]) => n / 10 ** d),
  // Converted ones, and the ends of what can be written.
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, -0, 0.1 + 0.2, 1e-7, 5e-324, 1e21, 123456789.123, 2147483647, 2147483648, 21474836.47, 0.00001),
);

test('bytes and text are the same, whatever the values, lines, files and decimals', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.record({ value, line: fc.nat(2 ** 31 - 1), source: fc.integer({ min: 1, max: 3 }), used: fc.boolean() }),
        {
          maxLength: 40,
        },
      ),
      fc.integer({ min: 0, max: 9 }),
      (rows, decimals) => {
        const plant = plantWith(rows);
        const positions = Uint32Array.from(rows, (_, i) => i);
        const used = Uint8Array.from(rows, (row) => (row.used ? 1 : 0));
        const values = Float64Array.from(rows, (row) => row.value);
        const text = fingerprintText(usedReadings(plant, positions, used, values), choices);
        expect(bytesOf(fingerprintParts(plant, { positions, used, values }, decimals, choices))).toBe(text);
      },
    ),
    { numRuns: 1500 },
  );
});

test('more than one part: no line is lost between them', () => {
  const rows = Array.from({ length: 20_000 }, (_, i) => ({
    value: 24 + (i % 300) / 100,
    line: i + 2,
    source: 1 + (i >> 13),
    used: i % 97 !== 0,
  }));
  const plant = plantWith(rows);
  const positions = Uint32Array.from(rows, (_, i) => i);
  const used = Uint8Array.from(rows, (row) => (row.used ? 1 : 0));
  const values = Float64Array.from(rows, (row) => row.value);
  const parts = fingerprintParts(plant, { positions, used, values }, 2, choices);
  const sizes: number[] = [];
  const text = bytesOf(
    (function* () {
      for (const part of parts) {
        sizes.push(part.length);
        yield part;
      }
    })(),
  );
  expect(sizes.length).toBeGreaterThan(3);
  expect(text).toBe(fingerprintText(usedReadings(plant, positions, used, values), choices));
});
