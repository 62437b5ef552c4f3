import { type ReactNode, useMemo, useRef, useState } from 'react';
import type { ChoicePicture, QuestionCard as Question } from '#core/contract/models/intake-model.ts';
import { yearStrip, yearStripHeight } from '#core/figures/year-strip.ts';
import { ChartCanvas } from '../../figures/chart-canvas.tsx';
import { useWidth } from '../../figures/use-size.ts';
import { type CardChoice, QuestionCard } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';

interface IntakeQuestionProps {
  readonly question: Question;
  /** Questions that wait behind it. */
  readonly more: number;
  readonly busy: boolean;
  readonly saveRecipe: boolean;
  readonly onSaveRecipe: (on: boolean) => void;
  readonly onAnswer: (value: string, alsoElsewhere: boolean) => void;
}

/** No answer a file could ask for: it stands for the text in the field. */
const other = '\u0000other';

/** One question about a file; nothing is applied without a press. */
export function IntakeQuestion(props: IntakeQuestionProps): ReactNode {
  const { question, more, busy, saveRecipe, onSaveRecipe, onAnswer } = props;
  const [value, setValue] = useState<string | null>(null);
  const [text, setText] = useState('');
  const [also, setAlso] = useState(false);
  const field = useRef<HTMLInputElement>(null);

  const choices: CardChoice[] = question.choices.map((choice) => ({
    value: choice.value,
    title: (
      <>
        <span className={isQuoted(question.id, choice.value) ? 'as-is' : 'phrase'}>
          <Sentence of={choice.meaning} />
        </span>
        {choice.leaning ? <span className="leans"> {t('intake-ui.question.leans', {})}</span> : null}
      </>
    ),
    body: (
      <>
        {choice.picture && choice.picture.to > choice.picture.from ? <Strip picture={choice.picture} /> : null}
        {choice.evidence.length > 0 ? (
          <span className="evidence">
            {choice.evidence.map((sentence, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: sentences have no identity but their place
              <span key={index}>
                {index > 0 ? '; ' : ''}
                <Sentence of={sentence} />
              </span>
            ))}
          </span>
        ) : null}
      </>
    ),
    leans: choice.leaning,
  }));
  if (question.free) {
    choices.push({
      value: other,
      title: t('intake-ui.question.other', {}),
      body: (
        <input
          ref={field}
          type="text"
          aria-label={t('intake-ui.question.other-label', {})}
          value={text}
          onFocus={() => setValue(other)}
          onChange={(event) => {
            setValue(other);
            setText(event.target.value);
          }}
        />
      ),
    });
  }
  const chosen = question.choices.find((choice) => choice.value === value);
  const picked = question.choices.findIndex((choice) => choice.value === value);
  const ready = value === other ? (text.trim() === '' ? null : value) : value;
  return (
    <QuestionCard
      question={t('intake-ui.question.title', {})}
      why={<Sentence of={question.text} />}
      choices={choices}
      value={ready ?? (value === other ? null : value)}
      onChoose={(next) => {
        setValue(next);
        if (next === other) field.current?.focus();
      }}
      onAnswer={() => {
        if (ready !== null) onAnswer(ready === other ? text.trim() : ready, also);
      }}
      answerText={
        value === other
          ? t('intake-ui.question.answer-text', { text: text.trim() })
          : chosen && isQuoted(question.id, chosen.value)
            ? t('intake-ui.question.answer-text', { text: plain(chosen.meaning) })
            : t('intake-ui.question.answer', { number: picked + 1 })
      }
      busy={busy}
      more={more}
      foot={
        <div className="question-foot">
          <label className="check">
            <input type="checkbox" checked={saveRecipe} onChange={(event) => onSaveRecipe(event.target.checked)} />
            {t('intake-ui.save-recipe', {})}
          </label>
          {question.alsoIn.length > 0 ? (
            <label className="check">
              <input type="checkbox" checked={also} onChange={(event) => setAlso(event.target.checked)} />
              {t('intake-ui.question.also', { count: question.alsoIn.length })}
            </label>
          ) : null}
        </div>
      }
    />
  );
}

/** A unit or a name: it stands as it is written, for kN·m is not KN·m. */
function isQuoted(question: string, value: string): boolean {
  return question === 'torque-unit' || question === 'tool' || (question === 'joint' && value !== 'none');
}

function Strip({ picture }: { picture: ChoicePicture }): ReactNode {
  const holder = useRef<HTMLSpanElement>(null);
  const width = useWidth(holder);
  const figure = useMemo(() => (width > 0 ? yearStrip(picture, { width }) : null), [picture, width]);
  return (
    <span className="strip" ref={holder} style={{ height: yearStripHeight }}>
      {figure ? <ChartCanvas figure={figure} width={width} height={yearStripHeight} /> : null}
      <span className="hidden">{figure?.summary}</span>
    </span>
  );
}
