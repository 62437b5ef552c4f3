/**
 * Every way out of the engine, with names hidden and with names shown.
 *
 * The sample scenario, its badges written so that no number can be taken for one (QX139), and in it everything that
 * people write: reasons, notes, authors, saved work, a file named after a badge, lines that were rejected, columns that
 * nobody reads. Each call of the contract stands in the table below: a new one does not compile until it is put there.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type CallName, type Replies, type RequestInput, requestSchemas } from '#core/contract/calls.ts';
import { everything } from '#core/readings/scope.ts';
import { civilTime } from '#core/time/civil-time.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';
import { namesPeople } from '../../../src/main/engine/hidden-names.ts';
import { zipEntry } from '../report/zip-entry.ts';

const sample = fileURLToPath(new URL('../../../sample-data/', import.meta.url));
const now = civilTime(2026, 11, 26, 8)!;
const madeMs = Date.UTC(2026, 10, 26, 8);
const joint = 'Rack stay M8';
const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-nobody-'));
const people: { badge: string; name: string }[] = [];
let engine: Engine;

const ask = <C extends CallName>(call: C, body: RequestInput<C>): Promise<Replies[C]> =>
  // The schema of this very call.
  engine.serve(call, requestSchemas[call].parse(body) as never);

/** The sample with other badges, in its register and in the operator's cell of each line. */
function sampleWithLetters(): string {
  const made = path.join(folder, 'sample');
  cpSync(sample, made, { recursive: true });
  const register = JSON.parse(readFileSync(path.join(made, 'register.json'), 'utf8'));
  const badges: string[] = register.operators.map((one: { badge: string }) => one.badge);
  for (const one of register.operators) {
    one.badge = `QX${one.badge}`;
    people.push(one);
  }
  writeFileSync(path.join(made, 'register.json'), JSON.stringify(register));
  for (const name of readdirSync(path.join(made, 'dumps'))) {
    const file = path.join(made, 'dumps', name);
    // Byte by byte: some of the dumps are no UTF-8.
    const lines = readFileSync(file, 'latin1').split('\n');
    // In a file with decimal commas the commas are no delimiters.
    const delimiter = [';', '\t', '|', ','].find((one) => lines.filter((line) => line.includes(one)).length > 9) ?? ';';
    const isHead = (cell: string): boolean => /Operator|Pr.{1,2}fer/u.test(cell);
    const column = lines.map((line) => line.split(delimiter).findIndex(isHead)).find((at) => at >= 0) ?? 5;
    const written = lines.map((line) => {
      const cells = line.split(delimiter);
      const cell = cells[column] ?? '';
      const badge = cell.replace(/["\r]/gu, '');
      if (badges.includes(badge.replace(/^0/u, ''))) cells[column] = cell.replace(badge, `QX${badge}`);
      return cells.join(delimiter);
    });
    writeFileSync(file, written.join('\n'), 'latin1');
  }
  return made;
}

/** A file named after a badge, with a rejected line, a column nobody reads and a spelling of a name. */
const ownFile = [
  'Date;Time;Tool;Joint;Torque [N.m];Angle [deg];Operator;Colleague;Note',
  '2026-11-25;06:00:00;T-118;Rack stay M8;24.10;62.0;QX139;Rakesh;asked M. Lind',
  '2026-11-25;06:01:00;T-118;Rack stay M8;24.20;63.0;Banerjee R;Rakesh;',
  '2026-11-25;06:02:00;T-118;Rack stay M8;--.--;63.0;QX139;Rakesh;QX147 saw it',
  '2026-11-25;06:03:00;T-118;Rack stay M8;24.30;61.5;QX139;Rakesh;for Tveit, QX147',
  '2026-11-25;06:04:00;T-118;Rack stay M8;24.40;61.0;QX139;Rakesh',
  '2026-11-25;06:05:00;T-118;Rack stay M8;24.25;61.1;QX999;Rakesh;',
].join('\n');
let ownSource = 0;
let taken = '';
let waiting = '';
let ownReading = '';

async function offered(name: string, text: string): Promise<string> {
  const file = path.join(folder, name);
  writeFileSync(file, text);
  return engine.offer(file, name, { ours: false });
}

beforeAll(async () => {
  engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => madeMs,
    programVersion: '0.0.0-test',
    sampleFolder: sampleWithLetters(),
    who: 'R. Banerjee',
  });
  await ask('demo:load', {});
  const shown = await ask('readings:answer', {
    // Of the revision in force: others are no part of the study.
    scope: { ...everything, from: civilTime(2026, 11, 12, 0)!, operators: ['QX139'], joints: [joint] },
    offset: 0,
    limit: 2,
  });
  const [first, second] = shown.readings as { id: string }[];
  ownReading = first!.id;
  await ask('mark:leave-out', { readings: [first!.id], reason: 'Banerjee dropped the wrench, QX147 saw it' });
  await ask('mark:note', { reading: second!.id, disposition: 're-checked', text: 'by M. Lind and qx122' });
  await ask('study:save', {
    name: 'Lind against QX139',
    choices: { joint, scope: { ...everything, operators: ['QX139'] } },
  });
  await ask('scope:save', { name: 'QX122 late', scope: { ...everything, operators: ['QX122'] } });
  await ask('register:put', {
    file: {
      joints: [
        {
          name: 'Left pedal',
          limits: [
            {
              from: '2026-11-24',
              unit: 'N.m',
              low: 32,
              high: 38,
              target: 35,
              by: 'R. Banerjee',
              why: 'Tveit asked for it',
            },
          ],
        },
      ],
      tools: [{ serial: 'T-207', events: [{ at: '2026-11-20', kind: 'repair', note: 'sent by H. Berg' }] }],
    },
    why: 'Tveit asked for it',
  });
  const ticket = await offered('QX139_rack.csv', ownFile);
  await ask('inbox:read', { ticket });
  // Names are hidden when the file is taken in: its outcome is a way out, too.
  await ask('app:settings', { set: { 'drift.anonymous': true } });
  const [outcome] = await ask('inbox:accept', { tickets: [ticket], saveRecipe: true });
  expect(outcome?.said.key).toBe('intake.taken-in');
  taken = json(outcome);
  ownSource = outcome!.source!;
  await ask('app:settings', { set: { 'drift.anonymous': false } });
  await ask('register:settle', { kind: 'operator', name: 'Banerjee R', into: 'QX139' });
  await ask('register:put', { file: { operators: [{ badge: 'QX500', name: 'Z. Gone' }] } });
  await ask('register:remove', { kind: 'operator', name: 'QX500' });
  people.push(
    { badge: 'QX500', name: 'Z. Gone' },
    { badge: 'QX999', name: 'Rakesh' },
    { badge: 'Banerjee R', name: 'Z. Gone' },
  );
  waiting = await offered('QX147 again.csv', ownFile.replaceAll('2026-11-25', '2026-11-26'));
  await ask('inbox:read', { ticket: waiting });
}, 60_000);

afterAll(async () => {
  await engine.close();
  rmSync(folder, { recursive: true, force: true });
});

const text = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);
const json = (value: unknown): string =>
  JSON.stringify(value, (_key, part: unknown) => (ArrayBuffer.isView(part) ? 'numbers' : part));
const file = (made: { name: string; bytes: Uint8Array }): string => `${made.name}\n${text(made.bytes)}`;
const problem = async (work: Promise<unknown>): Promise<string> =>
  work.then(
    () => 'no problem',
    (error: { problem: unknown }) => json(error.problem),
  );
const choices = { joint, scope: everything };
const report = (format: 'html' | 'csv' | 'json' | 'svg') => async () =>
  file(await ask('report:study', { choices, format, madeMs }));
const figure = (name: string, more: object) => async () =>
  file(await ask('figure:make', { name, scope: everything, now, format: 'svg', ...more }));
const page = async (filters: RequestInput<'readings:page'>['filters'], limit = 1000): Promise<string> =>
  json(await ask('readings:page', { scope: everything, filters, sort: [], offset: 0, limit, withPictures: true }));
/** The reading at a line of the file named after a badge. */
const detail = (line: number) => async () => json(await ask('readings:detail', { id: `${ownSource}:${line}` }));

type Way = readonly [what: string, asked: () => Promise<string>];
/**
 * What is asked of each call.
 *
 * - `names`: names people when names are shown, and nobody when they are hidden
 * - `nobody`: has nothing to name anybody with
 * - `entered`: names people even so, by decision (DEVELOPERS.md): must agree with `namesPeople`
 * - `writes`: answers with numbers of changes and readings, or an outcome that is asked for elsewhere in this file
 */
const table: {
  readonly [C in CallName]: { readonly kind: 'names' | 'nobody' | 'entered' | 'writes'; readonly ways: readonly Way[] };
} = {
  'app:status': { kind: 'names', ways: [['', async () => json(await ask('app:status', {}))]] },
  'app:settings': { kind: 'entered', ways: [] },
  'demo:load': { kind: 'writes', ways: [] },
  'inbox:list': {
    kind: 'names',
    ways: [
      ['imported', async () => json((await ask('inbox:list', {})).imported)],
      ['recipes', async () => json((await ask('inbox:list', {})).recipes)],
    ],
  },
  'inbox:read': { kind: 'entered', ways: [] },
  'inbox:preview': { kind: 'entered', ways: [['', async () => json(await ask('inbox:preview', { ticket: waiting }))]] },
  'inbox:accept': { kind: 'writes', ways: [] },
  'inbox:drop': { kind: 'writes', ways: [] },
  'inbox:rejected': {
    kind: 'names',
    ways: [
      [
        'of a file taken in',
        async () => json(await ask('inbox:rejected', { ticket: null, source: ownSource, offset: 0, limit: 50 })),
      ],
    ],
  },
  'source:withdraw': { kind: 'writes', ways: [] },
  'source:restore': { kind: 'writes', ways: [] },
  'recipe:list': { kind: 'names', ways: [['', async () => json(await ask('recipe:list', {}))]] },
  'recipe:put': { kind: 'writes', ways: [] },
  'recipe:rename': { kind: 'writes', ways: [] },
  'recipe:delete': { kind: 'writes', ways: [] },
  'review:read': { kind: 'names', ways: [['', async () => json(await ask('review:read', { scope: everything }))]] },
  'review:answer': { kind: 'names', ways: [['', async () => json(await ask('review:answer', { scope: everything }))]] },
  'collection:read': { kind: 'nobody', ways: [['', async () => json(await ask('collection:read', { now }))]] },
  'drift:read': {
    kind: 'names',
    ways: [
      ['', async () => json(await ask('drift:read', { scope: everything, now }))],
      [
        'of one operator',
        async () => json(await ask('drift:read', { scope: { ...everything, operators: ['QX139', 'QX147'] }, now })),
      ],
    ],
  },
  'drift:tool': {
    kind: 'names',
    ways: [['', async () => json(await ask('drift:tool', { scope: everything, now, tool: 'T-207' }))]],
  },
  'drift:answer': {
    kind: 'names',
    ways: [['', async () => json(await ask('drift:answer', { scope: everything, now }))]],
  },
  'study:read': {
    kind: 'names',
    ways: [
      ['', async () => json(await ask('study:read', choices))],
      [
        'of one operator',
        async () => json(await ask('study:read', { joint, scope: { ...everything, operators: ['QX139'] } })),
      ],
    ],
  },
  'study:answer': { kind: 'names', ways: [['', async () => json(await ask('study:answer', choices))]] },
  'study:list': { kind: 'names', ways: [['', async () => json(await ask('study:list', {}))]] },
  'study:save': { kind: 'writes', ways: [] },
  'study:delete': { kind: 'writes', ways: [] },
  'scope:list': { kind: 'names', ways: [['', async () => json(await ask('scope:list', {}))]] },
  'scope:save': { kind: 'writes', ways: [] },
  'scope:delete': { kind: 'writes', ways: [] },
  'scope:named': {
    kind: 'names',
    ways: [['', async () => json(await ask('scope:named', { operators: ['QX139', 'QX122'] }))]],
  },
  'readings:page': {
    kind: 'names',
    ways: [
      ['all', () => page([])],
      ['by operator', () => page([{ column: 'operator', anyOf: ['QX139'] }])],
      ['by file', () => page([{ column: 'reading', anyOf: [`${ownSource}:2`, `${ownSource}:3`] }])],
    ],
  },
  'readings:detail': {
    kind: 'names',
    ways: [
      ['left out by its own operator', async () => json(await ask('readings:detail', { id: ownReading }))],
      ['with a column nobody reads', detail(2)],
      ['with a spelling of its own', detail(3)],
      ['with a note', detail(5)],
      ['of somebody unknown', detail(7)],
    ],
  },
  'readings:answer': {
    kind: 'names',
    ways: [['', async () => json(await ask('readings:answer', { scope: everything, offset: 0, limit: 20_000 }))]],
  },
  'readings:csv': {
    kind: 'names',
    ways: [['', async () => file(await ask('readings:csv', { scope: everything, filters: [] }))]],
  },
  'mark:leave-out': { kind: 'writes', ways: [] },
  'mark:put-back': { kind: 'writes', ways: [] },
  'mark:note': { kind: 'writes', ways: [] },
  'mark:assign': { kind: 'writes', ways: [] },
  'register:read': { kind: 'entered', ways: [['', async () => json(await ask('register:read', {}))]] },
  'register:joint': {
    kind: 'names',
    ways: [['', async () => json(await ask('register:joint', { joint: 'Left pedal' }))]],
  },
  'register:tool': { kind: 'names', ways: [['', async () => json(await ask('register:tool', { tool: 'T-207' }))]] },
  'register:put': { kind: 'entered', ways: [] },
  'register:preview': { kind: 'entered', ways: [] },
  'register:removal': { kind: 'entered', ways: [] },
  'register:remove': { kind: 'entered', ways: [] },
  'register:export': { kind: 'entered', ways: [['', async () => json(await ask('register:export', {}))]] },
  'register:settle': { kind: 'entered', ways: [] },
  'change:list': { kind: 'names', ways: [['', async () => json(await ask('change:list', { offset: 0, limit: 500 }))]] },
  'change:undo': { kind: 'writes', ways: [] },
  'report:study': {
    kind: 'names',
    ways: [
      // The PDF is printed from the same page.
      ['HTML', report('html')],
      ['CSV', report('csv')],
      ['JSON', report('json')],
      [
        'docx',
        async () => {
          const { name, bytes } = await ask('report:study', { choices, format: 'docx', madeMs });
          return [name, ...['word/document.xml', 'docProps/core.xml'].map((entry) => zipEntry(bytes, entry))].join(
            '\n',
          );
        },
      ],
    ],
  },
  'report:shift': {
    kind: 'names',
    ways: [
      ['HTML', async () => file(await ask('report:shift', { scope: everything, format: 'html', madeMs }))],
      ['CSV', async () => file(await ask('report:shift', { scope: everything, format: 'csv', madeMs }))],
    ],
  },
  'report:tool': {
    kind: 'names',
    ways: [
      [
        'HTML',
        async () => file(await ask('report:tool', { scope: everything, tool: 'T-207', now, format: 'html', madeMs })),
      ],
    ],
  },
  'figure:make': {
    kind: 'nobody',
    ways: [
      ['limit ribbon', figure('limit-ribbon', {})],
      ['drift strips', figure('drift-strips', { tool: 'T-207' })],
      ['study', figure('study', { choices })],
      ['indices', figure('indices', { choices })],
    ],
  },
};

const word = (name: string): RegExp =>
  new RegExp(`(?<![\\p{L}\\p{N}])${name.replace(/[.\\]/gu, '\\$&')}(?![\\p{L}\\p{N}])`, 'iu');

/** Badges, names and family names found in a text, each with what stands around it. */
function namesIn(found: string): string[] {
  const wanted = new Set(people.flatMap(({ badge, name }) => [badge, name, name.split(' ').at(-1)!]));
  return [...wanted].flatMap((name) => {
    const at = found.search(word(name));
    // A badge may lie in the name of a file, between underscores.
    const inside = at >= 0 || !name.startsWith('QX') ? at : found.toUpperCase().indexOf(name);
    return inside < 0 ? [] : [`${name}: ${found.slice(Math.max(0, inside - 60), inside + 60)}`];
  });
}

const cases = Object.entries(table).flatMap(([call, { kind, ways }]) =>
  ways.map(([what, asked]) => ({ title: what === '' ? call : `${call}, ${what}`, kind, asked })),
);

describe('with names shown', () => {
  test.each(cases.filter(({ kind }) => kind !== 'nobody'))('$title names somebody', async ({ asked }) => {
    expect(namesIn(await asked()).length).toBeGreaterThan(0);
  });
});

describe('with names hidden', () => {
  beforeAll(async () => {
    await ask('app:settings', { set: { 'drift.anonymous': true } });
  });

  test.each(cases.filter(({ kind }) => kind !== 'entered'))('$title names nobody', async ({ asked }) => {
    const found = await asked();
    expect(found.length).toBeGreaterThan(20);
    expect(namesIn(found)).toEqual([]);
  });

  test('what still names people is what was decided on, and no more', async () => {
    const decided = Object.entries(table).flatMap(([call, { kind }]) => (kind === 'entered' ? [call] : []));
    expect(decided.sort()).toEqual([...namesPeople].sort());
    for (const { kind, asked } of cases)
      if (kind === 'entered') expect(namesIn(await asked()).length).toBeGreaterThan(0);
  });

  test('what taking a file in came to names nobody', () => {
    expect(taken).toContain('rejected');
    expect(namesIn(taken)).toEqual([]);
  });

  test('a problem names nobody', async () => {
    const found = await problem(ask('drift:tool', { scope: everything, now, tool: 'R. Banerjee' }));
    expect(found).not.toBe('no problem');
    expect(namesIn(found)).toEqual([]);
  });

  /** The number under which a badge is known. */
  const numberOf = async (badge: string): Promise<string> => (await ask('scope:named', { operators: [badge] }))[0]!;

  test('numbers are drawn by lot, stay, and everything stands in their order', async () => {
    const shown = (await ask('app:status', {})).operators.map((one) => one.badge);
    expect(shown).toEqual(shown.map((_, k) => `Operator ${k + 1}`));
    const badges = people.filter(({ name }) => !['Z. Gone', 'Rakesh'].includes(name)).map(({ badge }) => badge);
    const numbers = await ask('scope:named', { operators: badges });
    expect(new Set(numbers).size).toBe(badges.length);
    const { matrix } = (await ask('review:answer', { scope: everything })) as { matrix: { operator: string | null }[] };
    const inMatrix = [...new Set(matrix.map((cell) => cell.operator))].filter((one) => one !== null);
    expect(inMatrix).toEqual(shown.filter((one) => inMatrix.includes(one)));
    await ask('app:settings', { set: { 'drift.anonymous': false } });
    await ask('app:settings', { set: { 'drift.anonymous': true } });
    expect(await ask('scope:named', { operators: badges })).toEqual(numbers);
    expect(await ask('app:settings', {})).not.toHaveProperty('drift.numbers');
  });

  test('the raw line keeps its values and shows the number of its operator', async () => {
    const { rawLine, rawNote, row } = await ask('readings:detail', { id: `${ownSource}:2` });
    expect(row.operator).toMatch(/^Operator \d+$/);
    expect(rawLine).toBe(
      `2026-11-25;06:00:00;T-118;Rack stay M8;24.10;62.0;${await numberOf('QX139')};…;asked ${await numberOf('QX122')}`,
    );
    expect(rawNote?.key).toBe('readings.line-masked');
  });

  test('who left out a reading of their own can still be told, by number', async () => {
    const { leftOut } = await ask('study:read', choices);
    expect(leftOut).toEqual([expect.objectContaining({ by: await numberOf('QX139'), byOwnOperator: true })]);
    expect(leftOut[0]?.reason).toBe(`${await numberOf('QX139')} dropped the wrench, ${await numberOf('QX147')} saw it`);
  });

  test('operators are found by number: in scopes, filters, saved work and assignments', async () => {
    const number = await numberOf('QX139');
    const named = async (operator: string): Promise<unknown[]> => {
      const scope = { ...everything, operators: [operator] };
      const filters: RequestInput<'readings:page'>['filters'] = [{ column: 'operator', anyOf: [operator] }];
      const asked = { scope: everything, filters, sort: [], offset: 0, limit: 1 };
      return [
        (await ask('readings:answer', { scope, offset: 0, limit: 1 })).total,
        (await ask('readings:page', asked)).total,
        (await ask('drift:read', { scope, now })).readings,
        (await ask('study:read', { joint, scope })).scopeFacts.counts.used,
      ];
    };
    const found = await named(number);
    expect(found.every((count) => (count as number) > 10)).toBe(true);
    expect(await named('QX139')).toEqual(found);

    await ask('scope:save', { name: 'mine', scope: { ...everything, operators: [number] } });
    const held = await ask('scope:list', {});
    expect(held.find((one) => one.name === 'mine')?.scope.operators).toEqual([number]);
    await ask('scope:delete', { name: held.find((one) => one.name !== 'mine')!.name });
    await ask('mark:assign', { readings: [`${ownSource}:7`], operator: number });
    expect((await ask('readings:detail', { id: `${ownSource}:7` })).row.operator).toBe(number);

    await ask('app:settings', { set: { 'drift.anonymous': false } });
    // Kept as badges: numbers may change when somebody joins.
    expect((await ask('scope:list', {})).map((one) => [one.name, one.scope.operators])).toEqual([['mine', ['QX139']]]);
    expect((await ask('readings:detail', { id: `${ownSource}:7` })).row.operator).toBe('QX139');
    expect((await ask('app:status', {})).operators.some((one) => one.badge === number)).toBe(false);
    expect(await named(number)).toEqual(await named('QX139'));
    await ask('app:settings', { set: { 'drift.anonymous': true } });
  });

  test('hiding names stands in the journal and is no work that U takes back', async () => {
    const [change] = await ask('change:list', { offset: 0, limit: 1 });
    expect(change).toMatchObject({ kind: 'hide-names', subject: 'on', who: await numberOf('QX139') });
    await ask('change:undo', {});
    expect((await ask('app:settings', {}))['drift.anonymous']).toBe(true);
  });
});
