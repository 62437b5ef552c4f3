import { type ReactNode, useState } from 'react';
import type { RegisterModel } from '#core/contract/models/register-model.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { TextField } from './number-field.tsx';
import { RemovalCard } from './remove-entry.tsx';

/** People by badge. Never ranked, never rated. */
export function OperatorsPage({ model, onTold }: { model: RegisterModel; onTold: (words: string) => void }): ReactNode {
  const put = useCommand('register:put');
  const [editing, setEditing] = useState<{
    readonly badge: string;
    readonly name: string;
    readonly isNew: boolean;
  } | null>(null);
  const [removing, setRemoving] = useState<string | null>(null);
  const save = async (): Promise<void> => {
    if (!editing || editing.badge.trim() === '') return;
    const name = editing.name.trim();
    const badge = editing.badge.trim();
    if (await put.run({ file: { operators: [{ badge, name: name === '' ? null : name }] }, why: null })) {
      onTold(t('register-ui.saved', { what: name === '' ? badge : name }));
      setEditing(null);
    }
  };
  const form = editing ? (
    <form
      className="field-row"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      {editing.isNew ? (
        <TextField
          label={t('register-ui.badge', {})}
          value={editing.badge}
          onChange={(badge) => setEditing({ ...editing, badge })}
          required
        />
      ) : null}
      <TextField
        label={t('register-ui.name', {})}
        value={editing.name}
        onChange={(name) => setEditing({ ...editing, name })}
      />
      <button type="submit" className="button you" disabled={editing.badge.trim() === '' || put.running}>
        {t('register-ui.save', {})}
      </button>
      <Button onPress={() => setEditing(null)}>{t('ui.cancel', {})}</Button>
    </form>
  ) : null;
  return (
    <>
      <header className="register-head">
        <div>
          <h1 className="register-title">{t('register-ui.operators.heading', {})}</h1>
          <p className="second">{t('register-ui.operators.note', {})}</p>
        </div>
        <div className="actions">
          <Button onPress={() => setEditing({ badge: '', name: '', isNew: true })}>
            {t('register-ui.add-operator', {})}
          </Button>
        </div>
      </header>
      {editing?.isNew ? form : null}
      <ProblemLine problem={put.problem} />
      <div className="register-narrow">
        <DataTable
          label={t('register-ui.operators', {})}
          rows={model.operators}
          keyOf={(operator) => operator.badge}
          empty={t('register-ui.nothing', {})}
          under={(operator) =>
            removing === operator.badge ? (
              <RemovalCard
                kind="operator"
                name={operator.badge}
                onTold={onTold}
                onGone={() => setRemoving(null)}
                onDrop={() => setRemoving(null)}
              />
            ) : editing && !editing.isNew && editing.badge === operator.badge ? (
              form
            ) : null
          }
          columns={[
            { id: 'badge', head: t('register-ui.badge', {}), className: 'strong', cell: (operator) => operator.badge },
            {
              id: 'name',
              head: t('register-ui.name', {}),
              cell: (operator) =>
                operator.name ??
                (operator.confirmed ? '' : <span className="muted">{t('register-ui.unconfirmed', {})}</span>),
            },
            {
              id: 'readings',
              head: t('register-ui.readings', {}),
              right: true,
              cell: (operator) => t('register-ui.count', { count: operator.readings }),
            },
            {
              id: 'shifts',
              head: t('register-ui.in-shifts', {}),
              className: 'spaced',
              cell: (operator) => operator.shifts.join(', '),
            },
            {
              id: 'edit',
              head: <span className="hidden">{t('register-ui.edit', {})}</span>,
              right: true,
              cell: (operator) => (
                <span className="row-acts">
                  <Button
                    kind="link"
                    label={`${t('register-ui.edit', {})} ${operator.name ?? operator.badge}`}
                    onPress={() => {
                      setRemoving(null);
                      setEditing({ badge: operator.badge, name: operator.name ?? '', isNew: false });
                    }}
                  >
                    {t('register-ui.edit', {})}
                  </Button>
                  <Button
                    kind="link"
                    label={t('register-ui.remove.of', { name: operator.badge })}
                    onPress={() => setRemoving(operator.badge)}
                  >
                    {t('register-ui.remove', {})}
                  </Button>
                </span>
              ),
            },
          ]}
        />
      </div>
    </>
  );
}
