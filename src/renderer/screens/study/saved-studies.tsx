import { type FormEvent, type ReactNode, useState } from 'react';
import type { StudyChoices } from '#core/contract/calls.ts';
import type { SavedStudy, StudyModel } from '#core/contract/models/study-model.ts';
import { changesSince } from '#core/study/saved-study.ts';
import { useCall, useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { changeView, currentView, useView } from '../../state/view.ts';

const touches = { touches: ['studies'] } as const;
const place = 'study-saved';

/** Studies kept under a name: save, reopen and run again, and what changed since. */
export function SavedStudies({
  model,
  choices,
  change,
}: {
  model: StudyModel | null;
  choices: StudyChoices;
  change: (part: Partial<StudyChoices>) => void;
}): ReactNode {
  const view = useView();
  const list = useCall('study:list', {}, 'study-list', touches);
  const save = useCommand('study:save');
  const remove = useCommand('study:delete');
  const [name, setName] = useState('');
  const [naming, setNaming] = useState(false);
  const saved = list.value ?? [];
  const openId = Number(view.open[place] ?? Number.NaN);
  const open = saved.find((one) => one.id === openId) ?? null;
  const keep = (id: number | null): void => {
    const { [place]: _gone, ...rest } = currentView().open;
    changeView({ open: id === null ? rest : { ...rest, [place]: String(id) } }, 'replace');
  };
  const send = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (name.trim() === '') return;
    // Limits that were tried out are never kept by accident.
    const done = await save.run({ name: name.trim(), choices: { ...choices, whatIf: null } });
    if (done) {
      setNaming(false);
      setName('');
      keep(done.id);
    }
  };
  return (
    <section className="saved" aria-label={t('ui.study.saved', {})}>
      <h2>
        {t('ui.study.saved', {})} <small>{saved.length > 0 ? t('ui.drift.count', { count: saved.length }) : ''}</small>
      </h2>
      {saved.length > 0 ? (
        <ul>
          {saved.map((one) => (
            <li key={one.id}>
              <Button
                kind="link"
                pressed={one.id === open?.id}
                onPress={() => {
                  change(one.choices);
                  keep(one.id);
                }}
              >
                {one.name}
              </Button>
              <span className="muted">{t('ui.study.saved.at', { ms: one.savedMs, by: one.by })}</span>
              <Button
                kind="link"
                label={t('ui.study.saved.delete-of', { name: one.name })}
                disabled={remove.running}
                onPress={() => {
                  void remove.run({ id: one.id });
                  if (one.id === open?.id) keep(null);
                }}
              >
                {t('ui.study.saved.delete', {})}
              </Button>
            </li>
          ))}
        </ul>
      ) : null}
      {open && model ? <Changes saved={open} model={model} /> : null}
      {naming ? (
        <form className="save-form" onSubmit={(event) => void send(event)}>
          <label>
            <span className="hidden">{t('ui.study.saved.name', {})}</span>
            <input
              type="text"
              value={name}
              placeholder={t('ui.study.saved.name', {})}
              ref={(element) => element?.focus()}
              onChange={(event) => setName(event.target.value)}
            />
          </label>
          <button type="submit" className="button go" disabled={save.running || name.trim() === ''}>
            {t('ui.save', {})}
          </button>
          <Button kind="link" onPress={() => setNaming(false)}>
            {t('ui.cancel', {})}
          </Button>
        </form>
      ) : (
        <p className="choice-note">
          <Button kind="link" disabled={choices.joint === ''} onPress={() => setNaming(true)}>
            {t('ui.study.saved.save', {})}
          </Button>
        </p>
      )}
      <ProblemLine problem={save.problem} />
      <ProblemLine problem={remove.problem} />
      <ProblemLine problem={list.problem} onAgain={list.again} />
    </section>
  );
}

const choiceKeys = (choices: StudyChoices): string => JSON.stringify({ ...choices, whatIf: null });

/** Whether the figures are those that were saved, and if not, which differ. */
function Changes({ saved, model }: { saved: SavedStudy; model: StudyModel }): ReactNode {
  if (choiceKeys(saved.choices) !== choiceKeys(model.choices)) {
    return <p className="choice-note">{t('ui.study.saved.other-choices', { name: saved.name })}</p>;
  }
  const { same, said: sentence, changed } = changesSince(saved, model);
  const sentences = (
    <p>
      <Sentence of={sentence} />
    </p>
  );
  if (same || changed.length === 0) return <div className="choice-note">{sentences}</div>;
  return (
    <div className="choice-note">
      {sentences}
      <p>{t('ui.study.saved.changed', { count: changed.length })}</p>
      <table className="data">
        <thead>
          <tr>
            <th scope="col">{t('ui.study.saved.figure', {})}</th>
            <th scope="col" className="right">
              {t('ui.study.saved.before', {})}
            </th>
            <th scope="col" className="right">
              {t('ui.study.saved.now', {})}
            </th>
          </tr>
        </thead>
        <tbody>
          {changed.slice(0, 12).map((one) => (
            <tr key={one.figure}>
              <th scope="row">{one.figure}</th>
              <td className="right">{shown(one.before)}</td>
              <td className="right">{shown(one.now)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function shown(value: number | string | null | undefined): string {
  if (value === null || value === undefined) return '–';
  if (typeof value === 'string') return value.length > 10 ? `${value.slice(0, 8)}…` : value;
  return t('ui.drift.number', { value, decimals: Number.isInteger(value) ? 0 : 4 });
}
