import type { ReactNode } from 'react';
import type { IntakeNotice } from '#core/contract/models/intake-model.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** What is worth knowing about lines that were accepted. */
export function NoticeList({
  notices,
  waits,
}: {
  notices: readonly IntakeNotice[];
  /** More may be said once what is asked is answered. */
  waits: boolean;
}): ReactNode {
  if (notices.length === 0) return null;
  return (
    <Region
      title={t('intake-ui.notices.title', {})}
      note={waits ? t('intake-ui.notices.so-far', {}) : t('intake-ui.notices.note', {})}
    >
      <table className="data notices">
        <thead className="hidden">
          <tr>
            <th scope="col">{t('intake-ui.rejected.line', {})}</th>
            <th scope="col">{t('intake-ui.notices.title', {})}</th>
          </tr>
        </thead>
        <tbody>
          {notices.map((notice, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a kind may occur more than once; the list is not reordered
            <tr key={index}>
              <td className="right" title={notice.lines.join(', ')}>
                {linesOf(notice)}
              </td>
              <td className="wrap">
                <Sentence of={notice.said} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Region>
  );
}

function linesOf(notice: IntakeNotice): string {
  const [first] = notice.lines;
  if (first === undefined) return t('intake-ui.notices.all', {});
  return notice.count > 1 ? t('intake-ui.notices.more', { first, more: notice.count - 1 }) : String(first);
}
