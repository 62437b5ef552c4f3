import { type ReactNode, useEffect, useState } from 'react';
import type { IntakePreview, QueueItem } from '#core/contract/models/intake-model.ts';
import type { AccountingPart } from '#core/figures/accounting-parts.ts';
import { roles } from '#core/intake/vocabulary.ts';
import { Button } from '../../parts/button.tsx';
import { Chip } from '../../parts/chip.tsx';
import { useKeys } from '../../parts/keys.ts';
import { Finding, Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useSettings } from '../../state/settings.ts';
import { AccountingBar } from './accounting-bar.tsx';
import { findingNow } from './finding-now.ts';
import { HowItWasRead } from './how-it-was-read.tsx';
import { IntakeQuestion } from './intake-question.tsx';
import { NoticeList } from './notice-list.tsx';
import { RejectedLines } from './rejected-lines.tsx';
import { WouldAddFigure } from './would-add-figure.tsx';

interface FilePreviewProps {
  readonly preview: IntakePreview;
  readonly item: QueueItem | null;
  readonly busy: boolean;
  /** Reads the file again with all these answers, in other files with the one answer too. */
  readonly onAnswers: (
    answers: Readonly<Record<string, string>>,
    also?: { id: string; value: string; tickets: readonly string[] },
  ) => void;
  readonly onAccept: (saveRecipe: boolean) => void;
  readonly onLeaveAside: () => void;
}

/** Everything about one file that waits for a person: what arrived, how it was understood, what it would add. */
export function FilePreview(props: FilePreviewProps): ReactNode {
  const { preview, item, busy, onAnswers, onAccept, onLeaveAside } = props;
  const { namesHidden } = useSettings();
  const [part, setPart] = useState<AccountingPart | null>(null);
  const [saveRecipe, setSaveRecipe] = useState(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another file begins with nothing chosen
  useEffect(() => {
    setPart(null);
    setSaveRecipe(false);
  }, [preview.ticket]);
  const question = preview.questions[0];
  const open = preview.questions.length > 0;
  const acceptable = preview.problem === null && !open && preview.complete && !busy;
  const accept = (): boolean => {
    if (!acceptable) return false;
    onAccept(saveRecipe);
    return true;
  };
  useKeys({ a: accept });

  if (preview.problem) {
    return (
      <>
        <div className="finding-row">
          <Finding of={preview.problem.said} />
          <div className="actions">
            <Button onPress={onLeaveAside}>{t('intake-ui.leave-aside', {})}</Button>
          </div>
        </div>
        {preview.problem.hint ? (
          <p>
            <Sentence of={preview.problem.hint} />
          </p>
        ) : null}
        <Answers preview={preview} onAnswers={onAnswers} />
        {preview.roles.length > 0 ? (
          <div className="intake-refused">
            <HowItWasRead
              preview={preview}
              shown={null}
              onShowAll={() => setPart(null)}
              busy={busy}
              onRole={(column, role) => onAnswers({ ...preview.answers, [`role:${column}`]: role })}
            />
          </div>
        ) : null}
      </>
    );
  }
  const answered = Object.keys(preview.answers).length > 0;
  const nothingNew = preview.complete && preview.accepted === 0 && preview.alreadyHeld > 0;
  return (
    <>
      <div className="finding-row">
        <Finding of={findingNow(preview, item)} />
        <div className="actions">
          <Button onPress={onLeaveAside}>{t('intake-ui.leave-aside', {})}</Button>
          <Button kind={acceptable ? 'go' : 'plain'} keyName="A" disabled={!acceptable} onPress={accept}>
            {!preview.complete
              ? t('intake-ui.accept-counting', {})
              : open
                ? t('intake-ui.accept-later', { count: preview.accepted })
                : nothingNew
                  ? t('intake-ui.accept-nothing-new', {})
                  : t('intake-ui.accept', { count: preview.accepted })}
          </Button>
          {!open && answered ? (
            <label className="check">
              <input type="checkbox" checked={saveRecipe} onChange={(event) => setSaveRecipe(event.target.checked)} />
              {t('intake-ui.save-recipe', {})}
            </label>
          ) : null}
        </div>
      </div>
      {preview.recipe?.said ? (
        <p className="caption">
          <Sentence of={preview.recipe.said} />
        </p>
      ) : null}
      {namesHidden ? <p className="caption">{t('intake-ui.names-stay', {})}</p> : null}
      <Answers preview={preview} onAnswers={onAnswers} />
      <AccountingBar lines={preview.lines} complete={preview.complete} shown={part} onShow={setPart} />
      <div className="intake-columns">
        <div className="intake-main-column">
          <HowItWasRead
            preview={preview}
            shown={part}
            onShowAll={() => setPart(null)}
            busy={busy}
            onRole={(column, role) => onAnswers({ ...preview.answers, [`role:${column}`]: role })}
          />
          {preview.wouldAdd ? (
            <WouldAddFigure
              wouldAdd={preview.wouldAdd}
              held={preview.alreadyHeld}
              questions={preview.questions.length}
            />
          ) : null}
        </div>
        <div className="intake-side-column">
          {question ? (
            <IntakeQuestion
              // Another question, or the same of another file, begins without an answer and takes the focus.
              key={`${preview.ticket} ${question.id}`}
              question={question}
              more={preview.questions.length - 1}
              busy={busy}
              saveRecipe={saveRecipe}
              onSaveRecipe={setSaveRecipe}
              onAnswer={(value, also) =>
                onAnswers(
                  { ...preview.answers, [question.id]: value },
                  also ? { id: question.id, value, tickets: question.alsoIn } : undefined,
                )
              }
            />
          ) : null}
          <RejectedLines preview={preview} />
          <NoticeList notices={preview.notices} waits={preview.noticesWait} />
        </div>
      </div>
    </>
  );
}

/** What a person answered about the file; each answer can be taken back. */
function Answers({ preview, onAnswers }: Pick<FilePreviewProps, 'preview' | 'onAnswers'>): ReactNode {
  const answers = Object.entries(preview.answers);
  if (answers.length === 0) return null;
  return (
    <p className="caption answers">
      {t('intake-ui.answers', {})}:{' '}
      {answers.map(([id, value]) => {
        const words = t('intake-ui.answered', { id, value, role: roleWords(id, value) });
        return (
          <Chip
            key={id}
            removeLabel={words}
            onRemove={() => {
              const { [id]: _gone, ...rest } = preview.answers;
              onAnswers(rest);
            }}
          >
            {words}
          </Chip>
        );
      })}
    </p>
  );
}

/** The name of the role that an answer gives to a column. */
function roleWords(id: string, value: string): string | null {
  const role = id.startsWith('role:') ? roles.find((one) => one === value) : undefined;
  return role === undefined ? null : t(`intake-ui.role.${role}`, {});
}
