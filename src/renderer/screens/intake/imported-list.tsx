import { type ReactNode, useState } from 'react';
import type { ImportedSource } from '#core/contract/models/intake-model.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { localTime } from './local-time.ts';

const shownAtFirst = 6;

/** Files taken in, newest first; each can be undone and brought back. */
export function ImportedList({
  imported,
  onTold,
}: {
  imported: readonly ImportedSource[];
  onTold: (words: string) => void;
}): ReactNode {
  const [all, setAll] = useState(false);
  const shown = all ? imported : imported.slice(0, shownAtFirst);
  return (
    <section className="imported" aria-labelledby="imported-title">
      <h2 id="imported-title">
        {t('intake-ui.imported', {})}
        <span className="note">{imported.length > 0 ? t('intake-ui.files', { count: imported.length }) : ''}</span>
      </h2>
      {imported.length === 0 ? <p className="caption">{t('intake-ui.imported.none', {})}</p> : null}
      <ul>
        {shown.map((file) => (
          <li key={file.source} className={file.withdrawn ? 'queue-item withdrawn' : 'queue-item'}>
            <span className="file-name">{file.name}</span>
            <span className="state">
              {file.withdrawn
                ? t('intake-ui.imported.withdrawn', { only: file.onlyHere })
                : file.accepted === 0
                  ? t('intake-ui.imported.nothing-new', { at: localTime(file.takenInMs) })
                  : t('intake-ui.imported.line', { at: localTime(file.takenInMs), readings: file.accepted })}
            </span>
            <UndoFile file={file} onTold={onTold} />
          </li>
        ))}
      </ul>
      {imported.length > shown.length ? (
        <Button kind="link" onPress={() => setAll(true)}>
          {t('intake-ui.imported.more', { count: imported.length - shown.length })}
        </Button>
      ) : null}
      {imported.length > 0 ? <p className="caption after-list">{t('intake-ui.imported.note', {})}</p> : null}
    </section>
  );
}

/** Takes one file back, or brings it back. */
export function UndoFile({ file, onTold }: { file: ImportedSource; onTold: (words: string) => void }): ReactNode {
  const withdraw = useCommand('source:withdraw');
  const restore = useCommand('source:restore');
  return (
    <>
      {file.withdrawn ? (
        <Button
          kind="link"
          disabled={restore.running}
          label={t('intake-ui.restore-file', { name: file.name })}
          onPress={async () => {
            const done = await restore.run({ source: file.source });
            if (done) onTold(t('intake-ui.restored', { name: file.name, back: done.backInForce }));
          }}
        >
          {t('intake-ui.restore', {})}
        </Button>
      ) : (
        <Button
          kind="link"
          disabled={withdraw.running}
          label={t('intake-ui.undo-file', { name: file.name, only: file.onlyHere })}
          onPress={async () => {
            const done = await withdraw.run({ source: file.source });
            if (done) {
              onTold(
                t('intake-ui.withdrawn', { name: file.name, out: done.outOfForce, stay: done.stillShownElsewhere }),
              );
            }
          }}
        >
          {t('ui.undo', {})}
        </Button>
      )}
      <ProblemLine problem={withdraw.problem ?? restore.problem} />
    </>
  );
}
