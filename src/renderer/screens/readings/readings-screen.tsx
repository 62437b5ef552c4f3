import type { ReactNode } from 'react';
import { t } from '../../parts/text.ts';

export default function ReadingsScreen(): ReactNode {
  return (
    <div className="screen">
      <h1 className="say">{t('ui.screen.readings', {})}</h1>
    </div>
  );
}
