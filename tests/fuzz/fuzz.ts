/**
 * Feeds the reader with random bytes and with mutated dumps: no crash, no hang, and every line in exactly one part of
 * the accounting, however the bytes come in.
 *
 * `npm run fuzz [-- SECONDS [SEED]]`; 600 seconds of CPU by default. Prints the seed of every case that fails.
 */
import { csvRecord } from '../../src/core/intake/csv-record.ts';
import { readRows } from '../../src/main/reader/read-rows.ts';
import { addsUp, readText } from '../core/intake/read-text.ts';

const seconds = Number(process.argv[2] ?? 600);
const firstSeed = Number(process.argv[3] ?? 1);
/** A case of at most some kilobytes that takes this long is a hang in the making. */
const slowMs = 2000;

const alphabet = '0123456789,.;:|/-+\t \n\r"\'\\abcNm°eETZäß年';

const start = process.cpuUsage();
const cpuSeconds = (): number => {
  const used = process.cpuUsage(start);
  return (used.user + used.system) / 1e6;
};

let cases = 0;
let refused = 0;
let asked = 0;
let read = 0;
let slowest = 0;
const failures: string[] = [];

for (let seed = firstSeed; cpuSeconds() < seconds && failures.length < 10; seed++) {
  const random = generator(seed);
  const bytes = makeCase(random);
  // CPU and not the clock: on a busy machine the clock tells of others.
  const began = cpuSeconds();
  try {
    await check(bytes, random);
  } catch (thrown) {
    failures.push(`seed ${seed}: ${thrown instanceof Error ? thrown.message : String(thrown)}`);
    console.error(failures.at(-1));
  }
  const took = (cpuSeconds() - began) * 1000;
  if (took > slowMs) {
    failures.push(`seed ${seed}: took ${took.toFixed(0)} ms for ${bytes.length} bytes`);
    console.error(failures.at(-1));
  }
  slowest = Math.max(slowest, took);
  cases++;
}

console.log(
  `${cases} cases from seed ${firstSeed} in ${cpuSeconds().toFixed(0)} s of CPU: ${read} read, ${asked} with questions, ${refused} refused; slowest ${slowest.toFixed(0)} ms; ${failures.length} failed`,
);
if (failures.length > 0) process.exitCode = 1;

async function check(bytes: Uint8Array, random: () => number): Promise<void> {
  const whole = await readText(bytes, { name: 'T-411.csv' });
  if (whole.reading.problem) {
    refused++;
    if (!whole.reading.problem.message.endsWith('.')) throw new Error(`no sentence: ${whole.reading.problem.message}`);
  } else {
    read++;
    if (whole.reading.questions.length > 0) asked++;
    if (!addsUp(whole.reading)) throw new Error('the lines do not add up');
    if (whole.reading.accepted !== whole.rows.length) throw new Error('accepted differs from the rows handed over');
    if (whole.reading.rejected !== whole.rejected.length)
      throw new Error('rejected differs from the lines handed over');
    let last = 0;
    for (const row of whole.rows) {
      if (row.line < last) throw new Error('lines do not rise');
      last = row.line;
      if (row.torque === null && row.angle === null) throw new Error('a reading without torque and angle');
      if (row.torque !== null && !Number.isFinite(row.torque)) throw new Error('a torque that is no number');
    }
  }
  // However the stream is cut, the outcome is the same.
  const pieceBytes = 1 + Math.floor(random() * 97);
  const pieces = await readText(bytes, { name: 'T-411.csv', pieceBytes });
  const same = (value: unknown): string => JSON.stringify(value);
  if (same(pieces.rows) !== same(whole.rows)) throw new Error(`rows differ in pieces of ${pieceBytes}`);
  if (same(pieces.reading) !== same(whole.reading)) throw new Error(`the outcome differs in pieces of ${pieceBytes}`);

  await readRows(
    {
      name: 'x.csv',
      bytes: bytes.length,
      async *open() {
        yield bytes;
      },
    },
    {
      start: () => {},
      row: (record) => {
        if (csvRecord(record).length === 0) throw new Error('a record of nothing');
      },
    },
  );
}

function makeCase(random: () => number): Uint8Array {
  const kind = random();
  if (kind < 0.1) return randomBytes(random, Math.floor(random() * 3000));
  if (kind < 0.2) return encode(randomText(random, Math.floor(random() * 3000)), random);
  let text = dump(random);
  const mutations = Math.floor(random() * 12);
  for (let i = 0; i < mutations; i++) text = mutate(text, random);
  const bytes = encode(text, random);
  if (random() < 0.2)
    for (let i = 0; i < 5; i++) bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256);
  return bytes;
}

function encode(text: string, random: () => number): Uint8Array {
  const kind = random();
  if (kind < 0.75) return new TextEncoder().encode(text);
  if (kind < 0.85) return Uint8Array.from(text, (c) => c.charCodeAt(0) & 0xff);
  const wide = new Uint8Array(text.length * 2);
  for (let i = 0; i < text.length; i++) {
    wide[2 * i] = text.charCodeAt(i) & 0xff;
    wide[2 * i + 1] = text.charCodeAt(i) >> 8;
  }
  return wide;
}

function dump(random: () => number): string {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  const delimiter = pick([';', ',', '\t', '|', '  ']);
  const end = pick(['\n', '\r\n', '\r']);
  const quote = pick(['', '', '"', "'"]);
  const lines: string[] = [];
  if (random() < 0.3) lines.push('Serial: T-411', `Unit${delimiter}Nm`, '');
  if (random() < 0.8) lines.push(['No', 'Date', 'Time', 'Torque', 'Unit', 'Angle', 'Joint', 'Note'].join(delimiter));
  const count = Math.floor(random() * 60);
  for (let i = 0; i < count; i++) {
    const cells = [
      String(i + 1),
      pick(['05.03.2026', '14/03/2026', '2026-03-05', '3/25/26', '', '20260305', '5 Mar 2026']),
      pick(['06:12:44', '6:12 PM', '24:00:00', '', '061244']),
      pick(['24,81', '24.81', '1.234', '1,234', '-3', '--,--', '1e3', '', '35.2 Nm', '９,５']),
      pick(['Nm', 'ft-lb', '', 'zz']),
      pick(['58', '58,5', '', 'abc', '12°']),
      pick(['Crank', 'Stem, "upper"', '', 'a\nb']),
      pick(['', 'x', '=1+1', '"', 'a;b', '\\"']),
    ];
    lines.push(
      cells
        .map((cell) => (quote === '' ? cell : quote + cell.replaceAll(quote, quote + quote) + quote))
        .join(delimiter),
    );
  }
  if (random() < 0.3) lines.push('End of data');
  return lines.join(end) + (random() < 0.7 ? end : '');
}

function mutate(text: string, random: () => number): string {
  const at = Math.floor(random() * text.length);
  const length = Math.floor(random() * 30);
  const kind = Math.floor(random() * 8);
  const special = [
    '"',
    "'",
    ';',
    ',',
    '\n',
    '\r',
    '\t',
    '\\',
    '\0',
    '\ufeff',
    '\ufffd',
    '"""',
    '\r\n\r\n',
    '","',
    '😀',
    '\u2028',
    'sep=;\n',
  ];
  switch (kind) {
    case 0:
      return text.slice(0, at) + text.slice(at + length);
    case 1:
      return text.slice(0, at) + text.slice(at, at + length).repeat(1 + Math.floor(random() * 20)) + text.slice(at);
    case 2:
    case 3:
    case 4:
      return text.slice(0, at) + special[Math.floor(random() * special.length)]! + text.slice(at);
    case 5:
      return text.slice(0, at);
    case 6:
      return text.slice(at) + text.slice(0, at);
    default:
      return text.slice(0, at) + randomText(random, length) + text.slice(at + length);
  }
}

function randomText(random: () => number, length: number): string {
  let text = '';
  for (let i = 0; i < length; i++) text += alphabet[Math.floor(random() * alphabet.length)]!;
  return text;
}

function randomBytes(random: () => number, length: number): Uint8Array {
  return Uint8Array.from({ length }, () => Math.floor(random() * 256));
}

function generator(seed: number): () => number {
  let a = Math.imul(seed, 2654435761) >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}
