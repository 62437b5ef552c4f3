import type { BatchRow, FastenerAccount } from '../contract/models/review-model.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { present } from '../readings/reading-row.ts';
import { type Said, said } from '../text/said.ts';
import { batchesInScope, batchesOf } from './batches.ts';
import { fastenerChains } from './chains.ts';
import type { ReviewTally } from './review-tally.ts';

const mostRows = 100;

/** Fasteners due, read and missing in one line that adds up, and the batches that are not complete. */
export function fastenerAccount(plant: Plant, tally: ReviewTally): FastenerAccount {
  const { readings, register } = plant;
  const all = batchesOf(plant);
  const { batches, untold } = batchesInScope(plant, tally.selection);
  let due = 0;
  let read = 0;
  let missing = 0;
  let batchesMissing = 0;
  let surplus = 0;
  const incomplete: number[] = [];
  for (let k = 0; k < batches.length; k++) {
    const b = batches[k]!;
    const size = all.size[b]!;
    const distinct = all.distinct[b]!;
    due += size;
    read += distinct;
    if (distinct < size) {
      missing += size - distinct;
      batchesMissing++;
    } else surplus += distinct - size;
    if (distinct !== size) incomplete.push(b);
  }
  const chains = fastenerChains(plant);
  let byTime = 0;
  for (let k = 0; k < tally.again.length; k++) if (chains.chainBy[tally.again[k]!] === 2) byTime++;
  const told = batches.length > 0;
  const remarks: Said[] = [];
  const perTool = new Map<number, number>();
  for (const i of untold) perTool.set(readings.tool[i]!, (perTool.get(readings.tool[i]!) ?? 0) + 1);
  for (const [tool, count] of perTool) {
    remarks.push(said('review.batches-untold', { tool: register.tools[tool]?.serial ?? '?', count }));
  }
  if (tally.again.length > 0) {
    remarks.push(said('review.chains', { time: byTime, identity: tally.again.length - byTime }));
  }
  return {
    said: told
      ? said('review.fasteners', {
          due,
          batches: batches.length,
          read,
          missing,
          surplus,
          // A batch that runs over the end of the shift has fasteners of the next: never below nothing.
          rest: Math.max(0, tally.fasteners - read),
        })
      : said('review.fasteners-untold', { read: tally.fasteners }),
    due: told ? due : null,
    read: told ? read : tally.fasteners,
    missing: told ? missing : null,
    surplus: told ? surplus : null,
    batches: told ? batches.length : null,
    incomplete: incomplete.slice(0, mostRows).map((b) => batchRow(plant, b)),
    incompleteTotal: incomplete.length,
    batchesMissing,
    chainsByTime: byTime,
    chainsByIdentity: tally.again.length - byTime,
    remarks,
  };
}

function batchRow(plant: Plant, b: number): BatchRow {
  const { readings, register, names } = plant;
  const all = batchesOf(plant);
  const size = all.size[b]!;
  const distinct = all.distinct[b]!;
  const seen = all.seen[b]!;
  const first = all.firstReading[b]!;
  const lacking = Math.max(0, size - distinct);
  const surplus = Math.max(0, distinct - size);
  // Positions known: the slots that are empty are the ones missing; else the last ones stand for them.
  const positioned = seen !== 0 && size <= 32;
  const slots = Array.from({ length: Math.max(size, Math.min(distinct, 64)) }, (_, k) =>
    positioned && k < size ? (seen & (1 << k)) !== 0 : k < distinct,
  );
  const missingAt = positioned ? slots.flatMap((there, k) => (there || k >= size ? [] : [k + 1])) : [];
  const joint = register.joints[all.joint[b]!]?.name ?? '';
  return {
    joint,
    tool: register.tools[all.tool[b]!]?.serial ?? null,
    batch: names.batches[all.batch[b]!] ?? null,
    from: present(readings.at[first]!),
    size,
    distinct,
    missing: lacking,
    surplus,
    slots,
    said: said('review.batch', { joint, missing: missingAt, lacking, surplus }),
    firstReading: readingName(readings, first),
  };
}
