import type { Working } from '../contract/models/study-model.ts';
import { z975 } from '../stats/normal-distribution.ts';
import { plainDecimal } from '../text/format.ts';
import { frac, type MathNode, num, op, root, row, sym, words } from './math-node.ts';
import type { Study } from './study.ts';
import { input, meaning, shown, work } from './study-working.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { n } from './working-symbols.ts';

/** Working of how many more readings the requirement takes. */
export function planWorking(study: Study): Working[] {
  const { more, requirement } = study;
  if (!more || !requirement) return [];
  const outcome = study.indices[requirement.index];
  if (!outcome.ok) return [];
  const v = outcome.value.value;
  const count = study.values.length;
  const freedom = requirement.index === 'Cpk' && study.withinSigma.ok ? study.withinSigma.value.degreesOfFreedom : null;
  const c = 1 / 9 + (v * v * (freedom === null ? 1 : count / freedom)) / 2;
  const z90 = 1.2815515655446004;
  const half = z975 * Math.sqrt(c / (count + more.evenOdds));
  const all = count + more.ninetyPercent;
  const ninety = z975 * Math.sqrt(c / all) + (z90 * Math.sqrt(c * more.ninetyPercent)) / all;
  const printed = inputsThatReproduce(
    { z: z975, z90, c },
    (x) => [
      x.z * Math.sqrt(x.c / (count + more.evenOdds)),
      x.z * Math.sqrt(x.c / all) + (x.z90 * Math.sqrt(x.c * more.ninetyPercent)) / all,
    ],
    5,
  );
  const gap = (): MathNode[] => [num(plainDecimal(significant(v, 7))), op('−'), num(plainDecimal(requirement.value))];
  return [
    work(
      'moreReadings',
      words('more readings'),
      more.evenOdds,
      [
        {
          caption: null,
          formula: row(sym('z'), root(frac(sym('c'), row(n, '+', words('add')))), '≤', sym('v'), '−', sym('R')),
          withNumbers: row(
            num(printed.z),
            '×',
            root(frac(num(printed.c), row(num(count), '+', num(more.evenOdds)))),
            '=',
            shown(half, 5),
            '≤',
            ...gap(),
          ),
        },
        {
          caption: meaning('nine-in-ten'),
          formula: row(
            sym('z'),
            root(frac(sym('c'), row(n, '+', words('add')))),
            '+',
            frac(row(num('1.28155'), root(row(sym('c'), words('add')))), row(n, '+', words('add'))),
            '≤',
            sym('v'),
            '−',
            sym('R'),
          ),
          withNumbers: row(
            num(printed.z),
            '×',
            root(frac(num(printed.c), num(all))),
            '+',
            frac(row(num(printed.z90), '×', root(row(num(printed.c), '×', num(more.ninetyPercent)))), num(all)),
            '=',
            shown(ninety, 5),
            '≤',
            ...gap(),
          ),
        },
      ],
      'more-readings',
      'definition',
      { inputs: [input(sym('R'), requirement.value, 'R'), input(n, count, 'n')] },
    ),
  ];
}
