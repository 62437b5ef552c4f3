import { type ReactNode, useId, useState } from 'react';
import { useSavedScopes } from '../state/saved-scopes.ts';
import { changeView, useView } from '../state/view.ts';
import { Button } from './button.tsx';
import { Popover } from './popover.tsx';
import { t } from './text.ts';

/** Scopes kept under a name: bring one back, keep the present one, forget one. */
export function SavedScopesPanel(): ReactNode {
  return (
    <Popover text={t('ui.scope.saved', {})} label={t('ui.scope.saved.label', {})}>
      {(close) => <Panel close={close} />}
    </Popover>
  );
}

function Panel({ close }: { close: () => void }): ReactNode {
  const view = useView();
  const { scopes, keep, forget } = useSavedScopes();
  const [name, setName] = useState('');
  const id = useId();
  return (
    <form
      className="fields"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() === '') return;
        const { period, joints, tools, operators } = view;
        keep({ name: name.trim(), period, joints, tools, operators });
        setName('');
      }}
    >
      {scopes.length === 0 ? <p className="caption">{t('ui.scope.saved.none', {})}</p> : null}
      {scopes.map((scope) => (
        <span key={scope.name} className="saved-scope">
          <Button
            kind="link"
            onPress={() => {
              const { period, joints, tools, operators } = scope;
              changeView({ period, joints, tools, operators, brush: null, driftPeriod: null });
              close();
            }}
          >
            {scope.name}
          </Button>
          <Button
            kind="link"
            label={t('ui.scope.saved.forget', { name: scope.name })}
            onPress={() => forget(scope.name)}
          >
            <span aria-hidden="true">×</span>
          </Button>
        </span>
      ))}
      <label htmlFor={id}>{t('ui.scope.saved.name', {})}</label>
      <span className="row">
        <input id={id} type="text" maxLength={80} value={name} onChange={(event) => setName(event.target.value)} />
        <button type="submit" className="button plain" disabled={name.trim() === ''}>
          {t('ui.save', {})}
        </button>
      </span>
    </form>
  );
}
