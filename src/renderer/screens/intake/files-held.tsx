import type { ReactNode } from 'react';
import type { ImportedSource } from '#core/contract/models/intake-model.ts';
import { DataTable } from '../../parts/data-table.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';
import { UndoFile } from './imported-list.tsx';
import { localTime } from './local-time.ts';

/** All files held, with what each brought. Shown when nothing waits. */
export function FilesHeld({
  imported,
  onTold,
}: {
  imported: readonly ImportedSource[];
  onTold: (words: string) => void;
}): ReactNode {
  return (
    <Region title={t('intake-ui.table.files', {})} note={t('intake-ui.files', { count: imported.length })}>
      <DataTable
        label={t('intake-ui.table.files', {})}
        rows={imported}
        keyOf={(file) => String(file.source)}
        className="files-held"
        columns={[
          {
            id: 'name',
            head: t('intake-ui.table.file', {}),
            cell: (file) => <span className={file.withdrawn ? 'struck' : 'strong'}>{file.name}</span>,
          },
          {
            id: 'at',
            head: t('intake-ui.table.taken-in', {}),
            cell: (file) => t('register-ui.day-time', { at: localTime(file.takenInMs) }),
          },
          {
            id: 'new',
            head: t('intake-ui.table.shows', {}),
            right: true,
            cell: (file) => t('register-ui.count', { count: file.accepted }),
          },
          {
            id: 'held',
            head: t('intake-ui.table.held-before', {}),
            right: true,
            cell: (file) => t('register-ui.count', { count: file.alreadyHeld }),
          },
          {
            id: 'rejected',
            head: t('intake-ui.table.rejected', {}),
            right: true,
            cell: (file) => t('register-ui.count', { count: file.rejected }),
          },
          {
            id: 'only',
            head: t('intake-ui.table.only-here', {}),
            right: true,
            cell: (file) => t('register-ui.count', { count: file.onlyHere }),
          },
          {
            id: 'undo',
            head: <span className="hidden">{t('ui.undo', {})}</span>,
            right: true,
            cell: (file) => <UndoFile file={file} onTold={onTold} />,
          },
        ]}
      />
    </Region>
  );
}
