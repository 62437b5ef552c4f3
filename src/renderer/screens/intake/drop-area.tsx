import { type ReactNode, useRef } from 'react';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { t } from '../../parts/text.ts';
import { hiddenFile } from './dropped-files.ts';
import type { RunnerState } from './intake-runner.ts';

/** Where files come in: dropped anywhere on the screen, or chosen. */
export function DropArea({
  over,
  sending,
  onFiles,
}: {
  /** Something is being dragged over the screen. */
  over: boolean;
  sending: RunnerState['sending'];
  onFiles: (files: readonly File[]) => void;
}): ReactNode {
  const files = useRef<HTMLInputElement>(null);
  const folder = useRef<HTMLInputElement>(null);
  useKeys({ o: () => files.current?.click() });
  const take = (input: HTMLInputElement | null): void => {
    if (!input?.files) return;
    const chosen = [...input.files].filter((file) => !hiddenFile(file.name));
    input.value = '';
    onFiles(chosen);
  };
  return (
    <div className={over ? 'drop-area over' : 'drop-area'}>
      <strong>{over ? t('intake-ui.drop.now', {}) : t('intake-ui.drop.title', {})}</strong>
      <span>
        {t('intake-ui.drop.or', {})}{' '}
        <Button kind="link" onPress={() => files.current?.click()}>
          {t('intake-ui.drop.choose', {})}
        </Button>{' '}
        <kbd>O</kbd> {t('intake-ui.drop.or', {})}{' '}
        <Button kind="link" onPress={() => folder.current?.click()}>
          {t('intake-ui.drop.folder', {})}
        </Button>
        . {t('intake-ui.drop.note', {})}
      </span>
      {sending ? (
        <span role="status" className="sending">
          {t('intake-ui.drop.sending', sending)}
        </span>
      ) : null}
      <input
        ref={files}
        type="file"
        multiple
        hidden
        tabIndex={-1}
        aria-hidden="true"
        data-testid="files"
        onChange={() => take(files.current)}
      />
      <input
        ref={folder}
        type="file"
        multiple
        hidden
        tabIndex={-1}
        aria-hidden="true"
        // Not in the types of React: the choice of a whole folder.
        {...{ webkitdirectory: '' }}
        onChange={() => take(folder.current)}
      />
    </div>
  );
}
