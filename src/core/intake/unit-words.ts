/** Torque units as people and wrenches spell them. */
import type { TorqueUnit } from '../units/torque-unit.ts';

/** Spellings with everything but letters taken off, in lower case. Order of factors is free, so both are listed. */
const spellings: Readonly<Record<string, TorqueUnit>> = {
  nm: 'N.m',
  mn: 'N.m',
  newtonmetre: 'N.m',
  newtonmeter: 'N.m',
  newtonmetres: 'N.m',
  newtonmeters: 'N.m',
  newtonmètre: 'N.m',
  newtonmetro: 'N.m',
  ncm: 'N.cm',
  nmm: 'N.mm',
  cnm: 'cN.m',
  dnm: 'dN.m',
  danm: 'daN.m',
  knm: 'kN.m',
  ftlb: 'lbf.ft',
  ftlbs: 'lbf.ft',
  ftlbf: 'lbf.ft',
  lbft: 'lbf.ft',
  lbsft: 'lbf.ft',
  lbfft: 'lbf.ft',
  footpound: 'lbf.ft',
  footpounds: 'lbf.ft',
  poundfoot: 'lbf.ft',
  poundfeet: 'lbf.ft',
  footlb: 'lbf.ft',
  footlbs: 'lbf.ft',
  inlb: 'lbf.in',
  inlbs: 'lbf.in',
  inlbf: 'lbf.in',
  lbin: 'lbf.in',
  lbsin: 'lbf.in',
  lbfin: 'lbf.in',
  inchpound: 'lbf.in',
  inchpounds: 'lbf.in',
  inchlb: 'lbf.in',
  inchlbs: 'lbf.in',
  poundinch: 'lbf.in',
  ozin: 'ozf.in',
  ozfin: 'ozf.in',
  inoz: 'ozf.in',
  inozf: 'ozf.in',
  ounceinch: 'ozf.in',
  inchounce: 'ozf.in',
  inchounces: 'ozf.in',
  kgm: 'kgf.m',
  kgfm: 'kgf.m',
  mkg: 'kgf.m',
  mkgf: 'kgf.m',
  kpm: 'kgf.m',
  mkp: 'kgf.m',
  kgcm: 'kgf.cm',
  kgfcm: 'kgf.cm',
  cmkg: 'kgf.cm',
  cmkgf: 'kgf.cm',
  kpcm: 'kgf.cm',
};

const known = new Map<string, TorqueUnit | null>();

/**
 * The unit a text names, or null.
 *
 * `mN.m` (milli) equals N.mm and is read so; `MN.m` (mega) and an all-capitals `MNM`, which could be either, are not
 * units of a hand wrench and are refused rather than guessed.
 *
 * @example unitOfText('ft-lb') // => 'lbf.ft'
 */
export function unitOfText(text: string): TorqueUnit | null {
  if (text.length === 0 || text.length > 24) return null;
  const found = known.get(text);
  if (found !== undefined) return found;
  const unit = find(text);
  // Bounded: a column of rubbish must not fill the memory.
  if (known.size < 2000) known.set(text, unit);
  return unit;
}

function find(text: string): TorqueUnit | null {
  // Full-width letters, and the one-character newton metre some fonts have.
  const plain = text.normalize('NFKC').trim();
  if (!/^[\p{L}.\-*·•⋅×/\s'"()[\]_]+$/u.test(plain)) return null;
  // `Nm/°` and the like are rates, not torques; a slash only joins lb/ft as some write it wrongly, refused too.
  if (plain.includes('/')) return null;
  const letters = plain.replace(/[^\p{L}]/gu, '');
  if (/^mN\.?m$/.test(letters)) return 'N.mm';
  if (/^M[Nn][Mm]$/.test(letters) || /^mnm$/.test(letters)) return null;
  if (/^M[Nn]$/.test(letters) || letters === 'mn' || letters === 'MN') return letters === 'mN' ? 'N.m' : null;
  return spellings[letters.toLowerCase()] ?? null;
}
