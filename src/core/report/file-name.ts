/**
 * A file name from names that people wrote: letters, digits and hyphens of any script, at most 80 characters, never a
 * path and never a name that a system keeps for itself.
 *
 * @example fileName(['study', 'Rack stay M8']) // => 'study-rack-stay-m8'
 */
export function fileName(parts: readonly string[]): string {
  const name = parts
    .join(' ')
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 80);
  return name === '' ? 'tightbook' : name;
}
