/** A hand calculation from the printed numbers of a working gives the printed result. */
import { describe, expect, test } from 'vitest';
import type { MathNode, Working } from '#core/contract/models/study-model.ts';
import { driftToolModel } from '#core/drift/drift-tool-model.ts';
import { everything } from '#core/readings/scope.ts';
import type { CheckPull } from '#core/register/register.ts';
import { roundedText } from '#core/text/format.ts';
import { say } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { firstDay, simulatedPlant } from '../../bench/simulated-plant.ts';

const now = firstDay + 60 * msPerDay;
const base = { seed: 3, tools: 6, operators: 5, joints: 5, shifts: 40, perShift: 30 } as const;
const made = simulatedPlant({ ...base, planted: { kind: 'transducer', tool: 2, percent: -2.5, at: 20 } });
const pull = (shown: number, day: number): CheckPull => ({
  tool: 2,
  at: firstDay + day * msPerDay,
  nominal: 24,
  reference: 24.6,
  shown,
  unit: 'N.m',
  kind: 'as-found',
  uncertaintyPercent: null,
});
const checks = [pull(23.97, 28), pull(24.02, 28), pull(23.95, 28)];
const plant = { ...made, register: { ...made.register, checks } };

/** Value of a formula with numbers: the hand calculation. Text words stand for what they mean in arithmetic. */
function value(node: MathNode): string {
  switch (node.kind) {
    case 'number':
      return node.text.replace('−', '-').replace(/[^-0-9.e]/g, '');
    case 'operator':
      return (
        ({ '−': '-', '×': '*', '(': '(', ')': ')', '+': '+', ',': ',' } as Record<string, string>)[node.text] ?? ' '
      );
    case 'words':
      return ({ min: 'Math.min', exp: 'Math.exp' } as Record<string, string>)[node.text.trim()] ?? '';
    case 'symbol':
      return '';
    case 'row':
      return node.of
        .map((part, k) => {
          const before = node.of[k - 1];
          const text = value(part);
          // Numbers side by side, or before a bracket, are multiplied.
          const factor = before?.kind === 'number' || before?.kind === 'fraction';
          const times =
            part.kind === 'words' || part.kind === 'fraction' || (part.kind === 'operator' && part.text === '(');
          return factor && times && text.trim() !== '' ? `*${text}` : text;
        })
        .join('');
    case 'fraction':
      return `((${value(node.over)})/(${value(node.under)}))`;
    case 'root':
      return `Math.sqrt(${value(node.of)})`;
    case 'power':
      return `((${value(node.base)})**(${value(node.exponent)}))`;
    case 'index':
      return '';
  }
}

/** The two sides of the first equals sign of a row. */
function sides(node: MathNode): { left: MathNode; right: MathNode } {
  if (node.kind !== 'row') throw new Error('a row was expected');
  const at = node.of.findIndex((part) => part.kind === 'operator' && part.text === '=');
  return { left: { kind: 'row', of: node.of.slice(0, at) }, right: { kind: 'row', of: node.of.slice(at + 1, at + 2) } };
}

// Formulas are made by this project from numbers alone.
const calculate = (text: string): number => Number(new Function(`return ${text}`)());

const tools = plant.register.tools.map((tool) => tool.serial);
const models = tools.map((tool) => driftToolModel(plant, everything, now, tool));
const named = (figure: string): Working[] => models.flatMap((m) => m.workings.filter((w) => w.figure === figure));

describe('workings of a tool', () => {
  test('every tool has them for the move, the change, the limit and the trend of both lanes', () => {
    for (const model of models) {
      const figures = model.workings.map((one) => one.figure);
      for (const lane of ['own', 'response']) {
        for (const what of ['move', 'change', 'ewma', 'trend', 'visible']) expect(figures).toContain(`${lane}-${what}`);
      }
      expect(figures).toContain('false-alarms');
    }
    expect(models[2]?.workings.map((one) => one.figure)).toContain('check-deviation');
  });

  test.each([
    ['own-ewma', 3],
    ['response-ewma', 3],
    ['own-visible', 3],
    ['response-visible', 3],
    ['check-deviation', 3],
    ['false-alarms', 2],
  ])('%s: the numbers put in give the printed value', (figure, decimals) => {
    const found = named(figure);
    expect(found.length).toBeGreaterThan(0);
    for (const working of found) {
      const { left, right } = sides(working.lines[0]!.withNumbers);
      expect(roundedText(calculate(value(left)), decimals)).toBe(roundedText(calculate(value(right)), decimals));
      expect(roundedText(working.value!, decimals)).toBe(roundedText(calculate(value(right)), decimals));
    }
  });

  test('a move: estimate ± t √(s² + s²) gives the printed interval, which is the one on the strips', () => {
    for (const lane of ['own', 'response'] as const) {
      for (const model of models) {
        const working = model.workings.find((one) => one.figure === `${lane}-move`)!;
        const number = (position: number): number => Number(working.inputs[position]!.text.replace('−', '-'));
        const half = number(3) * Math.sqrt(number(1) ** 2 + number(2) ** 2);
        const since = model.row[lane].since!;
        expect(roundedText(number(0) - half, 3)).toBe(roundedText(since.low95, 3));
        expect(roundedText(number(0) + half, 3)).toBe(roundedText(since.high95, 3));
      }
    }
  });

  test('a change: p from the printed K and m', () => {
    for (const working of [...named('own-change'), ...named('response-change')]) {
      const k = Number(working.inputs[0]!.text);
      const m = Number(working.inputs[1]!.text);
      expect(Math.min(1, 2 * Math.exp((-6 * k * k) / (m ** 3 + m ** 2)))).toBeCloseTo(working.value!, 12);
    }
  });

  test('every sentence of every working has words', () => {
    for (const working of models.flatMap((model) => model.workings)) {
      for (const one of [working.title, working.method, working.source, ...working.unmet]) {
        expect(say(one)).not.toMatch(/drift\.working|undefined|NaN/);
      }
      for (const one of working.inputs) expect(`${one.text} ${say(one.meaning)}`).not.toMatch(/drift\.|undefined|NaN/);
    }
  });
});
