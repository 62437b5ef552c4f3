/**
 * Torque at the fastener in parts of the torque the wrench shows, with an adapter that moves the fastener off the drive.
 *
 * (L + E cos a) / L. Multiples of 90 degrees use exact cosines: square to the wrench nothing changes, to the last digit.
 * Source of the formula: US Army TM 1-1500-204-23-9 and US Navy NAVEDTRA 14315 (straight extensions), TM 9-254 (angled).
 *
 * @param lengthMm L, drive centre to the middle of the pull on the grip
 * @param offsetMm E, drive centre to fastener centre
 * @param angleDeg a, between drive -> fastener and the wrench's axis pointing away from the hand; 0 straight ahead
 * @returns the factor, or null where L is not positive or L + E cos a is not: such an adapter cannot tighten
 * @example adapterFactor(300, 50, 90) // => 1
 */
export function adapterFactor(lengthMm: number, offsetMm: number, angleDeg: number): number | null {
  const reach = lengthMm + offsetMm * cosineOfDegrees(angleDeg);
  return lengthMm > 0 && reach > 0 ? reach / lengthMm : null;
}

/**
 * How much the torque at the fastener changes, relatively, when the hand moves by `handMm` along the grip.
 *
 * -E cos a dL / (L (L + E cos a)).
 */
export function handShiftEffect(lengthMm: number, offsetMm: number, angleDeg: number, handMm: number): number {
  const part = offsetMm * cosineOfDegrees(angleDeg);
  return (-part * handMm) / (lengthMm * (lengthMm + part));
}

/** Cosine of an angle in degrees; exact at multiples of 90. */
export function cosineOfDegrees(angleDeg: number): number {
  const turn = ((angleDeg % 360) + 360) % 360;
  if (turn === 0) return 1;
  if (turn === 90 || turn === 270) return 0;
  if (turn === 180) return -1;
  return Math.cos((turn * Math.PI) / 180);
}
