import type { ReactNode } from 'react';
import { t } from '../../parts/text.ts';

export default function ReviewScreen(): ReactNode {
  return (
    <div className="screen">
      <h1 className="say">{t('ui.screen.review', {})}</h1>
    </div>
  );
}
