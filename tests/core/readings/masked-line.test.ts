import { describe, expect, it } from 'vitest';
import type { Recipe } from '#core/intake/recipe.ts';
import { maskedLine } from '#core/readings/masked-line.ts';
import { nameMask } from '#core/readings/name-mask.ts';
import { emptyRegister, mergeRegisterFile } from '#core/register/register-file.ts';

const { register } = mergeRegisterFile(emptyRegister, {
  operators: [
    { badge: '114', name: 'K. Osei' },
    { badge: '139', name: 'R. Banerjee' },
  ],
  tools: [{ serial: 'T-114', unit: 'N.m', min: 10, max: 60 }],
  joints: [{ name: 'Rack stay' }],
});
const mask = nameMask(register);
const second = 'Operator 2';

function recipe(
  roles: Recipe['roles'],
  delimiter: Recipe['layout']['delimiter'] = ';',
  header: readonly string[] | null = null,
): Recipe {
  return {
    format: 'tightbook-recipe-1',
    fingerprint: '0123456789abcdef',
    name: 'test',
    layout: {
      delimiter,
      quote: '"',
      escape: 'doubled',
      header: header && [...header],
      preambleKeys: [],
      columns: roles.length,
    },
    roles,
    decimalMark: null,
    dateOrder: null,
    unit: null,
    tool: null,
    operator: null,
    joint: null,
  };
}
const text = (...asked: Parameters<typeof maskedLine>): string | null => maskedLine(...asked)?.text ?? null;

describe('by the columns of the file', () => {
  const usual = recipe(['date-time', 'torque', 'operator', 'joint']);

  it('replaces the cell of the operator and nothing else, a torque of 139 neither', () => {
    expect(text('2026-11-03 06:00;139;139;Rack stay', usual, mask, second)).toBe(
      `2026-11-03 06:00;139;${second};Rack stay`,
    );
  });

  it('keeps quotes, blanks and tabs where they are', () => {
    const quoted = recipe(['date-time', 'torque', 'operator', 'joint'], ',');
    expect(text('"2026-11-03 06:00", "24.1","139" ,"Rack stay"', quoted, mask, second)).toBe(
      `"2026-11-03 06:00", "24.1","${second}" ,"Rack stay"`,
    );
    const tabs = recipe(['torque', 'operator'], '\t');
    expect(text('24.1\t R. Banerjee ', tabs, mask, second)).toBe(`24.1\t ${second} `);
    const runs = recipe(['torque', 'operator', 'own-result'], ' ');
    expect(text('24.1   139  OK', runs, mask, second)).toBe(`24.1   ${second}  OK`);
  });

  it('masks a cell whatever it holds, also one that the register does not know or that was assigned to another', () => {
    expect(text('x;24.1;Rakesh;Rack stay', usual, mask, second)).toBe('x;24.1;an operator;Rack stay');
    expect(text('x;24.1;114;Rack stay', usual, mask, second)).toBe('x;24.1;Operator 1;Rack stay');
    expect(text('x;24.1;;Rack stay', usual, mask, null)).toBe('x;24.1;;Rack stay');
  });

  it('leaves out what stands in columns that are not read, and names in notes', () => {
    const more = recipe(['torque', 'operator', 'ignore', 'note', 'ignore'], ';', [
      'M',
      'Badge',
      'Worker',
      'Note',
      'Temp',
    ]);
    expect(text('24.1;139;Rakesh;asked Osei;21.5', more, mask, second)).toBe(
      `24.1;${second};an operator;asked Operator 1;…`,
    );
  });

  it('says whether it left anything out', () => {
    const more = recipe(['torque', 'operator', 'ignore']);
    expect(maskedLine('24.1;139;20', more, mask, second)?.leftOut).toBe(true);
    expect(maskedLine('24.1;139;', more, mask, second)?.leftOut).toBe(false);
  });

  it('takes a line with a cell too few or too many for its own if the operator stands in its cell', () => {
    expect(text('x;24.1;139', usual, mask, second)).toBe(`x;24.1;${second}`);
    expect(text('x;24.1;139;Rack stay;Rakesh', usual, mask, second)).toBe(`x;24.1;${second};Rack stay;…`);
  });
});

describe('where the columns do not tell', () => {
  const shifted = recipe(['torque', 'operator', 'ignore', 'ignore', 'ignore']);

  it('replaces whole cells, and leaves out every cell that might be a name', () => {
    expect(text('T-114;24,1 Nm;Rack stay;139;OK;Rakesh;2026-11-03', shifted, mask, second)).toBe(
      `T-114;24,1 Nm;Rack stay;${second};OK;…;2026-11-03`,
    );
    expect(text('T-114,24.1,139', null, mask, second)).toBe(`T-114,24.1,${second}`);
  });

  it('shows no line at all when the operator is not found in it', () => {
    expect(text('T-114;24,1;Rakesh', shifted, mask, second)).toBeNull();
    expect(text('T-114;24,1;114', null, mask, second)).toBeNull();
    expect(text('T-114;24,1', null, mask, null)).toBeNull();
    expect(text('a "quote that never closes;139', recipe(['note', 'operator']), mask, undefined)).not.toContain('139');
    expect(text('"never closed;139', recipe(['note', 'operator']), mask, undefined)).toBeNull();
    expect(text('two\nlines;139', recipe(['note', 'operator']), mask, second)).toBeNull();
  });
});

describe('a rejected line', () => {
  const usual = recipe(['date-time', 'torque', 'operator', 'joint']);

  it('is shown by its columns where a known operator stands in its cell, and says where the fault is now', () => {
    const line = 'x;139;139;--';
    const shown = maskedLine(line, usual, mask, undefined)!;
    // Nothing of such a line need be where it should be.
    expect(shown.text).toBe(`x;${second};${second};--`);
    const [from, to] = shown.place([10, 12])!;
    expect(shown.text.slice(from, to)).toBe('--');
    expect(shown.place([2, 5])).toBeNull();
  });

  it('is not shown where its cell holds somebody unknown', () => {
    expect(text('x;24,1;Rakesh;Rack stay', usual, mask, undefined)).toBeNull();
  });
});
