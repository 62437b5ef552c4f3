import { type ReactNode, useState } from 'react';
import type { ChangeRow } from '#core/contract/calls.ts';
import { useCall, useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';

const pageRows = 50;
const everyChange = { touches: ['readings', 'register', 'marks', 'recipes', 'studies', 'settings'] } as const;
/** Taking these back has no meaning of its own: an undo is undone by making the change again. */
const lasting: ReadonlySet<string> = new Set(['undo', 'settings', 'hide-names']);

/** Who changed what, when and why: the newest first. Nothing is ever taken out; what is taken back says so. */
export function JournalPage({ onTold }: { onTold: (words: string) => void }): ReactNode {
  const [offset, setOffset] = useState(0);
  const changes = useCall('change:list', { offset, limit: pageRows + 1 }, 'register journal', everyChange);
  const undo = useCommand('change:undo');
  const rows = (changes.value ?? []).slice(0, pageRows);
  const takeBack = async (row: ChangeRow): Promise<void> => {
    const done = await undo.run({ change: row.id });
    if (done) onTold(t('register-ui.journal.taken-back', { id: row.id }));
  };
  return (
    <>
      <h1 className="register-title">{t('register-ui.journal', {})}</h1>
      <p className="second register-sub">{t('register-ui.journal.said', {})}</p>
      <Waiting on={changes.loading && changes.value === null} />
      <ProblemLine problem={undo.problem ?? changes.problem} onAgain={changes.again} />
      <DataTable
        label={t('register-ui.journal', {})}
        rows={rows}
        keyOf={(row) => String(row.id)}
        empty={changes.value ? t('register-ui.journal.none', {}) : ''}
        columns={[
          { id: 'id', head: t('register-ui.journal.id', {}), right: true, cell: (row) => row.id },
          {
            id: 'when',
            head: t('register-ui.journal.when', {}),
            className: 'spaced',
            cell: (row) => t('register-ui.journal.at', { at: localTime(row.madeMs) }),
          },
          { id: 'who', head: t('register-ui.journal.who', {}), cell: (row) => row.who },
          {
            id: 'what',
            head: t('register-ui.journal.what', {}),
            className: 'wraps',
            cell: (row) => (
              <>
                {t('register-ui.journal.kind', { kind: row.kind, undoes: row.undoes })}{' '}
                <span className="second">{row.subject}</span>
                {settledAs(row) === null ? null : ` ${t('register-ui.journal.as', { name: settledAs(row) ?? '' })}`}
              </>
            ),
          },
          {
            id: 'why',
            head: t('register-ui.journal.why', {}),
            className: 'second',
            cell: (row) => (row.kind === 'settle' ? '' : (row.why ?? '')),
          },
          {
            id: 'undo',
            head: <span className="hidden">{t('register-ui.journal.take-back', {})}</span>,
            cell: (row) =>
              row.undoneBy !== null ? (
                <span className="muted">{t('register-ui.journal.undone-by', { id: row.undoneBy })}</span>
              ) : lasting.has(row.kind) ? null : (
                <Button kind="link" disabled={undo.running} onPress={() => void takeBack(row)}>
                  {t('register-ui.journal.take-back', {})}
                </Button>
              ),
          },
        ]}
      />
      <p className="row-of-links">
        <Button kind="link" disabled={offset === 0} onPress={() => setOffset(Math.max(0, offset - pageRows))}>
          {t('register-ui.journal.newer', {})}
        </Button>
        <Button
          kind="link"
          disabled={(changes.value?.length ?? 0) <= pageRows}
          onPress={() => setOffset(offset + pageRows)}
        >
          {t('register-ui.journal.older', {})}
        </Button>
      </p>
    </>
  );
}

/** What a name was settled as, which the journal keeps where other changes keep their reason. */
const settledAs = (row: ChangeRow): string | null => (row.kind === 'settle' ? row.why : null);

/** A moment of this computer as civil time of the place it stands in. */
function localTime(ms: number): number {
  return ms - new Date(ms).getTimezoneOffset() * 60_000;
}
