import type { ReactNode } from 'react';
import type { Problem } from '#core/contract/problems.ts';
import { Button } from './button.tsx';
import { Sentence } from './sentence.tsx';
import { t } from './text.ts';

/** A problem where it happened, in words: what is wrong, what was kept, what to do. */
export function ProblemLine({ problem, onAgain }: { problem: Problem | null; onAgain?: () => void }): ReactNode {
  if (!problem) return null;
  return (
    <p className="problem" role="alert">
      <Sentence of={problem.said} />
      {problem.hint ? (
        <>
          {' '}
          <Sentence of={problem.hint} />
        </>
      ) : null}
      {onAgain ? (
        <>
          {' '}
          <Button kind="link" onPress={onAgain}>
            {t('ui.again', {})}
          </Button>
        </>
      ) : null}
    </p>
  );
}
