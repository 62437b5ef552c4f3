/** units.json and adapters.json: exact factors, conversions, and torque at the fastener behind an adapter. */
import { describe, expect, it } from 'vitest';
import { adapterFactor, cosineOfDegrees, handShiftEffect } from '#core/units/adapter-factor.ts';
import { convertTorque, isTorqueUnit, newtonMetresPer, torqueUnitCodes } from '#core/units/torque-unit.ts';
import { expectNear, referenceCases } from '../drift/reference.ts';

describe('units', () => {
  const cases = referenceCases('units.json');
  for (const one of cases.filter((each) => each.id.startsWith('factor-') && isTorqueUnit(each.input.unit))) {
    it(`units.json#${one.id}`, () => {
      // The nearest double of the exact decimal.
      expect(newtonMetresPer[one.input.unit as keyof typeof newtonMetresPer]).toBe(
        Number(one.expect.to_N_m_exact_decimal),
      );
    });
  }
  for (const one of cases.filter((each) => /^(convert|from-Nm)-/.test(each.id))) {
    it(`units.json#${one.id}`, () => {
      expectNear(convertTorque(one.input.value, one.input.from, one.input.to), one.expect.value_double, 4.5e-16);
    });
  }
  it('has a reference factor for every unit but the newton metre itself', () => {
    const known = new Set(cases.filter((each) => each.id.startsWith('factor-')).map((each) => each.input.unit));
    expect(torqueUnitCodes.filter((unit) => unit !== 'N.m' && !known.has(unit))).toEqual([]);
  });
  it('does not use the seven-digit factors printed in NIST SP 811 (2008), Appendix B.8', () => {
    // Printed there: pound-force foot 1.355 818 E+00, pound-force inch 1.129 848 E-01, ounce-force inch 7.061 552 E-03.
    for (const [unit, printed] of [
      ['lbf.ft', 1.355818],
      ['lbf.in', 0.1129848],
      ['ozf.in', 0.007061552],
    ] as const) {
      expect(newtonMetresPer[unit]).not.toBe(printed);
      expectNear(newtonMetresPer[unit], printed, 1e-6);
    }
  });
});

describe('adapters', () => {
  for (const one of referenceCases('adapters.json')) {
    if (!one.input.T_target) continue;
    it(`adapters.json#${one.id}`, () => {
      const { T_target, L, E, theta_deg } = one.input;
      const factor = adapterFactor(L, E, theta_deg)!;
      // Set at the wrench so that the fastener gets the target: the reading is target / factor.
      if (one.kind === 'published') {
        const decimals = String(one.expect.T_set).split('.')[1]?.length ?? 0;
        expect((T_target / factor).toFixed(decimals)).toBe(one.expect.T_set.toFixed(decimals));
      } else {
        expectNear(T_target / factor, one.expect.T_set, 1e-12);
        expectNear(factor * L, one.expect.effective_length, 1e-12);
      }
    });
  }
  it('adapters.json#angled-form: straight ahead is longest, folded back shortest', () => {
    expect(adapterFactor(300, 50, 0)).toBeGreaterThan(adapterFactor(300, 50, 45)!);
    expect(adapterFactor(300, 50, 45)).toBeGreaterThan(1);
    expect(adapterFactor(300, 50, 180)).toBe(250 / 300);
  });
  it('needs no correction square to the wrench, to the last digit', () => {
    for (const angle of [90, 270, -90, 450]) {
      expect(cosineOfDegrees(angle)).toBe(0);
      expect(adapterFactor(300, 50, angle)).toBe(1);
    }
  });
  it('refuses a lever that is none', () => {
    expect(adapterFactor(300, 300, 180)).toBeNull();
    expect(adapterFactor(0, 50, 0)).toBeNull();
  });
  it('tells what moving the hand does: the derivative of the factor, relative to it', () => {
    const step = 1e-4;
    const at = (length: number): number => adapterFactor(length, 50, 30)!;
    const slope = (at(300 + step) - at(300 - step)) / (2 * step) / at(300);
    expectNear(handShiftEffect(300, 50, 30, 10), slope * 10, 1e-7);
  });
});
