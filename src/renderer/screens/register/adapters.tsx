import { type ReactNode, useEffect, useState } from 'react';
import type { ToolModel } from '#core/contract/models/register-model.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';
import { changeView, currentView, useView } from '../../state/view.ts';
import { type AdapterDraft, draftOfAdapter, newAdapter } from './adapter-draft.ts';
import { AdapterForm } from './adapter-form.tsx';

/** The adapters of a wrench by period: what was on it when, entered, corrected, ended and taken out in place. */
export function Adapters({
  tool,
  now,
  onTold,
}: {
  tool: ToolModel;
  now: number;
  onTold: (words: string) => void;
}): ReactNode {
  const key = `adapter:${tool.serial}`;
  const kept = useView().open[key];
  const [draft, setDraft] = useState<AdapterDraft | null>(() => readDraft(kept));
  // As with limits: a draft is kept while other screens are open, and is nothing until it is saved.
  useEffect(() => {
    const { [key]: _old, ...rest } = currentView().open;
    changeView({ open: draft ? { ...rest, [key]: JSON.stringify(draft) } : rest }, 'replace');
  }, [draft, key]);
  // What the draft was about may have been taken back meanwhile.
  const lost = draft !== null && draft.of !== null && !tool.adapters.some((one) => one.from === draft.of);
  const open = lost ? null : draft;
  const form = open ? (
    <AdapterForm
      tool={tool}
      draft={open}
      onChange={setDraft}
      onDrop={() => setDraft(null)}
      onDone={() => {
        const gone = open.what === 'remove';
        onTold(t(gone ? 'register-ui.adapter.gone' : 'register-ui.adapter.saved', { tool: tool.serial }));
        setDraft(null);
      }}
    />
  ) : null;
  const rows = [...tool.adapters].reverse();
  return (
    <Region
      title={t('register-ui.tool.adapters', {})}
      note={t('register-ui.adapter.note', {})}
      end={
        <Button
          kind="link"
          expanded={open?.what === 'new'}
          onPress={() => setDraft(open?.what === 'new' ? null : newAdapter(tool, now))}
        >
          {t('register-ui.adapter.add', {})}
        </Button>
      }
      className="adapters"
    >
      {open?.what === 'new' ? form : null}
      {open?.what === 'new' && rows.length === 0 ? null : (
        <DataTable
          label={t('register-ui.tool.adapters', {})}
          rows={rows}
          keyOf={(row) => String(row.from)}
          empty={t('register-ui.adapter.none', { tool: tool.serial })}
          under={(row) => (open !== null && open.of === row.from ? form : null)}
          columns={[
            {
              id: 'from',
              head: t('register-ui.adapter.on', {}),
              className: 'strong',
              cell: (row) => t('register-ui.moment', { at: row.from }),
            },
            {
              id: 'to',
              head: t('register-ui.adapter.off', {}),
              cell: (row) =>
                row.to === null ? (
                  <span className="muted">{t('register-ui.adapter.still-on', {})}</span>
                ) : (
                  t('register-ui.moment', { at: row.to })
                ),
            },
            {
              id: 'l',
              head: 'L, mm',
              right: true,
              cell: (row) => t('register-ui.plain-number', { value: row.lengthMm }),
            },
            {
              id: 'e',
              head: 'E, mm',
              right: true,
              cell: (row) => t('register-ui.plain-number', { value: row.offsetMm }),
            },
            {
              id: 'a',
              head: 'a',
              right: true,
              cell: (row) => `${t('register-ui.plain-number', { value: row.angleDeg })}°`,
            },
            {
              id: 'factor',
              head: t('register-ui.adapter.factor', {}),
              right: true,
              className: 'strong',
              cell: (row) => t('register-ui.number', { value: row.factor, decimals: 4 }),
            },
            {
              id: 'readings',
              head: t('register-ui.readings', {}),
              right: true,
              cell: (row) => t('register-ui.count', { count: row.readings }),
            },
            {
              id: 'act',
              head: <span className="hidden">{t('register-ui.edit', {})}</span>,
              right: true,
              className: 'spaced',
              cell: (row) => {
                const begin = (what: 'change' | 'end' | 'remove') => () => setDraft(draftOfAdapter(row, what, now));
                const of = { at: row.from };
                return (
                  <span className="row-acts">
                    {row.to === null ? (
                      <Button kind="link" label={t('register-ui.adapter.end-of', of)} onPress={begin('end')}>
                        {t('register-ui.adapter.end-word', {})}
                      </Button>
                    ) : null}
                    <Button kind="link" label={t('register-ui.adapter.change-of', of)} onPress={begin('change')}>
                      {t('register-ui.edit', {})}
                    </Button>
                    <Button kind="link" label={t('register-ui.adapter.remove-of', of)} onPress={begin('remove')}>
                      {t('register-ui.remove', {})}
                    </Button>
                  </span>
                );
              },
            },
          ]}
        />
      )}
    </Region>
  );
}

function readDraft(text: string | undefined): AdapterDraft | null {
  if (text === undefined) return null;
  try {
    return JSON.parse(text) as AdapterDraft; // written by this file
  } catch {
    return null;
  }
}
