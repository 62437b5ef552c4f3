import { type KeyboardEvent, type ReactNode, useEffect, useId, useRef } from 'react';
import { t } from './text.ts';

export interface CardChoice {
  readonly value: string;
  readonly title: ReactNode;
  /** A small picture of what would follow, and a sentence. */
  readonly body?: ReactNode;
  /** The evidence leans this way; marked, never applied without a press. */
  readonly leans?: boolean;
}

interface QuestionCardProps {
  readonly question: ReactNode;
  readonly why?: ReactNode;
  readonly choices: readonly CardChoice[];
  /** Chosen and not yet applied; null: none. */
  readonly value: string | null;
  readonly onChoose: (value: string) => void;
  readonly onAnswer: () => void;
  readonly answerText: string;
  readonly busy?: boolean;
  /** Further questions that wait. */
  readonly more?: number;
  readonly foot?: ReactNode;
  /** Takes the focus when it appears; Escape gives it back. */
  readonly takesFocus?: boolean;
}

/** So much of a card below the window's edge is enough to be seen. */
const leastInSight = 120;

/** A question of the application to the user: the only framed thing on a screen. Keys 1 to 4 choose. */
export function QuestionCard(props: QuestionCardProps): ReactNode {
  const { question, why, choices, value, onChoose, onAnswer, answerText, busy = false, more = 0, foot } = props;
  const id = useId();
  const card = useRef<HTMLFormElement>(null);
  const before = useRef<Element | null>(null);
  const takes = props.takesFocus ?? true;
  useEffect(() => {
    if (!takes) return;
    before.current = document.activeElement;
    // A tall card must not push what is asked about out of sight.
    card.current?.focus({ preventScroll: true });
    const top = card.current?.getBoundingClientRect().top ?? 0;
    if (top < 0 || top > window.innerHeight - leastInSight) card.current?.scrollIntoView({ block: 'nearest' });
  }, [takes]);
  const onKeyDown = (event: KeyboardEvent<HTMLFormElement>): void => {
    const typing = event.target instanceof HTMLInputElement && event.target.type === 'text';
    const chosen = choices[Number(event.key) - 1];
    if (!typing && /^[1-9]$/.test(event.key)) {
      // Even without such a choice the key must not switch screens from inside a question.
      event.preventDefault();
      event.stopPropagation();
      if (chosen) onChoose(chosen.value);
    } else if (event.key === 'Escape') {
      event.stopPropagation();
      if (before.current instanceof HTMLElement) before.current.focus();
      else card.current?.blur();
    }
  };
  return (
    <form
      ref={card}
      className="question-card"
      aria-labelledby={id}
      tabIndex={-1}
      onKeyDown={onKeyDown}
      onSubmit={(event) => {
        event.preventDefault();
        if (value !== null && !busy) onAnswer();
      }}
    >
      <h2 id={id} className="say">
        {question}
      </h2>
      {why === undefined ? null : <p className="caption">{why}</p>}
      <fieldset>
        <legend className="hidden">{question}</legend>
        {choices.map((choice, index) => (
          <label key={choice.value} className={choice.value === value ? 'choice on' : 'choice'}>
            <input type="radio" name={id} checked={choice.value === value} onChange={() => onChoose(choice.value)} />
            <span className="kbd" aria-hidden="true">
              {/* There is no key for a tenth. */}
              {index < 9 ? index + 1 : ''}
            </span>
            <span className="choice-title">{choice.title}</span>
            {choice.body === undefined ? null : <span className="choice-body">{choice.body}</span>}
          </label>
        ))}
      </fieldset>
      {foot}
      <footer>
        <button type="submit" className="button you" disabled={value === null || busy}>
          {value === null ? t('ui.choose-number', { count: choices.length }) : answerText}
        </button>
        {more > 0 ? <span className="caption">{t('ui.more-questions', { count: more })}</span> : null}
      </footer>
    </form>
  );
}

/** The plum frame alone, for questions that need a layout of their own. */
export function QuestionFrame({ children, label }: { children: ReactNode; label: string }): ReactNode {
  return (
    <section className="question-card" aria-label={label}>
      {children}
    </section>
  );
}
