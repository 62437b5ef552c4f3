import type { ReactNode } from 'react';
import { t } from '../../parts/text.ts';

export default function IntakeScreen(): ReactNode {
  return (
    <div className="screen">
      <h1 className="say">{t('ui.screen.intake', {})}</h1>
    </div>
  );
}
