/**
 * Names that another name may stand for, most alike first.
 *
 * Alike: the same letters and digits once case, blanks, signs and leading zeros of numbers are left out; else at most two
 * single-letter edits (Levenshtein distance) and no more than a third of the name, and never where only digits differ:
 * T-207 and T-208 are two tools.
 *
 * @example similarNames('T-0207', ['T-207', 'T-302']) // => ['T-207']
 */
export function similarNames(name: string, known: readonly string[], atMost = 3): string[] {
  const bare = skeleton(name);
  return known
    .filter((other) => other !== name)
    .map((other) => ({ other, distance: distanceOf(bare, skeleton(other)) }))
    .filter((one) => one.distance !== null)
    .sort((a, b) => (a.distance ?? 0) - (b.distance ?? 0) || (a.other < b.other ? -1 : 1))
    .slice(0, atMost)
    .map((one) => one.other);
}

function skeleton(name: string): string {
  return name
    .normalize('NFKC')
    .toLowerCase()
    .replace(/\d+/g, (digits) => ` ${digits.replace(/^0+(?=\d)/, '')} `)
    .replace(/[^\p{L}\p{N}]+/gu, '');
}

function distanceOf(a: string, b: string): number | null {
  if (a === '' || b === '') return null;
  if (a === b) return 0;
  if (a.replace(/\D/g, '') !== b.replace(/\D/g, '')) return null;
  const most = Math.min(2, Math.floor(Math.min(a.length, b.length) / 3));
  if (Math.abs(a.length - b.length) > most) return null;
  let row = Array.from({ length: b.length + 1 }, (_, k) => k);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next[j] = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1));
    }
    row = next;
  }
  const distance = row[b.length]!;
  return distance <= most ? distance : null;
}
