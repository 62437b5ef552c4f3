import type { StudyChoices } from '#core/contract/calls.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';

/** What the panel of choices and each choice in it are handed. */
export interface ChoicesPanelProps {
  readonly model: StudyModel | null;
  readonly choices: StudyChoices;
  readonly change: (part: Partial<StudyChoices>) => void;
}
