/**
 * Names by their spelling, found without making a string: a million rows repeat a few names.
 *
 * Hash table with open addressing over the names met; a name is copied out of the text only when it is new (a slice
 * would keep the whole piece of the file alive).
 */
const recentSlots = 256;

export class NameTable {
  readonly names: string[] = [];
  #slots = new Int32Array(64).fill(-1);
  #hashes = new Int32Array(64);
  /** The name last found for a length and last character or two: nearly always the one that comes again. */
  readonly #recent = new Int32Array(recentSlots).fill(-1);

  /** Index of the name at `from`..`to` (outer blanks already off), added when new. */
  find(text: string, from: number, to: number): number {
    const length = to - from;
    // Numbered names differ at their end.
    const recent =
      (Math.imul(text.charCodeAt(to - 1), 29) + (length > 1 ? text.charCodeAt(to - 2) * 7 : 0) + length) &
      (recentSlots - 1);
    const candidate = this.#recent[recent]!;
    if (candidate >= 0) {
      const name = this.names[candidate]!;
      if (name.length === length && isAt(text, from, name)) return candidate;
    }
    let hash = 0x811c9dc5;
    for (let i = from; i < to; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
    const mask = this.#slots.length - 1;
    let slot = (hash ^ (hash >>> 15)) & mask;
    for (;;) {
      const index = this.#slots[slot] ?? -1;
      if (index < 0) break;
      if (this.#hashes[slot] === hash) {
        const name = this.names[index] ?? '';
        if (name.length === length && isAt(text, from, name)) {
          this.#recent[recent] = index;
          return index;
        }
      }
      slot = (slot + 1) & mask;
    }
    const index = this.names.length;
    const name = ownCopy(text, from, to);
    this.names.push(name);
    this.#slots[slot] = index;
    this.#hashes[slot] = hash;
    this.#recent[recent] = index;
    if (this.names.length * 2 > this.#slots.length) this.#grow();
    return index;
  }

  /** Forgets all names. */
  clear(): void {
    if (this.names.length === 0) return;
    this.names.length = 0;
    this.#slots.fill(-1);
    this.#recent.fill(-1);
  }

  #grow(): void {
    const size = this.#slots.length * 2;
    const slots = new Int32Array(size).fill(-1);
    const hashes = new Int32Array(size);
    for (let old = 0; old < this.#slots.length; old++) {
      const index = this.#slots[old] ?? -1;
      if (index < 0) continue;
      const hash = this.#hashes[old] ?? 0;
      let slot = (hash ^ (hash >>> 15)) & (size - 1);
      while ((slots[slot] ?? -1) >= 0) slot = (slot + 1) & (size - 1);
      slots[slot] = index;
      hashes[slot] = hash;
    }
    this.#slots = slots;
    this.#hashes = hashes;
  }
}

/** Whether `name` stands in the text at `from`; names are short, and a loop is quicker than a call of `startsWith`. */
function isAt(text: string, from: number, name: string): boolean {
  for (let i = 0; i < name.length; i++) if (text.charCodeAt(from + i) !== name.charCodeAt(i)) return false;
  return true;
}

/** A stretch of text as a string of its own, not a view that keeps the rest in memory. */
export function ownCopy(text: string, from: number, to: number): string {
  let copy = '';
  for (let at = from; at < to; at += 4096) {
    const codes: number[] = [];
    for (let i = at; i < Math.min(to, at + 4096); i++) codes.push(text.charCodeAt(i));
    copy += String.fromCharCode(...codes);
  }
  return copy;
}
