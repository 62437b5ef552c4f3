import { onceAPlant } from '../readings/once-a-plant.ts';
import type { Plant } from '../readings/plant.ts';
import { ownDiffers } from '../readings/reading-row.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';
import { secondPulls } from './second-pulls.ts';

/** What is worth a notice about single readings, one bit each. */
export const flagBits = {
  otherDirection: 1,
  zeroTorque: 2,
  onLimit: 4,
  beyondRange: 8,
  ownDiffers: 16,
  secondPull: 32,
} as const;

/** Flags of all readings; O(n), once a plant. */
export const readingFlags: (plant: Plant) => Uint8Array = onceAPlant(buildFlags);

function buildFlags(plant: Plant): Uint8Array {
  const { readings, register, judged } = plant;
  const n = readings.length;
  const flags = new Uint8Array(n);
  const units = torqueUnitCodes.length;
  const newtonMetres = Float64Array.from(torqueUnitCodes, (unit) => newtonMetresPer[unit]);
  // Marked ranges in N·m, moved up by one so that "no tool" has a place; unknown sides are open.
  const least = new Float64Array(register.tools.length + 1).fill(Number.NEGATIVE_INFINITY);
  const most = new Float64Array(register.tools.length + 1).fill(Number.POSITIVE_INFINITY);
  register.tools.forEach((tool, t) => {
    if (tool.unit === null) return;
    const factor = newtonMetresPer[tool.unit];
    if (tool.min !== null) least[t + 1] = tool.min * factor * (1 - 1e-9);
    if (tool.max !== null) most[t + 1] = tool.max * factor * (1 + 1e-9);
  });
  const { torque, unit, tool, own } = readings;
  const { unjudgedBecause, onLimit } = judged;
  for (let i = 0; i < n; i++) {
    let bits = 0;
    if (unjudgedBecause[i] === 1) bits |= flagBits.otherDirection;
    if (torque[i] === 0) bits |= flagBits.zeroTorque;
    if (onLimit[i] === 1) bits |= flagBits.onLimit;
    const value = Math.abs(torque[i]!) * (unit[i]! < units ? newtonMetres[unit[i]!]! : 1);
    const t = tool[i]! + 1;
    if (value < least[t]! || value > most[t]!) bits |= flagBits.beyondRange;
    if (own[i] !== 0 && ownDiffers(plant, i)) bits |= flagBits.ownDiffers;
    if (bits !== 0) flags[i] = bits;
  }
  for (const i of secondPulls(plant)) flags[i] = flags[i]! | flagBits.secondPull;
  return flags;
}
