import { type ReactNode, useId, useState } from 'react';
import type { NameToSettle } from '#core/contract/models/register-model.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** Readings named in the sentence about those set aside. */
const mostNamed = 6;

/** Names from files that no entry of the register matches: one question at a time. */
export function NamesToSettle({
  names,
  entries,
  onTold,
}: {
  names: readonly NameToSettle[];
  /** Names that the register knows, by kind. */
  entries: Readonly<Record<NameToSettle['kind'], readonly string[]>>;
  onTold: (words: string) => void;
}): ReactNode {
  const settle = useCommand('register:settle');
  const [at, setAt] = useState(0);
  const [other, setOther] = useState('');
  const id = useId();
  const name = names[at % Math.max(1, names.length)];
  if (!name) return null;
  const answer = async (into: string | null): Promise<void> => {
    const done = await settle.run({ kind: name.kind, name: name.name, into });
    if (!done) return;
    setOther('');
    const settled =
      into === null
        ? t('register-ui.settle.done-own', { name: name.name })
        : t('register-ui.settle.done', { name: name.name, into });
    const { setAside } = done;
    onTold(
      setAside.length === 0
        ? settled
        : `${settled} ${t('register-ui.settle.set-aside', { count: setAside.length, rows: setAside.slice(0, mostNamed) })}`,
    );
  };
  const written = other.trim();
  const known = entries[name.kind].filter((one) => one !== name.name);
  return (
    <QuestionFrame label={t('register-ui.settle.title', { count: names.length })}>
      <h2 className="you">{t('register-ui.settle.title', { count: names.length })}</h2>
      <p className="settle-question">
        <Sentence of={name.said} />
      </p>
      <div className="settle-answers">
        {name.candidates.map((candidate, index) => (
          <Button
            key={candidate}
            kind={index === 0 ? 'you' : 'plain'}
            disabled={settle.running}
            onPress={() => void answer(candidate)}
          >
            {t('register-ui.settle.yes', { name: candidate })}
          </Button>
        ))}
        <Button disabled={settle.running} onPress={() => void answer(null)}>
          {t('register-ui.settle.own', { kind: name.kind })}
        </Button>
        {names.length > 1 ? (
          <Button kind="link" onPress={() => setAt(at + 1)}>
            {t('register-ui.settle.later', {})}
          </Button>
        ) : null}
      </div>
      <form
        className="settle-other"
        onSubmit={(event) => {
          event.preventDefault();
          if (written !== '' && written !== name.name) void answer(written);
        }}
      >
        <label htmlFor={`${id}other`}>{t('register-ui.settle.other', {})}</label>
        <input
          id={`${id}other`}
          type="text"
          list={`${id}names`}
          maxLength={500}
          placeholder={t('register-ui.settle.write', {})}
          value={other}
          onChange={(event) => setOther(event.target.value)}
        />
        <datalist id={`${id}names`}>
          {known.map((one) => (
            <option key={one} value={one} />
          ))}
        </datalist>
        {written === '' || written === name.name ? null : (
          <button type="submit" className="button" disabled={settle.running}>
            {t(known.includes(written) ? 'register-ui.settle.merge' : 'register-ui.settle.rename', { into: written })}
          </button>
        )}
      </form>
      <ProblemLine problem={settle.problem} />
    </QuestionFrame>
  );
}
