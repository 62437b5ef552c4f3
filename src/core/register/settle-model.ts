/** What settling a name comes to: how many readings count under another entry, and what that does to their verdicts. */
import type { SettleModel } from '../contract/models/register-model.ts';
import { judgeAll } from '../judging/judge.ts';
import type { Plant } from '../readings/plant.ts';
import { said } from '../text/said.ts';
import { checkKey } from './register-file.ts';
import { verdictWord } from './verdict-word.ts';

export interface SettleAsked {
  readonly kind: SettleModel['kind'];
  readonly name: string;
  /** Null: confirmed as it is. */
  readonly into: string | null;
  /** Positions of readings that become equal to another by it. */
  readonly setAside: readonly number[];
  /** Names of saved studies and scopes that name it. */
  readonly studies: readonly string[];
  readonly scopes: readonly string[];
}

/**
 * What taking a name for an entry of the register comes to, found by judging all readings a second time as they count
 * then. Only readings in force count; those set aside have no verdict that could change.
 *
 * @returns null when there is no entry of that name
 */
export function settleModel(plant: Plant, asked: SettleAsked): SettleModel | null {
  const { kind, name, setAside } = asked;
  const { readings, register, judged } = plant;
  const from = placeOf(plant, kind, name);
  if (from < 0) return null;
  const into = asked.into ?? name;
  const target = placeOf(plant, kind, into);
  const how = into === name ? 'confirm' : target < 0 ? 'rename' : 'merge';
  const column = readings[kind];
  const moved: number[] = [];
  for (let i = 0; i < readings.length; i++) if (column[i] === from && readings.inForce[i] === 1) moved.push(i);

  const groups = new Map<string, { from: string; to: string; count: number }>();
  let changedVerdicts = 0;
  if (how === 'merge' && kind !== 'operator') {
    const after = judgeAll({ ...readings, [kind]: column.map((at) => (at === from ? target : at)) }, register);
    const gone = new Set(setAside);
    for (const i of moved) {
      if (
        gone.has(i) ||
        (judged.verdict[i] === after.verdict[i] &&
          judged.reasons[i] === after.reasons[i] &&
          judged.unjudgedBecause[i] === after.unjudgedBecause[i])
      ) {
        continue;
      }
      changedVerdicts++;
      const [was, is] = [verdictWord(judged, i), verdictWord(after, i)];
      const group = groups.get(`${was}>${is}`) ?? { from: was, to: is, count: 0 };
      group.count++;
      groups.set(`${was}>${is}`, group);
    }
  }
  const follows = how === 'confirm' ? { studies: [], scopes: [] } : { studies: asked.studies, scopes: asked.scopes };
  const pulls = kind === 'tool' ? register.checks.filter((pull) => pull.tool === from) : [];
  const joint = kind === 'joint' ? register.joints[from] : undefined;
  const tool = kind === 'tool' ? register.tools[from] : undefined;
  return {
    kind,
    name,
    into,
    how,
    readings: moved.length,
    changedVerdicts,
    changes: [...groups.values()]
      .sort((a, b) => b.count - a.count)
      .map((group) => ({ ...group, said: said('register.verdict-change', { ...group, of: moved.length }) })),
    setAside: setAside.length,
    ...follows,
    said: said('register.settling', {
      kind,
      name,
      into,
      how,
      readings: moved.length,
      changed: changedVerdicts,
      setAside: setAside.length,
      checks: new Set(pulls.map(checkKey)).size,
      revisions: joint?.revisions.length ?? 0,
      events: tool?.events.length ?? 0,
      adapters: tool?.adapters.length ?? 0,
    }),
    follow:
      follows.studies.length + follows.scopes.length === 0
        ? null
        : said('register.settling-follow', { ...follows, into }),
  };
}

function placeOf({ register }: Plant, kind: SettleModel['kind'], name: string): number {
  switch (kind) {
    case 'joint':
      return register.joints.findIndex((one) => one.name === name);
    case 'tool':
      return register.tools.findIndex((one) => one.serial === name);
    case 'operator':
      return register.operators.findIndex((one) => one.badge === name);
  }
}
