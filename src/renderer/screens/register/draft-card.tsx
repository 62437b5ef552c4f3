import { type ReactNode, useEffect, useId, useState } from 'react';
import type { EditPreview, JointModel } from '#core/contract/models/register-model.ts';
import { said } from '#core/text/said.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import type { Called } from '../../bridge/use-call.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import type { FilePart } from './pending-edit.tsx';
import type { RevisionDraft } from './revision-draft.ts';

/** What a draft would change, and from when it shall hold. */
export function DraftCard({
  joint,
  draft,
  file,
  preview,
  onFrom,
  onDrop,
  onDone,
}: {
  joint: JointModel;
  draft: RevisionDraft;
  file: FilePart | null;
  preview: Called<EditPreview>;
  onFrom: (from: string) => void;
  onDrop: () => void;
  onDone: () => void;
}): ReactNode {
  const put = useCommand('register:put');
  const id = useId();
  const shown = file === null ? null : preview.value;
  const mine = shown?.joints.find((one) => one.joint === joint.name) ?? null;
  const wrong = shown !== null && shown.problems.length > 0;
  // A draft that begins after the last reading changes nothing, and the preview then names no joint: what was known of
  // the last reading, and the date that was chosen before, are kept.
  const [known, setKnown] = useState<{ readonly afterLast: number | null; readonly date: string | null }>({
    afterLast: null,
    date: null,
  });
  const afterLast = mine?.fromAfterLast ?? known.afterLast;
  const afterLastText = afterLast === null ? null : civilText(afterLast, afterLast % 1000 === 0 ? 1000 : 1);
  const isAfterLast = afterLastText !== null && draft.from === afterLastText;
  const from = parseCivil(draft.from)?.at ?? null;
  const date = isAfterLast ? known.date : draft.from;
  useEffect(() => setKnown({ afterLast, date }), [afterLast, date]);
  const dateAt = date === null ? null : (parseCivil(date)?.at ?? null);
  const replaced = joint.revisions.find((revision) => revision.from === from) ?? null;
  const title = wrong
    ? t('register-ui.draft.wrong', { label: draft.label })
    : shown === null
      ? t('register-ui.draft.unfinished', { label: draft.label })
      : shown.changedVerdicts > 0
        ? t('register-ui.draft.changes', { label: draft.label })
        : t('register-ui.draft.none', { label: draft.label });
  return (
    <QuestionFrame label={title}>
      <Waiting on={file !== null && preview.loading} />
      <h2 className="you">{title}</h2>
      {file === null ? <p>{t('register-ui.draft.fill', {})}</p> : null}
      {wrong ? (
        <ul className="said-list">
          {shown.problems.map((problem, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: sentences have no identity but their place
            <li key={index}>
              <Sentence of={problem} />
            </li>
          ))}
        </ul>
      ) : null}
      {shown && !wrong && mine && mine.changedVerdicts > 0 && from !== null ? (
        <>
          {mine.changes.length > 1 ? (
            <p>
              <Sentence
                of={said('register-ui.draft.count', { from, changed: mine.changedVerdicts, of: mine.readings })}
              />
            </p>
          ) : null}
          <ul className="said-list">
            {mine.changes.map((change) => (
              <li key={`${change.from} ${change.to}`}>
                <Sentence of={change.said} />
              </li>
            ))}
          </ul>
          {mine.byTool.length > 0 ? <p>{t('register-ui.draft.by-tool', { parts: mine.byTool })}</p> : null}
        </>
      ) : null}
      {replaced ? <p>{t('register-ui.draft.replaces', { label: replaced.label })}</p> : null}
      <p className="second">{t('register-ui.draft.caution', {})}</p>
      {!wrong && from !== null && afterLast !== null ? (
        <fieldset className="card-choices">
          <legend className="hidden">{t('register-ui.from', {})}</legend>
          <label>
            <input type="radio" name={id} checked={isAfterLast} onChange={() => onFrom(afterLastText ?? draft.from)} />
            <span>
              <strong>{t('register-ui.draft.from-now', {})}</strong>
              <br />
              {t('register-ui.draft.from-now-note', { at: afterLast })}
            </span>
          </label>
          <label>
            <input
              type="radio"
              name={id}
              checked={!isAfterLast}
              onChange={() => onFrom(date ?? civilText(from - (from % msPerDay), msPerDay))}
            />
            <span>
              <strong>{t('register-ui.draft.judge-again', { at: dateAt ?? from })}</strong>
              <br />
              {t('register-ui.draft.judge-again-note', {})}
            </span>
          </label>
        </fieldset>
      ) : null}
      <ProblemLine problem={preview.problem ?? put.problem} />
      <div className="card-actions">
        <Button
          kind="you"
          disabled={file === null || shown === null || wrong || put.running || preview.stale}
          onPress={async () => {
            if (file !== null && (await put.run({ file, why: draft.why.trim() === '' ? null : draft.why.trim() })))
              onDone();
          }}
        >
          {t('register-ui.draft.put', { label: draft.label })}
        </Button>
        <Button onPress={onDrop}>{t('register-ui.draft.drop', {})}</Button>
      </div>
    </QuestionFrame>
  );
}
