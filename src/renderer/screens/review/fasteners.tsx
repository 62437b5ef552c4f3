import { type ReactNode, useState } from 'react';
import type { FastenerAccount } from '#core/contract/models/review-model.ts';
import { Button } from '../../parts/button.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

const shownFirst = 4;
const mostSlots = 24;

/** Incomplete batches as slots, empty = missing, with the fastener named. */
export function Fasteners({ model, onOpen }: { model: FastenerAccount; onOpen: (id: string) => void }): ReactNode {
  const [all, setAll] = useState(false);
  const rows = all ? model.incomplete : model.incomplete.slice(0, shownFirst);
  return (
    <>
      {rows.length > 0 ? (
        <ul className="batches">
          {rows.map((row) => (
            <li key={row.firstReading}>
              <Button kind="link" onPress={() => onOpen(row.firstReading)}>
                {row.batch ?? row.joint}
              </Button>
              <Slots slots={row.slots} read={row.distinct} size={row.size} />
              <span className="second">
                <Sentence of={row.said} />
              </span>
            </li>
          ))}
        </ul>
      ) : null}
      {model.incomplete.length > shownFirst ? (
        <p className="caption">
          {t('ui.review.fasteners.more', { count: rows.length, of: model.incompleteTotal })}{' '}
          <Button kind="link" onPress={() => setAll(!all)}>
            {all ? t('ui.close', {}) : t('ui.review.failing.show-all', {})}
          </Button>
        </p>
      ) : null}
      <p className="caption">
        {model.remarks.map((remark, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: remarks have no identity but their place
          <span key={index}>
            {' '}
            <Sentence of={remark} />
          </span>
        ))}
      </p>
    </>
  );
}

function Slots({ slots, read, size }: { slots: readonly boolean[]; read: number; size: number }): ReactNode {
  const shown = slots.slice(0, mostSlots);
  return (
    <svg
      className="slots"
      width={shown.length * 14 + (slots.length > mostSlots ? 12 : 0)}
      height={12}
      role="img"
      aria-label={t('ui.review.fasteners.slots', { read, size })}
    >
      {shown.map((filled, index) => (
        <circle
          // biome-ignore lint/suspicious/noArrayIndexKey: a slot is its place
          key={index}
          className={filled ? 'filled' : 'missing'}
          cx={6 + index * 14}
          cy={6}
          r={filled ? 4 : 4.2}
        />
      ))}
      {slots.length > mostSlots ? (
        <text x={shown.length * 14} y={10}>
          …
        </text>
      ) : null}
    </svg>
  );
}
