import { type ReactNode, useEffect, useId, useState } from 'react';
import type { NameToSettle } from '#core/contract/models/register-model.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { SettlePreview, useSettlePreview } from './settle-preview.tsx';

/** Readings named in the sentence about those set aside. */
const mostNamed = 6;

/** Pause in typing after which a written name is looked at. */
const typedMs = 250;

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
  const written = usePaused(other.trim(), typedMs);
  const asked = name && written !== '' && written !== name.name ? written : null;
  const typed = useSettlePreview(name?.kind ?? 'joint', name?.name ?? '', asked, 'settle-typed');
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
  const known = entries[name.kind].filter((one) => one !== name.name);
  const isWritten = asked !== null && other.trim() === asked;
  return (
    <QuestionFrame label={t('register-ui.settle.title', { count: names.length })}>
      <h2 className="you">{t('register-ui.settle.title', { count: names.length })}</h2>
      <p className="settle-question">
        <Sentence of={name.said} />
      </p>
      <div className="settle-answers">
        {name.candidates.map((candidate, index) => (
          <Candidate
            key={candidate}
            of={name}
            candidate={candidate}
            index={index}
            running={settle.running}
            onAnswer={() => void answer(candidate)}
          />
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
          // Not before it is said what it comes to.
          if (isWritten && typed.model) void answer(typed.model.into);
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
        {isWritten ? (
          <button type="submit" className="button" disabled={settle.running || typed.model === null}>
            {typed.model
              ? t(typed.model.how === 'merge' ? 'register-ui.settle.merge' : 'register-ui.settle.rename', {
                  into: typed.model.into,
                })
              : t(known.includes(asked) ? 'register-ui.settle.merge' : 'register-ui.settle.rename', { into: asked })}
          </button>
        ) : null}
      </form>
      {isWritten && typed.model ? <SettlePreview model={typed.model} /> : null}
      <ProblemLine problem={isWritten ? typed.problem : null} />
      <ProblemLine problem={settle.problem} />
    </QuestionFrame>
  );
}

/** One entry that the name may be, with what that comes to. */
function Candidate({
  of,
  candidate,
  index,
  running,
  onAnswer,
}: {
  of: NameToSettle;
  candidate: string;
  index: number;
  running: boolean;
  onAnswer: () => void;
}): ReactNode {
  const { model, problem } = useSettlePreview(of.kind, of.name, candidate, `settle-${index}`);
  return (
    <div className="settle-candidate">
      <Button
        kind={index === 0 ? 'you' : 'plain'}
        // Not before it is said what it comes to.
        disabled={running || (model === null && problem === null)}
        onPress={onAnswer}
      >
        {t('register-ui.settle.yes', { name: candidate })}
      </Button>
      {model ? <SettlePreview model={model} /> : null}
      <ProblemLine problem={problem} />
    </div>
  );
}

/** A value as it was when it last stood still for a while. */
function usePaused(value: string, ms: number): string {
  const [paused, setPaused] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setPaused(value), ms);
    return () => clearTimeout(timer);
  }, [value, ms]);
  return paused;
}
