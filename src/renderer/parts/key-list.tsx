import { type ReactNode, useEffect, useRef } from 'react';
import type { SaidKey } from '#core/text/said.ts';
import { useSettings } from '../state/settings.ts';
import { Button } from './button.tsx';
import { t } from './text.ts';

type KeyPhrase = Extract<SaidKey, `ui.key.${string}`>;

const list: readonly (readonly [string, KeyPhrase])[] = [
  ['1 to 6', 'ui.key.screens'],
  ['/', 'ui.key.search'],
  ['J, K', 'ui.key.next'],
  ['Enter', 'ui.key.open'],
  ['[ , ]', 'ui.key.period'],
  ['Esc', 'ui.key.escape'],
  ['N', 'ui.key.note'],
  ['U', 'ui.key.undo'],
  ['X', 'ui.key.leave-out'],
  ['W', 'ui.key.working'],
  ['D', 'ui.key.drift'],
  ['S', 'ui.key.study'],
  ['L', 'ui.key.check'],
  ['R', 'ui.key.readings'],
  ['O', 'ui.key.files'],
  ['A', 'ui.key.accept'],
  ['P', 'ui.key.print'],
  ['E', 'ui.key.export'],
  ['+ , - , 0', 'ui.key.zoom'],
  ['T', 'ui.key.table'],
  ['?', 'ui.key.list'],
];

/** The list of keys, over the screen; closes with Escape. */
export function KeyList({ onClose }: { onClose: () => void }): ReactNode {
  const { singleKeys } = useSettings();
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} className="key-list" aria-label={t('ui.keys', {})} onClose={onClose}>
      <h2>{t('ui.keys', {})}</h2>
      {singleKeys ? null : <p className="caption">{t('ui.keys.off', {})}</p>}
      <dl>
        {list.map(([key, phrase]) => (
          <div key={phrase}>
            <dt>
              <kbd>{key}</kbd>
            </dt>
            <dd>{t(phrase, {})}</dd>
          </div>
        ))}
      </dl>
      <Button onPress={() => dialog.current?.close()}>{t('ui.close', {})}</Button>
    </dialog>
  );
}
