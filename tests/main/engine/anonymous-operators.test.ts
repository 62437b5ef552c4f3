/** Where nobody shall be named, nobody is: not on a screen's model, not in a document, not in a file that leaves. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type CallName, type Replies, type RequestInput, requestSchemas } from '#core/contract/calls.ts';
import { everything } from '#core/readings/scope.ts';
import { civilTime } from '#core/time/civil-time.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';

const sampleFolder = fileURLToPath(new URL('../../../sample-data/', import.meta.url));
const register: { operators: { badge: string; name: string | null }[] } = JSON.parse(
  readFileSync(path.join(sampleFolder, 'register.json'), 'utf8'),
);
const now = civilTime(2026, 11, 26, 8)!;
const joint = 'Rack stay M8';
let folder = '';
let engine: Engine;
const ask = <C extends CallName>(call: C, body: RequestInput<C>): Promise<Replies[C]> =>
  // The schema of this very call.
  engine.serve(call, requestSchemas[call].parse(body) as never);

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'tightbook-anonymous-'));
  engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => Date.UTC(2026, 10, 26, 8),
    programVersion: '0.0.0-test',
    sampleFolder,
    who: 'test',
  });
  await ask('demo:load', {});
  await ask('app:settings', { set: { 'drift.anonymous': true } });
}, 60_000);

afterAll(async () => {
  await engine.close();
  rmSync(folder, { recursive: true, force: true });
});

const text = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);
/** As JSON; positions in columns of numbers are not written as names. */
const json = (value: unknown): string =>
  JSON.stringify(value, (_key, part: unknown) => (ArrayBuffer.isView(part) ? 'numbers' : part));
const madeMs = Date.UTC(2026, 10, 26, 8);

/** No name anywhere, and no badge where a badge would stand: as a text of its own in JSON, CSV or markup. */
function expectNobody(found: string): void {
  for (const { badge, name } of register.operators) {
    if (name !== null) expect(found).not.toContain(name);
    expect(found.match(new RegExp(`["(,>]${badge}[")<]`, 'g')) ?? [], badge).toEqual([]);
  }
}

describe('operators without names', () => {
  test.each([
    ['app:status', async () => json(await ask('app:status', {}))],
    ['review:read', async () => json(await ask('review:read', { scope: everything }))],
    ['review:answer', async () => json(await ask('review:answer', { scope: everything }))],
    [
      'readings:page',
      async () =>
        json(
          await ask('readings:page', {
            scope: everything,
            filters: [],
            sort: [],
            offset: 0,
            limit: 200,
            withPictures: true,
          }),
        ),
    ],
    ['readings:answer', async () => json(await ask('readings:answer', { scope: everything, offset: 0, limit: 500 }))],
    ['drift:read', async () => json(await ask('drift:read', { scope: everything, now }))],
    ['drift:answer', async () => json(await ask('drift:answer', { scope: everything, now }))],
    [
      'report:shift html',
      async () => text((await ask('report:shift', { scope: everything, format: 'html', madeMs })).bytes),
    ],
    [
      'report:tool html',
      async () =>
        text((await ask('report:tool', { scope: everything, tool: 'T-207', now, format: 'html', madeMs })).bytes),
    ],
    ['study:read', async () => json(await ask('study:read', { joint, scope: everything }))],
    ['study:answer', async () => json(await ask('study:answer', { joint, scope: everything }))],
  ])('%s names nobody', async (_name, asked) => {
    const found = await asked();
    expect(found.length).toBeGreaterThan(200);
    expectNobody(found);
  });

  test('the file of readings holds numbers in place of badges', async () => {
    const { bytes } = await ask('readings:csv', { scope: everything, filters: [] });
    const [head = '', ...rows] = text(bytes).split('\n');
    const column = head.split(',').indexOf('operator');
    const held = new Set(rows.filter((row) => row !== '').map((row) => row.split(',')[column]));
    expect([...held].filter((one) => one !== '' && !/^Operator \d+$/.test(one ?? ''))).toEqual([]);
    expect(held.size).toBeGreaterThan(5);
  });

  test('a scope finds its operator by the number shown and by the badge, and Drift agrees with Review', async () => {
    const badge = register.operators[0]!.badge;
    const [shown = ''] = await ask('scope:named', { operators: [badge] });
    expect(shown).toMatch(/^Operator \d+$/);
    const of = async (operator: string): Promise<readonly [number, number, number]> => {
      const scope = { ...everything, operators: [operator] };
      const readings = await ask('readings:answer', { scope, offset: 0, limit: 1 });
      const drift = await ask('drift:read', { scope, now });
      const study = await ask('study:read', { joint, scope });
      return [readings.total, drift.readings, study.scopeFacts.counts.used];
    };
    const byNumber = await of(shown);
    expect(byNumber[0]).toBeGreaterThan(100);
    expect(await of(badge)).toEqual(byNumber);
  });

  test('the line of each file is shown with a number in the place of the badge, and as it is written otherwise', async () => {
    const badges = register.operators.map((one) => one.badge);
    const numbers = await ask('scope:named', { operators: badges });
    const files = new Map<number, { id: string; operator: string | null }>();
    const { readings } = await ask('readings:answer', { scope: everything, offset: 0, limit: 20_000 });
    for (const one of readings as { id: string; operator: string | null }[])
      files.set(Number.parseInt(one.id, 10), one);
    expect(files.size).toBeGreaterThan(15);
    const details = (): Promise<Replies['readings:detail'][]> =>
      Promise.all([...files.values()].map(({ id }) => ask('readings:detail', { id })));
    const masked = await details();
    await ask('app:settings', { set: { 'drift.anonymous': false } });
    const written = await details();
    await ask('app:settings', { set: { 'drift.anonymous': true } });
    for (const [k, { operator }] of [...files.values()].entries()) {
      const hidden = masked[k]!;
      const plain = written[k]!;
      expect(plain.rawNote).toBeNull();
      if (operator === null) {
        expect(hidden).toMatchObject({ rawLine: plain.rawLine, rawNote: null });
        continue;
      }
      expect(hidden.rawNote?.key).toBe('readings.line-masked');
      // One cell and no other: the number back in its place gives the line as written.
      const badge = badges[numbers.indexOf(operator)]!;
      expect(hidden.rawLine).toContain(operator);
      expect(hidden.rawLine?.replace(operator, badge)).toBe(plain.rawLine);
    }
  });

  test('the register keeps its names: it is where they are edited', async () => {
    const held = json(await ask('register:read', {}));
    for (const { name } of register.operators) if (name !== null) expect(held).toContain(name);
  });
});
