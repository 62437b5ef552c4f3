import type { IntakePreview, QueueItem } from '#core/contract/models/intake-model.ts';
import { type Said, said } from '#core/text/said.ts';

/** The finding about a file; while it is read, with the lines that the queue counts and not those of the first look. */
export function findingNow(
  preview: Pick<IntakePreview, 'complete' | 'finding' | 'lines'>,
  item: Pick<QueueItem, 'progress'> | null,
): Said {
  if (preview.complete) return preview.finding;
  return said('intake.finding-reading', { lines: Math.max(item?.progress?.lines ?? 0, preview.lines.total) });
}
