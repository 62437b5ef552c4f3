import { type ReactNode, useEffect, useState } from 'react';
import type { Progress } from '#core/contract/events.ts';
import { Button } from './button.tsx';
import { t } from './text.ts';

const lineAfterMs = 300;
const wordsAfterMs = 2000;

/**
 * How waiting looks: nothing at first, then a thin ink line, after two seconds words and a way out.
 *
 * Put at the top of the region that waits (which needs `position: relative`).
 */
export function Waiting({
  on,
  progress = null,
  onCancel,
}: {
  on: boolean;
  progress?: Progress | null;
  onCancel?: () => void;
}): ReactNode {
  const [since, setSince] = useState<'nothing' | 'line' | 'words'>('nothing');
  useEffect(() => {
    if (!on) {
      setSince('nothing');
      return;
    }
    const line = setTimeout(() => setSince('line'), lineAfterMs);
    const words = setTimeout(() => setSince('words'), wordsAfterMs);
    return () => {
      clearTimeout(line);
      clearTimeout(words);
    };
  }, [on]);
  if (!on || since === 'nothing') return null;
  const share = progress && progress.total !== null && progress.total > 0 ? progress.done / progress.total : null;
  return (
    <div className="waiting" role="status">
      <svg className="waiting-line" width="100%" height="2" aria-hidden="true">
        <rect className={share === null ? 'unknown' : ''} width={`${(share ?? 0.3) * 100}%`} height="2" />
      </svg>
      {since === 'words' ? (
        <span className="waiting-words">
          {progress ? progressText(progress) : t('ui.waiting', {})}
          {onCancel ? (
            <Button kind="link" onPress={onCancel}>
              {t('ui.cancel', {})}
            </Button>
          ) : null}
        </span>
      ) : null}
    </div>
  );
}

/** A progress message in words. */
export function progressText(progress: Progress): string {
  const phase = t(`ui.phase.${progress.phase}`, {});
  const unit = t(`ui.unit.${progress.unit}`, {});
  return progress.total === null
    ? t('ui.waiting.some', { phase, done: progress.done, unit })
    : t('ui.waiting.steps', { phase, done: progress.done, total: progress.total, unit });
}
