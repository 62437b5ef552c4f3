import { type ReactNode, useCallback } from 'react';
import type { AgainModel } from '#core/contract/models/review-model.ts';
import { tightenedAgain } from '#core/figures/tightened-again.ts';
import { type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { t } from '../../parts/text.ts';

/** Fasteners that were tightened more than once, each with its tries. */
export function Again({
  model,
  selected,
  onSelect,
  onOpen,
}: {
  model: AgainModel;
  selected: string | null;
  onSelect: (id: string | null) => void;
  onOpen: (id: string) => void;
}): ReactNode {
  const build = useCallback((size: FigureSize) => tightenedAgain(model, size), [model]);
  if (model.chains.length === 0) return <p className="caption">{t('ui.review.again.none', {})}</p>;
  return <FigureView build={build} height={66} selected={selected} onSelect={onSelect} onOpen={onOpen} />;
}
