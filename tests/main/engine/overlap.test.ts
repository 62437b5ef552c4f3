import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { newtonMetresPer } from '#core/units/torque-unit.ts';
import { dump, series, TestEngine } from './test-engine.ts';

const ymd = { answers: { 'date-order': 'ymd' } };

describe('overlapping dumps with times', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
  });
  afterEach(() => plant.close());

  test('readings held already are counted, not inserted, but noted as shown here too', async () => {
    await plant.take('first.csv', dump(series(30)));
    const second = await plant.take('second.csv', dump(series(50)));
    expect(second).toMatchObject({ accepted: 20, alreadyHeld: 30 });
    expect(second.lines).toEqual({ total: 51, header: 1, blank: 0, accepted: 20, alreadyHeld: 30, rejected: 0 });
    expect(await plant.count()).toBe(50);
  });

  test('the preview counts what taking in then does', async () => {
    await plant.take('first.csv', dump(series(30)));
    const ticket = await plant.offer('second.csv', dump(series(40, undefined, 10)));
    const preview = await plant.read(ticket);
    expect(preview).toMatchObject({ accepted: 20, alreadyHeld: 20 });
    expect(await plant.accept(ticket)).toMatchObject({ accepted: 20, alreadyHeld: 20 });
  });

  test('the older dump may come last, and the newest-first one too', async () => {
    await plant.take('second.csv', dump(series(50)));
    expect(await plant.take('first.csv', dump(series(30)))).toMatchObject({ accepted: 0, alreadyHeld: 30 });
    const turned = dump([...series(60)].reverse());
    expect(await plant.take('turned.csv', turned)).toMatchObject({ accepted: 10, alreadyHeld: 50 });
    expect(await plant.count()).toBe(60);
  });

  test('one spelling of a number is as good as another: "24.10" and "24,1" are one value', async () => {
    await plant.take('first.csv', dump(series(30)));
    const other = dump(series(30).map((row) => ({ ...row, torque: `${Number(row.torque)}`.replace('.', ',') })));
    const outcome = await plant.take(
      'other.csv',
      other.replaceAll('30.', '30,').replace(/;3(\d)\.(\d)\n/g, ';3$1,$2\n'),
    );
    expect(outcome.questions).toEqual([]);
    expect(outcome).toMatchObject({ accepted: 0, alreadyHeld: 30 });
  });

  test('equal lines in one file are as many readings, and each is found again', async () => {
    const rows = [...series(10), ...Array.from({ length: 3 }, () => series(1)[0]!)];
    expect(await plant.take('first.csv', dump(rows))).toMatchObject({ accepted: 13 });
    expect(await plant.take('second.csv', dump([...rows, ...series(1)]))).toMatchObject({
      accepted: 1,
      alreadyHeld: 13,
    });
    expect(await plant.count()).toBe(14);
  });

  test('fifty thousand different readings of one second are told apart, though their keys collide', async () => {
    // 50 000 of the 2^21 keys of one second: about 600 pairs fall on the same key.
    const rows = Array.from({ length: 50_000 }, (_, i) => ({
      at: '2026-03-14 06:00:00',
      torque: (24 + (i % 200) / 100).toFixed(2),
      angle: (30 + Math.floor(i / 200) / 10).toFixed(1),
    }));
    expect(await plant.take('first.csv', dump(rows))).toMatchObject({ accepted: 50_000 });
    const more = [...rows].reverse();
    more.splice(20_000, 0, { at: '2026-03-14 06:00:00', torque: '99.00', angle: '30.0' });
    expect(await plant.take('second.csv', dump(more))).toMatchObject({ accepted: 1, alreadyHeld: 50_000 });
  });

  test('another angle, tool or joint as written is another reading', async () => {
    await plant.take('first.csv', dump(series(10)));
    const changed = (change: object) => dump(series(10).map((row) => ({ ...row, ...change })));
    expect(await plant.take('angle.csv', changed({ angle: '99.9' }))).toMatchObject({ accepted: 10 });
    expect(await plant.take('tool.csv', changed({ tool: 'T-2' }))).toMatchObject({ accepted: 10 });
    expect(await plant.take('joint.csv', changed({ joint: 'Crank' }))).toMatchObject({ accepted: 10 });
  });

  test('a joint said by an answer is no part of the identity: the same memory read out twice stays one', async () => {
    const noJoint = (count: number) =>
      `Date and time;Tool;Torque;Unit;Angle\n${series(count)
        .map((row) => `${row.at};T-1;${row.torque};Nm;${row.angle}`)
        .join('\n')}\n`;
    expect(await plant.take('first.csv', noJoint(20), { set: { joint: 'Stem' } })).toMatchObject({ accepted: 20 });
    expect(await plant.take('second.csv', noJoint(25), { set: { joint: 'Crank' } })).toMatchObject({
      accepted: 5,
      alreadyHeld: 20,
    });
  });

  test('withdrawing one of two files takes back only what no other shows', async () => {
    await plant.take('first.csv', dump(series(30)));
    await plant.take('second.csv', dump(series(30, undefined, 20)));
    expect(await plant.count()).toBe(50);
    expect(await plant.engine.serve('source:withdraw', { source: 1 })).toEqual({
      source: 1,
      outOfForce: 20,
      stillShownElsewhere: 10,
    });
    expect(await plant.count()).toBe(30);
    expect(await plant.engine.serve('source:withdraw', { source: 2 })).toEqual({
      source: 2,
      outOfForce: 30,
      stillShownElsewhere: 0,
    });
    expect(await plant.count()).toBe(0);
    expect(await plant.engine.serve('source:restore', { source: 1 })).toEqual({ source: 1, backInForce: 30 });
    expect(await plant.engine.serve('source:restore', { source: 2 })).toEqual({ source: 2, backInForce: 20 });
    const { imported } = await plant.engine.serve('inbox:list', {});
    expect(imported.map((one) => [one.source, one.onlyHere, one.stillShownElsewhere])).toEqual([
      [2, 20, 10],
      [1, 20, 10],
    ]);
  });

  test('a reading keeps the name of the file that first showed it, withdrawn or not', async () => {
    await plant.take('first.csv', dump(series(5)));
    await plant.take('second.csv', dump(series(8)));
    await plant.engine.serve('source:withdraw', { source: 1 });
    const ids = (await plant.readings()).map((reading) => reading.id);
    expect(ids).toEqual(['1:2', '1:3', '1:4', '1:5', '1:6', '2:7', '2:8', '2:9']);
  });

  test('the memory of a tool whose unit was changed between read-outs is a question', async () => {
    await plant.take('first.csv', dump(series(20)));
    // The factor itself is tested against the exact definitions in tests/core/units.
    const inFeet = series(20).map((row) => ({
      ...row,
      torque: (Number(row.torque) / newtonMetresPer['lbf.ft']).toFixed(2),
    }));
    const text = dump(inFeet, 'lbf.ft');
    const ticket = await plant.offer('second.csv', text);
    const preview = await plant.read(ticket);
    expect(preview.questions.map((card) => card.id)).toEqual(['overlap']);
    expect(await plant.accept(ticket)).toMatchObject({ source: null });
    await plant.read(ticket, { answers: { overlap: 'same' } });
    expect(await plant.accept(ticket)).toMatchObject({ accepted: 0, alreadyHeld: 20 });
    expect(await plant.count()).toBe(20);
  });

  test('times to the minute: a memory cleared within the minute in which the dumps meet is a question', async () => {
    const row = (minute: number, torque: string, angle: string) => ({
      at: `2026-03-14 06:${String(minute).padStart(2, '0')}`,
      torque,
      angle,
    });
    const before = [row(0, '24.1', '30.0'), row(3, '24.2', '31.0'), row(5, '24.3', '32.0')];
    const after = [row(5, '24.3', '32.0'), row(7, '24.5', '33.0'), row(9, '24.4', '34.0')];
    await plant.take('first.csv', dump(before), ymd);
    const ticket = await plant.offer('second.csv', dump(after));
    expect((await plant.read(ticket, ymd)).questions.map((card) => card.id)).toEqual(['overlap']);
    await plant.read(ticket, { answers: { ...ymd.answers, overlap: 'new' } });
    expect(await plant.accept(ticket)).toMatchObject({ accepted: 3, alreadyHeld: 0 });
    // The whole memory read out again is no question: its times tell.
    expect(await plant.take('again.csv', dump([...before, ...after]), ymd)).toMatchObject({
      accepted: 0,
      alreadyHeld: 6,
    });
  });
});

describe('overlapping dumps without times', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
  });
  afterEach(() => plant.close());

  const untimed = (from: number, count: number) => series(count, undefined, from).map(({ at: _, ...row }) => row);

  test('are aligned by the longest run that ends what is held and begins the file', async () => {
    await plant.take('first.csv', dump(untimed(0, 40)));
    expect(await plant.take('second.csv', dump(untimed(20, 40)))).toMatchObject({ accepted: 20, alreadyHeld: 20 });
    expect(await plant.take('third.csv', dump(untimed(0, 70)))).toMatchObject({ accepted: 10, alreadyHeld: 60 });
    expect(await plant.count()).toBe(70);
    const { readings } = await plant.engine
      .serve('review:answer', {
        scope: { from: null, to: null, shifts: [], joints: [], tools: [], operators: [] },
        unit: 'N.m',
      })
      .then((answer) => answer as { readings: { noTime: number } });
    expect(readings.noTime).toBe(70);
  });

  test('an older dump that lies wholly inside what is held adds nothing', async () => {
    await plant.take('all.csv', dump(untimed(0, 60)));
    expect(await plant.take('part.csv', dump(untimed(10, 20)))).toMatchObject({ accepted: 0, alreadyHeld: 20 });
  });

  test('nothing alike means a cleared memory: all new', async () => {
    await plant.take('first.csv', dump(untimed(0, 30)));
    expect(await plant.take('second.csv', dump(untimed(50, 30)))).toMatchObject({ accepted: 30, alreadyHeld: 0 });
  });

  test('a run shorter than five is a question, answered either way', async () => {
    await plant.take('first.csv', dump(untimed(0, 30)));
    const ticket = await plant.offer('second.csv', dump(untimed(27, 20)));
    const preview = await plant.read(ticket);
    expect(preview.questions.map((card) => card.id)).toEqual(['overlap']);
    expect(preview.questions[0]?.choices.map((choice) => choice.value)).toEqual(['same', 'new']);
    expect(await plant.accept(ticket)).toMatchObject({ source: null });
    await plant.read(ticket, { answers: { overlap: 'same' } });
    expect(await plant.accept(ticket, { dryRun: true })).toMatchObject({ accepted: 17, alreadyHeld: 3 });
    await plant.read(ticket, { answers: { overlap: 'new' } });
    expect(await plant.accept(ticket)).toMatchObject({ accepted: 20, alreadyHeld: 0 });
  });

  test('a constant torque is not mistaken for a repeated memory without asking', async () => {
    const constant = (count: number) => Array.from({ length: count }, () => ({ torque: '24.0', angle: '30.0' }));
    await plant.take('first.csv', dump(constant(3)));
    const ticket = await plant.offer('second.csv', dump(constant(4)));
    expect((await plant.read(ticket)).questions.map((card) => card.id)).toEqual(['overlap']);
  });
});
