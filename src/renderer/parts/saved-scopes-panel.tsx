import { type ReactNode, useId, useState } from 'react';
import { useSavedScopes, viewOfScope } from '../state/saved-scopes.ts';
import { changeView, currentView, periodScope } from '../state/view.ts';
import { Button } from './button.tsx';
import { Popover } from './popover.tsx';
import { ProblemLine } from './problem-line.tsx';
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
  const { scopes, problem, keep, forget } = useSavedScopes();
  const [name, setName] = useState('');
  const id = useId();
  return (
    <form
      className="fields"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() === '') return;
        keep(name.trim(), periodScope(currentView()));
        setName('');
      }}
    >
      {scopes.length === 0 ? <p className="caption">{t('ui.scope.saved.none', {})}</p> : null}
      {scopes.map((scope) => (
        <span key={scope.name} className="saved-scope">
          <Button
            kind="link"
            onPress={() => {
              changeView(viewOfScope(scope.scope));
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
      <ProblemLine problem={problem} />
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
