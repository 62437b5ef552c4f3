import type { ReactNode } from 'react';
import { t } from '../../parts/text.ts';

export default function DriftScreen(): ReactNode {
  return (
    <div className="screen">
      <h1 className="say">{t('ui.screen.drift', {})}</h1>
    </div>
  );
}
