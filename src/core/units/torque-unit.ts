/**
 * Torque units and their exact factors.
 *
 * Source of the factors: exact definitions of the pound (0.45359237 kg), the foot (0.3048 m) and standard gravity
 * (9.80665 m/s2). The seven-digit factors printed in NIST SP 811 are roundings of these and are not used.
 */
export const torqueUnitCodes = [
  'N.m',
  'N.cm',
  'N.mm',
  'cN.m',
  'dN.m',
  'daN.m',
  'kN.m',
  'lbf.ft',
  'lbf.in',
  'ozf.in',
  'kgf.m',
  'kgf.cm',
] as const;

/** A unit code as the command line and the store write it. */
export type TorqueUnit = (typeof torqueUnitCodes)[number];

/** Newton metres in one of each unit. */
export const newtonMetresPer: Readonly<Record<TorqueUnit, number>> = {
  'N.m': 1,
  'N.cm': 0.01,
  'N.mm': 0.001,
  'cN.m': 0.01,
  'dN.m': 0.1,
  'daN.m': 10,
  'kN.m': 1000,
  // biome-ignore lint/correctness/noPrecisionLoss: the exact decimal is written; its nearest double is meant
  'lbf.ft': 1.3558179483314004,
  'lbf.in': 0.1129848290276167,
  // biome-ignore lint/correctness/noPrecisionLoss: as above
  'ozf.in': 0.00706155181422604375,
  'kgf.m': 9.80665,
  'kgf.cm': 0.0980665,
};

/** How a unit is printed: a middle dot between the factors, as ISO 80000-1 writes products of units. */
export const torqueUnitSymbols: Readonly<Record<TorqueUnit, string>> = {
  'N.m': 'N·m',
  'N.cm': 'N·cm',
  'N.mm': 'N·mm',
  'cN.m': 'cN·m',
  'dN.m': 'dN·m',
  'daN.m': 'daN·m',
  'kN.m': 'kN·m',
  'lbf.ft': 'lbf·ft',
  'lbf.in': 'lbf·in',
  'ozf.in': 'ozf·in',
  'kgf.m': 'kgf·m',
  'kgf.cm': 'kgf·cm',
};

/**
 * Converts a torque from one unit to another.
 *
 * The same unit returns the value untouched, so that a reading compared in its own unit loses no digit.
 *
 * @example convertTorque(10, 'daN.m', 'N.m') // => 100
 */
export function convertTorque(value: number, from: TorqueUnit, to: TorqueUnit): number {
  return from === to ? value : (value * newtonMetresPer[from]) / newtonMetresPer[to];
}

/** Whether a text is one of the unit codes. */
export function isTorqueUnit(text: string): text is TorqueUnit {
  return (torqueUnitCodes as readonly string[]).includes(text);
}
