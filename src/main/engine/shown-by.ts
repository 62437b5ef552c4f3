import type { StoredSource } from '../store/store.ts';

/**
 * For each file: readings that no other file in force shows, and those that one does.
 *
 * @param sightings triples of a file, the reading it shows again, and the file that first showed it
 */
export function shownBy(
  sources: readonly StoredSource[],
  sightings: Int32Array,
): Map<number, { onlyHere: number; elsewhere: number }> {
  const counts = new Map(sources.map((source) => [source.id, { onlyHere: source.accounting.accepted, elsewhere: 0 }]));
  const active = new Uint8Array(sources.reduce((most, source) => Math.max(most, source.id), 0) + 1);
  for (const source of sources) active[source.id] = source.withdrawn ? 0 : 1;
  let last = 0;
  for (let i = 1; i < sightings.length; i += 3) last = Math.max(last, sightings[i]!);
  // Files in force that show each reading; 0: not looked at yet. The first file counts when the reading is first met.
  const shows = new Uint16Array(last + 1);
  const met = new Uint8Array(last + 1);
  for (let i = 0; i < sightings.length; i += 3) {
    const reading = sightings[i + 1]!;
    if (met[reading] === 0) {
      met[reading] = 1;
      shows[reading] = active[sightings[i + 2]!] ?? 0;
    }
    shows[reading]! += active[sightings[i]!] ?? 0;
  }
  const add = (file: number, reading: number): void => {
    const count = counts.get(file);
    if (!count) return;
    if (shows[reading]! > (active[file] ?? 0)) count.elsewhere++;
    else count.onlyHere++;
  };
  for (let i = 0; i < sightings.length; i += 3) {
    const reading = sightings[i + 1]!;
    add(sightings[i]!, reading);
    if (met[reading] === 1) {
      met[reading] = 2;
      const first = sightings[i + 2]!;
      const own = counts.get(first);
      // It was counted among all that the file brought in.
      if (own) own.onlyHere--;
      add(first, reading);
    }
  }
  return counts;
}
