/** What a person has set for Drift, as the store's settings keep it. */
import { z } from 'zod';
import type { DriftOptions } from '#core/drift/analysis.ts';
import type { Json } from '../store/store.ts';
import { presentByTool } from './present-names.ts';
import type { RegisterState } from './register-state.ts';

/** The setting that keeps the lots by which operators are numbered: ids of their entries. */
export const lotsKey = 'drift.numbers';

const driftBaseline = z.strictObject({ from: z.number(), to: z.number() }).nullable();
const threshold = z.number().positive().nullable();
const driftThresholds = z.record(
  z.string(),
  z.strictObject({ ownPercent: threshold, responsePercent: threshold, checkPercent: threshold }),
);

export const thresholdsKey = 'drift.thresholds';

/** Settings with thresholds under the serials that their tools have now. */
export function presentThresholds(
  settings: { readonly [key: string]: Json },
  state: RegisterState,
): { readonly [key: string]: Json } {
  const kept = settings[thresholdsKey];
  if (typeof kept !== 'object' || kept === null || Array.isArray(kept)) return settings;
  // No list: an object by serial.
  return { ...settings, [thresholdsKey]: presentByTool(state, kept as { readonly [serial: string]: Json }) };
}

/** What a person has set for the drift screen: `drift.anonymous`, `drift.baseline`, `drift.thresholds`. */
export function driftOptions(settings: { readonly [key: string]: Json }): DriftOptions {
  const baseline = driftBaseline.safeParse(settings['drift.baseline']);
  const thresholds = driftThresholds.safeParse(settings[thresholdsKey]);
  return {
    anonymousOperators: settings['drift.anonymous'] === true,
    baseline: baseline.success ? baseline.data : null,
    thresholds: thresholds.success ? thresholds.data : {},
  };
}
