import { type ReactNode, useState } from 'react';
import type { IntakePreview, RejectedLine } from '#core/contract/models/intake-model.ts';
import type { Problem } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { problemOf } from '../../bridge/problem-of.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';

/** Over this many they are grouped by reason, with a few examples. */
const groupOver = 50;
const examples = 8;
/** So many are listed at first, that what is worth knowing stays in sight. */
const listedAtFirst = 12;
const beforePx = 12;

/** Lines that became no reading, each with its reason; nothing is dropped silently. */
export function RejectedLines({ preview }: { preview: IntakePreview }): ReactNode {
  const bridge = useBridge();
  const [problem, setProblem] = useState<Problem | null>(null);
  const count = preview.lines.rejected;
  const grouped = preview.rejectedByReason.reduce((sum, one) => sum + one.count, 0) > groupOver;
  const [all, setAll] = useState(false);
  const atFirst = grouped
    ? examples
    : preview.rejected.length <= listedAtFirst + 2
      ? preview.rejected.length
      : listedAtFirst;
  const shown = all && !grouped ? preview.rejected : preview.rejected.slice(0, atFirst);
  const isLong = preview.rejected.length > atFirst;
  const save = async (): Promise<void> => {
    try {
      const all: RejectedLine[] = [];
      for (;;) {
        const page = await bridge.call('inbox:rejected', {
          ticket: preview.ticket,
          source: null,
          offset: all.length,
          limit: 1000,
        });
        all.push(...page.rejected);
        if (page.rejected.length === 0 || all.length >= page.total) break;
      }
      const head = preview.firstLines.filter((line) => line.kind === 'header').map((line) => line.text);
      const bytes = new TextEncoder().encode(`${[...head, ...all.map((line) => line.text)].join('\n')}\n`);
      await bridge.saveFile({
        name: t('intake-ui.rejected.file-name', { name: preview.name }),
        mime: 'text/csv',
        bytes,
      });
    } catch (thrown) {
      setProblem(problemOf(thrown));
    }
  };
  return (
    <Region title={t('intake-ui.rejected.title', {})} note={t('intake-ui.rejected.note', { count })}>
      {grouped || isLong ? (
        <ul className="reasons">
          {preview.rejectedByReason.map((one) => (
            <li key={one.reason}>{t('intake-ui.rejected.group', { count: one.count, reason: plain(one.said) })}</li>
          ))}
        </ul>
      ) : null}
      {shown.length === 0 ? null : (
        <>
          <table className="data rejected">
            <thead>
              <tr>
                <th scope="col" className="right">
                  {t('intake-ui.rejected.line', {})}
                </th>
                <th scope="col">{t('intake-ui.rejected.reason', {})}</th>
                <th scope="col">{t('intake-ui.rejected.as-written', {})}</th>
              </tr>
            </thead>
            <tbody>
              {shown.map((line) => (
                <tr key={line.line}>
                  <td className="right">{line.line}</td>
                  <td className="wrap">
                    <Sentence of={said('intake.reason', { reason: line.reason })} />
                  </td>
                  <td>
                    <Offending line={line} />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          <p className="caption after-list">
            {shown.length < count ? `${t('intake-ui.rejected.first', { shown: shown.length, of: count })} ` : ''}
            {isLong && !grouped ? (
              <>
                <Button kind="link" onPress={() => setAll(!all)}>
                  {all ? t('intake-ui.rejected.fewer', {}) : t('intake-ui.rejected.all', { count })}
                </Button>{' '}
              </>
            ) : null}
            <Button kind="link" onPress={() => void save()}>
              {t('intake-ui.rejected.save', {})}
            </Button>{' '}
            {t('intake-ui.rejected.save-note', {})}
          </p>
        </>
      )}
      <ProblemLine problem={problem} />
    </Region>
  );
}

/** The line as written, the offending stretch underlined and in view. */
function Offending({ line }: { line: RejectedLine }): ReactNode {
  if (!line.span) {
    return (
      <code className="offending" title={line.text}>
        <u>{line.text}</u>
      </code>
    );
  }
  const [from, to] = line.span;
  const start = Math.max(0, from - beforePx);
  return (
    <code className="offending" title={line.text}>
      {start > 0 ? '…' : ''}
      {line.text.slice(start, from)}
      <u>{from === to ? '\u00a0' : line.text.slice(from, to)}</u>
      {line.text.slice(to)}
    </code>
  );
}
