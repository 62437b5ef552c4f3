import type { ReactNode } from 'react';
import { t } from '../../parts/text.ts';

export default function StudyScreen(): ReactNode {
  return (
    <div className="screen">
      <h1 className="say">{t('ui.screen.study', {})}</h1>
    </div>
  );
}
