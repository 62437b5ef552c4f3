import { type ReactNode, useState } from 'react';
import type { MathNode, StudyModel, Working } from '#core/contract/models/study-model.ts';
import { mathText } from '#core/study/math-node.ts';
import { Button } from '../../parts/button.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { changeView } from '../../state/view.ts';
import { MathView } from './math-view.tsx';

/** Formula, the same formula with numbers, result, source and readings of one figure. */
export function WorkingPanel({
  model,
  figure,
  onFigure,
  onClose,
}: {
  model: StudyModel;
  figure: string;
  onFigure: (figure: string) => void;
  onClose: () => void;
}): ReactNode {
  const working = model.working[figure] ?? null;
  const [copied, setCopied] = useState<'yes' | 'no' | null>(null);
  const all = Object.values(model.working);
  const copy = async (): Promise<void> => {
    if (!working) return;
    try {
      await navigator.clipboard.writeText(workingText(working));
      setCopied('yes');
    } catch {
      // The browser may refuse; the text below can then be selected by hand.
      setCopied('no');
    }
  };
  return (
    <section className="working" id="working" tabIndex={-1} aria-label={t('ui.study.working.title', {})}>
      <header>
        <h2>
          {t('ui.study.working.title', {})}
          {working ? <>: {plain(working.title)}</> : null}
        </h2>
        <label className="working-choice">
          <span className="hidden">{t('ui.study.working.which', {})}</span>
          <select value={working ? figure : ''} onChange={(event) => onFigure(event.target.value)}>
            {working ? null : <option value="">{t('ui.study.working.choose', {})}</option>}
            {all.map((one) => (
              <option key={one.figure} value={one.figure}>
                {plain(one.title)}
              </option>
            ))}
          </select>
        </label>
        <span className="only-drawer">
          <Button kind="link" onPress={onClose}>
            {t('ui.close', {})}
          </Button>
        </span>
      </header>
      {working ? (
        <>
          {working.lines.map((line, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: lines of one working have fixed places
            <div key={index} className="working-line">
              <p className="caption">
                {line.caption ? <Sentence of={line.caption} /> : t('ui.study.working.formula', {})}
              </p>
              <Formula of={line.formula} />
              <Formula of={line.withNumbers} />
            </div>
          ))}
          <dl className="inputs">
            {working.inputs.map((input) => (
              <div key={`${mathText(input.symbol)} ${input.text}`}>
                <dt>
                  <MathView of={input.symbol} block={false} />
                </dt>
                <dd>
                  {input.text} <span className="muted">{plain(input.meaning)}</span>
                </dd>
              </div>
            ))}
          </dl>
          <p className="second-text">
            <Sentence of={working.method} /> <Sentence of={working.source} />
          </p>
          {working.unmet.length > 0 ? (
            <p className="second-text">
              <strong>{t('ui.study.working.unmet', {})}</strong>{' '}
              {working.unmet.map((line, index) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: conditions have no identity but their place
                <span key={index}>
                  <Sentence of={line} />{' '}
                </span>
              ))}
            </p>
          ) : null}
          <p className="caption">
            <Button kind="link" onPress={() => void copy()}>
              {t('ui.study.working.copy', {})}
            </Button>{' '}
            {working.fromReadings ? (
              <Button kind="link" onPress={() => openReadings(model)}>
                {t('ui.study.working.readings', { count: model.scopeFacts.counts.used })}
              </Button>
            ) : null}{' '}
            <span role="status">
              {copied === 'yes' ? t('ui.study.working.copied', {}) : ''}
              {copied === 'no' ? t('ui.study.working.not-copied', {}) : ''}
            </span>
          </p>
          {copied === 'no' ? <pre className="working-text">{workingText(working)}</pre> : null}
        </>
      ) : (
        <p className="caption">{t('ui.study.working.none', {})}</p>
      )}
      <p className="caption">{t('common.releases-nothing', {})}</p>
    </section>
  );
}

/** A formula that may break before each equals sign, so that its result is never out of sight. */
function Formula({ of }: { of: MathNode }): ReactNode {
  const parts: MathNode[][] = [[]];
  for (const node of of.kind === 'row' ? of.of : [of]) {
    if (node.kind === 'operator' && node.text === '=' && parts[parts.length - 1]?.length) parts.push([]);
    parts[parts.length - 1]?.push(node);
  }
  return (
    <div className="formula">
      {parts.map((part, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: parts of one formula have fixed places
        <MathView key={index} of={{ kind: 'row', of: part }} block={false} />
      ))}
    </div>
  );
}

function openReadings(model: StudyModel): void {
  const { scope, joint } = model.choices;
  changeView({
    screen: 'readings',
    joints: [joint],
    tools: scope.tools,
    operators: scope.operators,
    period: { from: scope.from, to: scope.to, shift: scope.shifts.length === 1 ? (scope.shifts[0] ?? null) : null },
    brush: null,
    filters: model.choices.attempts === 'first' ? [{ column: 'attempt', from: 1, to: 1 }] : [],
  });
}

/** The working as plain text, for a mail or a report written elsewhere. */
export function workingText(working: Working): string {
  return [
    plain(working.title),
    ...working.lines.flatMap((line) => [
      ...(line.caption ? [plain(line.caption)] : []),
      mathText(line.formula),
      mathText(line.withNumbers),
    ]),
    ...working.inputs.map((input) => `${mathText(input.symbol)} = ${input.text} (${plain(input.meaning)})`),
    plain(working.method),
    plain(working.source),
    ...working.unmet.map((line) => plain(line)),
  ].join('\n');
}
