/** What the user chose to study: kept in the view, so that it survives leaving the screen, going back and a reload. */
import { useCallback, useMemo } from 'react';
import type { RequestInput, StudyChoices } from '#core/contract/calls.ts';
import { everything } from '#core/readings/scope.ts';
import { changeView, currentView, useView, type View } from '../../state/view.ts';

const place = 'study';

/** Choices other than the joint, which the view shares with other screens. */
export type OtherChoices = Omit<StudyChoices, 'joint'>;

const usual: OtherChoices = {
  scope: everything,
  of: 'torque',
  attempts: 'first',
  within: null,
  subgroup: null,
  model: 'normal',
  requirement: null,
  judge: 'low-end',
  seed: null,
  unit: null,
  fitP: false,
  baseline: null,
  whatIf: null,
};

function choicesOf(view: View): StudyChoices {
  const kept = view.open[place];
  // Written by this file.
  const other = kept === undefined ? usual : { ...usual, ...(JSON.parse(kept) as Partial<OtherChoices>) };
  return { ...other, joint: view.joint ?? '' };
}

/** The choices and how to change them; a change of joint takes back what belonged to the other joint. */
export function useStudyChoices(): {
  readonly choices: StudyChoices;
  readonly request: RequestInput<'study:read'>;
  change(part: Partial<StudyChoices>): void;
} {
  const view = useView();
  const choices = useMemo(() => choicesOf(view), [view]);
  const change = useCallback((part: Partial<StudyChoices>) => {
    const now = choicesOf(currentView());
    const next = { ...now, ...part };
    const moved = next.joint !== now.joint;
    const { joint, ...other } = moved
      ? { ...next, whatIf: null, baseline: null, scope: { ...next.scope, tools: part.scope?.tools ?? [] } }
      : next;
    changeView(
      { joint: joint === '' ? null : joint, open: { ...currentView().open, [place]: JSON.stringify(other) } },
      moved ? 'push' : 'replace',
    );
  }, []);
  return { choices, request: choices, change };
}
