import type { StudyGroup } from '../contract/models/study-model.ts';

/** Where a group stands on the run chart: the middle of its places in the sequence. */
export const groupMiddle = (group: StudyGroup): number => (group.fromOrder + group.toOrder) / 2;
