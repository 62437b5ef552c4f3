import type { ReactNode } from 'react';
import type { StudyChoices } from '#core/contract/calls.ts';
import { everything } from '#core/readings/scope.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Popover } from '../../parts/popover.tsx';
import { t } from '../../parts/text.ts';
import { useStatus } from '../../state/use-status.ts';
import type { ChoicesPanelProps } from './choices-panel-props.ts';

/** The days, shifts and operators whose readings are studied. */
export function PeriodChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const status = useStatus();
  const words = useOperatorWords();
  const { scope } = choices;
  const facts = model?.scopeFacts;
  const day = (at: number | null): string => (at === null ? '' : civilText(at, msPerDay));
  const shownFrom = scope.from ?? facts?.from ?? null;
  const shownTo = scope.to === null ? (facts?.to ?? null) : scope.to - 1;
  const read = (text: string): number | null => parseCivil(text)?.at ?? null;
  const set = (part: Partial<StudyChoices['scope']>): void => change({ scope: { ...scope, ...part } });
  const text =
    scope.from === null && scope.to === null && shownFrom !== null && shownTo !== null
      ? t('ui.study.period.all', { from: shownFrom, to: shownTo })
      : shownFrom !== null && shownTo !== null
        ? t('ui.scope.range', { from: shownFrom, to: shownTo })
        : t('ui.scope.all-time', {});
  const more = [
    ...scope.shifts,
    ...scope.operators.map((badge) =>
      words(badge, status?.operators.find((operator) => operator.badge === badge)?.name ?? null),
    ),
  ];
  return (
    <Popover
      className="select-like"
      label={`${t('ui.study.period', {})}: ${text}`}
      text={more.length === 0 ? text : `${text}; ${more.join(', ')}`}
    >
      {() => (
        <div className="fields">
          <label>
            {t('ui.scope.from', {})}
            <input
              type="date"
              value={day(shownFrom)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ from: at });
              }}
            />
          </label>
          <label>
            {t('ui.scope.to', {})}
            <input
              type="date"
              value={day(shownTo)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ to: at + msPerDay });
              }}
            />
          </label>
          <Button onPress={() => set({ from: null, to: null })}>{t('ui.scope.all-time', {})}</Button>
          <NameBoxes
            legend={t('ui.study.shifts', {})}
            all={(status?.shifts ?? []).map((shift) => ({ name: shift.name, text: shift.name }))}
            chosen={scope.shifts}
            onChange={(shifts) => set({ shifts })}
          />
          <NameBoxes
            legend={t('ui.scope.operator', {})}
            all={(status?.operators ?? []).map((o) => ({ name: o.badge, text: words(o.badge, o.name) }))}
            chosen={scope.operators}
            onChange={(operators) => set({ operators })}
          />
          {scope === everything ? null : (
            <Button onPress={() => set({ from: null, to: null, shifts: [], operators: [] })}>
              {t('ui.study.period.reset', {})}
            </Button>
          )}
        </div>
      )}
    </Popover>
  );
}

function NameBoxes({
  legend,
  all,
  chosen,
  onChange,
}: {
  legend: string;
  all: readonly { readonly name: string; readonly text: string }[];
  chosen: readonly string[];
  onChange: (names: string[]) => void;
}): ReactNode {
  if (all.length === 0) return null;
  return (
    <fieldset className="name-list">
      <legend className="muted">{legend}</legend>
      {all.map(({ name, text }) => (
        <label key={name}>
          <input
            type="checkbox"
            checked={chosen.length === 0 || chosen.includes(name)}
            onChange={(event) => {
              const now = chosen.length === 0 ? all.map((one) => one.name) : chosen;
              const next = event.target.checked ? [...now, name] : now.filter((other) => other !== name);
              onChange(next.length === all.length || next.length === 0 ? [] : next);
            }}
          />
          {text}
        </label>
      ))}
    </fieldset>
  );
}
