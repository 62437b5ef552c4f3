/** Files to drop in by hand: one that needs an answer, one that is no dump. */
import { makeRandom } from './random.ts';

/** Names and texts. */
export function filesToTry(seed: number): readonly (readonly [string, string])[] {
  return [
    ['loan wrench T-221.csv', undecidableDates(seed)],
    ['canteen menu.csv', canteenMenu],
  ];
}

/**
 * A loan wrench of unknown region: 4, 5 and 6 November, or 11 April, 11 May and 11 June. No day is over 12, the tool
 * is new to the register, and nothing in the file overlaps what is held.
 */
function undecidableDates(seed: number): string {
  const random = makeRandom(seed + 221);
  const lines = ['No;Date;Time;Wrench;Joint;Torque;Unit;Angle;Operator'];
  let number = 0;
  for (const day of ['04/11/2026', '05/11/2026', '06/11/2026']) {
    let second = 6 * 3600 + 410;
    for (let i = 0; i < 64; i += 1) {
      number += 1;
      second += 24 + Math.floor(random.uniform() * 20) + (i % 4 === 3 ? 1100 : 0);
      const torque = 24 * (1 + 0.004 + 0.016 * random.normal());
      const angle = 62 + 6 * random.normalWithin(2);
      const time = [second / 3600, (second / 60) % 60, second % 60].map((v) => String(Math.floor(v)).padStart(2, '0'));
      const shown = number === 41 || number === 118 ? '--,--' : torque.toFixed(2).replace('.', ',');
      lines.push(
        [number, day, time.join(':'), 'T-221', 'Rack stay M8', shown, 'Nm', angle.toFixed(0), '160'].join(';'),
      );
    }
  }
  return `${lines.join('\r\n')}\r\n`;
}

const canteenMenu = [
  'Day,Dish,With,Baker',
  'Monday,Lentil soup,rye bread,K. Osei',
  'Tuesday,Fish cakes,potatoes,M. Lind',
  'Wednesday,Pea stew,pancakes,R. Banerjee',
  'Thursday,Vegetable curry,rice,J. Tveit',
  'Friday,Pizza,salad,E. Sato',
  '',
].join('\n');
