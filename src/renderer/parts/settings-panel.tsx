import type { ReactNode } from 'react';
import { changeSettings, useSettings } from '../state/settings.ts';
import { NamesSettings } from './names-settings.tsx';
import { Popover } from './popover.tsx';
import { Segmented } from './segmented.tsx';
import { t } from './text.ts';

/** Theme, row height, single keys, whether people are named, names on reports. */
export function SettingsPanel(): ReactNode {
  const settings = useSettings();
  return (
    <Popover className="link quiet" label={t('ui.settings', {})} text={t('ui.settings', {})} align="right">
      {() => (
        <div className="fields">
          <span className="key">{t('ui.settings.theme', {})}</span>
          <Segmented
            label={t('ui.settings.theme', {})}
            value={settings.theme}
            onChange={(theme) => changeSettings({ theme })}
            options={[
              { value: 'system', text: t('ui.settings.system', {}) },
              { value: 'light', text: t('ui.settings.light', {}) },
              { value: 'dark', text: t('ui.settings.dark', {}) },
            ]}
          />
          <span className="key">{t('ui.settings.density', {})}</span>
          <Segmented
            label={t('ui.settings.density', {})}
            value={settings.density}
            onChange={(density) => changeSettings({ density })}
            options={[
              { value: 'roomy', text: t('ui.settings.roomy', {}) },
              { value: 'normal', text: t('ui.settings.normal', {}) },
              { value: 'compact', text: t('ui.settings.compact', {}) },
            ]}
          />
          <label className="check">
            <input
              type="checkbox"
              checked={settings.singleKeys}
              onChange={(event) => changeSettings({ singleKeys: event.target.checked })}
            />
            {t('ui.settings.single-keys', {})}
          </label>
          <label className="check">
            <input
              type="checkbox"
              checked={settings.namesHidden}
              aria-describedby="hide-names-help"
              onChange={(event) => changeSettings({ namesHidden: event.target.checked })}
            />
            {t('ui.settings.hide-names', {})}
          </label>
          <p id="hide-names-help" className="help">
            {t('ui.settings.hide-names.help', {})}
          </p>
          <NamesSettings />
        </div>
      )}
    </Popover>
  );
}
