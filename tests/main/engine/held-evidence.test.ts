/** What is held settles the order of day and month, and the decimal mark, without a question; and only what it proves. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { say } from '#core/text/said.ts';
import { TestEngine } from './test-engine.ts';

const head = 'Date;Time;Tool;Joint;Torque [Nm];Angle\n';
/** `day` counts from 1 March 2026; written day first. */
const lines = (from: number, count: number, tool = 'T-1', write = dayFirst): string =>
  Array.from({ length: count }, (_, i) => {
    const at = new Date(Date.UTC(2026, 2, from + Math.floor(i / 3), 6 + (i % 3), 12, 7 * (i % 8)));
    return `${write(at)};${at.toISOString().slice(11, 19)};${tool};Stem;${(24 + ((from * 7 + i) % 50) / 50).toFixed(2)};${30 + (i % 9)}`;
  })
    .map((line) => `${line}\n`)
    .join('');
const two = (value: number): string => String(value).padStart(2, '0');
function dayFirst(at: Date): string {
  return `${two(at.getUTCDate())}/${two(at.getUTCMonth() + 1)}/${at.getUTCFullYear()}`;
}
function monthFirst(at: Date): string {
  return `${two(at.getUTCMonth() + 1)}/${two(at.getUTCDate())}/${at.getUTCFullYear()}`;
}

describe('order of day and month across files', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
  });
  afterEach(() => plant.close());

  const ids = async (name: string, text: string): Promise<string[]> => {
    const preview = await plant.read(await plant.offer(name, text));
    return preview.questions.map((card) => card.id);
  };

  test('lines that are held readings under one order only settle it, in another layout too', async () => {
    const memory = lines(1, 60);
    await plant.take('a.csv', head + memory);
    const held = (await plant.readings()).length;
    // The same memory read out with month first, in another layout, from 3 to 12 March: nothing in it decides.
    const part = memory.split('\n').slice(6, 36);
    const same = `Joint;Tool;Date;Time;Angle;Torque [Nm]\n${part.map(otherLayout).join('\n')}\n`;
    const ticket = await plant.offer('b.csv', same);
    const preview = await plant.read(ticket);
    expect(preview.questions).toEqual([]);
    expect(preview.layout?.dateOrder).toBe('mdy');
    const date = preview.roles.find((row) => row.role === 'date');
    expect(date?.evidence.map((one) => say(one)).join()).toContain('lines are readings held already when read so');
    const outcome = await plant.accept(ticket);
    expect(outcome).toMatchObject({ accepted: 0, alreadyHeld: 30 });
    expect(await plant.readings()).toHaveLength(held);
  });

  test('a held file of the same layout and tool settles it; of another tool it does not', async () => {
    await plant.take('a.csv', head + lines(1, 60));
    expect(await ids('b.csv', head + lines(1, 9).replaceAll('/03/', '/04/'))).toEqual([]);
    expect(await ids('c.csv', head + lines(1, 9, 'T-2').replaceAll('/03/', '/04/'))).toEqual(['date-order']);
  });

  test('files of the layout that disagree settle nothing', async () => {
    await plant.take('a.csv', head + lines(1, 60));
    await plant.take('b.csv', head + lines(1, 60, 'T-1', monthFirst).replaceAll('2026', '2025'));
    expect(await ids('c.csv', head + lines(1, 9).replaceAll('/03/', '/04/'))).toEqual(['date-order']);
  });

  test('withdrawn files are no witnesses', async () => {
    const { source } = await plant.take('a.csv', head + lines(1, 60));
    await plant.engine.serve('source:withdraw', { source: source ?? 0 });
    expect(await ids('b.csv', head + lines(1, 9).replaceAll('/03/', '/04/'))).toEqual(['date-order']);
  });

  test('a file that contradicts itself is still a question', async () => {
    await plant.take('a.csv', head + lines(1, 60));
    const text = `${head}14/04/2026;06:00:00;T-1;Stem;24.10;30\n04/14/2026;06:00:00;T-1;Stem;24.11;30\n`;
    expect(await ids('b.csv', text)).toEqual(['date-order']);
  });

  test('a file read first waits, and is settled by the one taken in after it', async () => {
    const waiting = await plant.offer('b.csv', head + lines(1, 9).replaceAll('/03/', '/04/'));
    expect((await plant.read(waiting)).questions.map((card) => card.id)).toEqual(['date-order']);
    await plant.take('a.csv', head + lines(1, 60));
    expect(await plant.accept(waiting)).toMatchObject({ accepted: 9, questions: [] });
    expect((await plant.readings()).at(-1)?.at).toMatch(/^2026-04-0/);
  });

  test('the decimal mark too', async () => {
    const layout = 'Date;Tool;Joint;Torque [Nm]\n';
    const open = `${layout}2026-04-05 06:00:00;T-1;Stem;1,234\n2026-04-05 06:01:00;T-1;Stem;1,512\n`;
    expect(await ids('a.csv', open)).toEqual(['decimal-mark']);
    await plant.take('b.csv', `${layout}2026-03-05 06:00:00;T-1;Stem;1,23\n2026-03-05 06:01:00;T-1;Stem;1,51\n`);
    const ticket = await plant.offer('c.csv', open.replaceAll('04-05', '04-06'));
    const preview = await plant.read(ticket);
    expect(preview.questions).toEqual([]);
    expect(preview.layout?.decimalMark).toBe('comma');
  });
});

/** A line of `lines` in another layout, month first. */
function otherLayout(line: string): string {
  const [date = '', time, tool, joint, torque, angle] = line.split(';');
  const [day, month, year] = date.split('/');
  return [joint, tool, `${month}/${day}/${year}`, time, angle, torque].join(';');
}
