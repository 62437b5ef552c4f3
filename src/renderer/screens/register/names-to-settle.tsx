import { type ReactNode, useState } from 'react';
import type { NameToSettle } from '#core/contract/models/register-model.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** Names from files that no entry of the register matches: one question at a time. */
export function NamesToSettle({
  names,
  onTold,
}: {
  names: readonly NameToSettle[];
  onTold: (words: string) => void;
}): ReactNode {
  const settle = useCommand('register:settle');
  const [at, setAt] = useState(0);
  const name = names[at % Math.max(1, names.length)];
  if (!name) return null;
  const answer = async (into: string | null): Promise<void> => {
    const done = await settle.run({ kind: name.kind, name: name.name, into });
    if (!done) return;
    onTold(
      into === null
        ? t('register-ui.settle.done-own', { name: name.name })
        : t('register-ui.settle.done', { name: name.name, into }),
    );
  };
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
      <ProblemLine problem={settle.problem} />
    </QuestionFrame>
  );
}
