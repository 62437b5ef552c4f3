import { type CSSProperties, type ReactNode, useRef } from 'react';
import { type AccountingPart, accountingParts, type DrawnPart } from '#core/figures/accounting-parts.ts';
import type { LineCounts } from '#core/intake/vocabulary.ts';
import { useWidth } from '../../figures/use-size.ts';
import { t } from '../../parts/text.ts';

interface AccountingBarProps {
  readonly lines: LineCounts;
  /** False: the counts are those so far. */
  readonly complete: boolean;
  readonly shown: AccountingPart | null;
  readonly onShow: (part: AccountingPart | null) => void;
}

/** Room at the right end of the bar for the name of its last part. */
const endRoomPx = 160;
/** Room that the first name takes above the bar. */
const firstNamePx = 120;

/** One bar, as long as the file: where each line went. Each part filters the lines below. */
export function AccountingBar({ lines, complete, shown, onShow }: AccountingBarProps): ReactNode {
  const holder = useRef<HTMLDivElement>(null);
  const width = useWidth(holder);
  const rest = lines.blank + lines.header;
  const barWidth = Math.max(0, width - endRoomPx);
  const parts = width > 0 ? accountingParts(lines, barWidth) : [];
  const words: Readonly<Record<AccountingPart, string>> = {
    accepted: t('intake-ui.account.accepted', { count: lines.accepted }),
    held: t('intake-ui.account.held', { count: lines.alreadyHeld }),
    rejected: t('intake-ui.account.rejected', { count: lines.rejected }),
    rest: t('intake-ui.account.rest', { count: rest }),
  };
  const toggle = (part: AccountingPart): void => onShow(shown === part ? null : part);
  return (
    <section className="accounting" aria-label={t('intake-ui.account.title', { total: lines.total })}>
      <div className="accounting-bar" ref={holder}>
        {parts.map(({ part, width: w, x }) =>
          w === 0 ? null : (
            // The named button beside it does the same by keyboard.
            <span
              key={part}
              className={`part-bar part-${part}${shown === part ? ' on' : ''}`}
              style={{ left: x, width: w }}
              aria-hidden="true"
              onClick={() => toggle(part)}
            />
          ),
        )}
        {parts.map((drawn) => (
          <button
            key={drawn.part}
            type="button"
            className={`part-name part-${drawn.part}${shown === drawn.part ? ' on' : ''}`}
            style={placeOf(drawn, barWidth)}
            aria-pressed={shown === drawn.part}
            disabled={drawn.lines === 0}
            onClick={() => toggle(drawn.part)}
          >
            {words[drawn.part]}
          </button>
        ))}
        {parts.map(({ part, x, width: w }) =>
          part === 'rejected' && w > 0 ? (
            <span key={part} className="part-leader" style={{ left: x + w / 2 }} aria-hidden="true" />
          ) : null,
        )}
      </div>
      <p className="caption second">
        {complete
          ? t('intake-ui.account.sum', {
              total: lines.total,
              accepted: lines.accepted,
              held: lines.alreadyHeld,
              rejected: lines.rejected,
              rest,
            })
          : t('intake-ui.account.so-far', { total: lines.total })}{' '}
        {parts.some((part) => part.widened) ? t('intake-ui.account.not-to-scale', {}) : ''}
      </p>
    </section>
  );
}

/** Accepted above the left end, held above its own part, rejected below its own, the rest beside the right end. */
function placeOf({ part, x, width }: DrawnPart, barWidth: number): CSSProperties {
  if (part === 'accepted') return { left: 0, top: 0 };
  if (part === 'rest') return { left: barWidth + 10, top: 22 };
  const end = x + width;
  const top = part === 'held' ? 0 : 50;
  // Names that would leave the bar at the left begin at its edge; the first name above it keeps its room.
  const least = part === 'held' ? firstNamePx : 0;
  if (x >= least && barWidth - x > 110) return { left: x, top };
  return end > least + 110 ? { right: `calc(100% - ${end}px)`, top } : { left: least, top };
}
