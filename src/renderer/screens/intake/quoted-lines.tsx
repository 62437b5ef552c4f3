import { Fragment, type ReactNode, useLayoutEffect, useRef, useState } from 'react';
import type { LineSpan, PreviewLine } from '#core/contract/models/intake-model.ts';
import { roleLevels } from '#core/figures/role-labels.ts';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { roleClass, roleLook } from './role-look.ts';

interface QuotedLinesProps {
  readonly lines: readonly PreviewLine[];
  /** The line over which the names of the roles stand: the first line of data. */
  readonly named: PreviewLine | null;
  readonly lit: number | null;
  readonly onLight: (column: number | null) => void;
}

const tabColumns = 2;
const levelPx = 13;
const numberPx = 46;

/** Lines of the file character for character, each column underlined by what it holds. */
export function QuotedLines({ lines, named, lit, onLight }: QuotedLinesProps): ReactNode {
  const ruler = useRef<HTMLSpanElement>(null);
  const [letterPx, setLetterPx] = useState(7.2);
  useLayoutEffect(() => {
    const width = ruler.current?.getBoundingClientRect().width ?? 0;
    if (width > 0) setLetterPx(width / 20);
  }, []);
  return (
    <section
      className="quoted"
      aria-label={t('intake-ui.read.lines', {})}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: long lines scroll inside, so the keyboard must reach it
      tabIndex={0}
      onPointerLeave={() => onLight(null)}
    >
      <span className="ruler" ref={ruler} aria-hidden="true">
        {'0'.repeat(20)}
      </span>
      {lines.map((line) => (
        <Fragment key={line.line}>
          {line === named ? <RoleNames line={line} letterPx={letterPx} lit={lit} /> : null}
          <div className={`quoted-line ${line.kind}`}>
            <span className="line-number">{line.line}</span>
            <span className="line-text">{pieces(line, lit, onLight)}</span>
            {line.cut ? <em>{t('intake-ui.read.cut', {})}</em> : null}
            {line.said ? (
              <em>
                <Sentence of={line.said} />
              </em>
            ) : null}
          </div>
        </Fragment>
      ))}
    </section>
  );
}

/** The names of the roles above a line, on as many levels as it takes that none runs into another. */
function RoleNames({ line, letterPx, lit }: { line: PreviewLine; letterPx: number; lit: number | null }): ReactNode {
  const spans = line.spans.filter((span) => span.role !== 'ignore' && span.to > span.from);
  if (spans.length === 0) return null;
  const labels = spans.map((span) => {
    const name = t(`intake-ui.role.${span.role}`, {});
    return { span, name, x: numberPx + columnsBefore(line.text, span.from) * letterPx, width: name.length * 6.5 };
  });
  const levels = roleLevels(labels, 6);
  const highest = Math.max(...levels);
  const height = (highest + 1) * levelPx + 14;
  return (
    <svg
      className="role-names"
      width={Math.max(...labels.map((label) => label.x + label.width)) + 8}
      height={height}
      aria-hidden="true"
    >
      {labels.map(({ span, name, x }, index) => {
        const y = height - 14 - levels[index]! * levelPx;
        const { family } = roleLook(span.role);
        return (
          <g key={span.column} className={`${family}${span.column === lit ? ' lit' : ''}`}>
            <line x1={x + 2} x2={x + 2} y1={y + 3} y2={height - 2} />
            <text x={x} y={y}>
              {name}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

/** How many letter widths stand before a position: tabs are drawn two wide. */
function columnsBefore(text: string, position: number): number {
  let columns = 0;
  for (let i = 0; i < position; i += 1) columns += text[i] === '\t' ? tabColumns : 1;
  return columns;
}

function pieces(line: PreviewLine, lit: number | null, onLight: (column: number | null) => void): ReactNode[] {
  const out: ReactNode[] = [];
  let at = 0;
  const spans: readonly LineSpan[] = [...line.spans].sort((a, b) => a.from - b.from);
  for (const span of spans) {
    if (span.from < at) continue;
    if (span.from > at) out.push(between(line.text.slice(at, span.from), `b${at}`));
    out.push(
      <span
        key={span.column}
        className={`${roleClass(span.role)}${span.column === lit ? ' lit' : ''}`}
        onPointerEnter={() => onLight(span.column)}
      >
        {withTabs(line.text.slice(span.from, span.to))}
      </span>,
    );
    at = span.to;
  }
  if (at < line.text.length) out.push(between(line.text.slice(at), 'end'));
  return out;
}

const between = (text: string, key: string): ReactNode => (
  <span key={key} className="between">
    {withTabs(text)}
  </span>
);

/** Tabs as a mark two letters wide, so that columns can be told apart. */
function withTabs(text: string): ReactNode {
  if (!text.includes('\t')) return text;
  return text.split('\t').map((part, index) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: pieces of a fixed text have no identity but their place
    <Fragment key={index}>
      {index > 0 ? <span className="tab">{'\t'}</span> : null}
      {part}
    </Fragment>
  ));
}
