import type { ReactNode } from 'react';
import { t } from '../../parts/text.ts';

export default function RegisterScreen(): ReactNode {
  return (
    <div className="screen">
      <h1 className="say">{t('ui.screen.register', {})}</h1>
    </div>
  );
}
