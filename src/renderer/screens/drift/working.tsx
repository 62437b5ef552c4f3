import { type ReactNode, useState } from 'react';
import type { MathNode, Working } from '#core/contract/models/study-model.ts';
import { mathText } from '#core/study/math-node.ts';
import { Button } from '../../parts/button.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { MathView } from '../study/math-view.tsx';

/** How one figure of a tool came about: formula, the same with numbers, inputs, method, source. */
export function ToolWorking({
  workings,
  first,
  onClose,
}: {
  workings: readonly Working[];
  /** Figure shown when it opens. */
  first: string;
  onClose: () => void;
}): ReactNode {
  const [figure, setFigure] = useState(first);
  const [copied, setCopied] = useState<boolean | null>(null);
  const working = workings.find((one) => one.figure === figure) ?? workings[0];
  if (!working) return null;
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(textOf(working));
      setCopied(true);
    } catch {
      // The browser may refuse; the text can be selected by hand.
      setCopied(false);
    }
  };
  return (
    <div className="tool-working" id="tool-working" tabIndex={-1}>
      <Region
        title={t('ui.drift.working', {})}
        end={
          <Button kind="link" onPress={onClose}>
            {t('ui.close', {})}
          </Button>
        }
      >
        <label className="working-of">
          <span className="hidden">{t('ui.drift.working.which', {})}</span>
          <select
            value={working.figure}
            onChange={(event) => {
              setFigure(event.target.value);
              setCopied(null);
            }}
          >
            {workings.map((one) => (
              <option key={one.figure} value={one.figure}>
                {plain(one.title)}
              </option>
            ))}
          </select>
        </label>
        <div className="working-body">
          <div>
            {working.lines.map((line, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: lines of one working have fixed places
              <div key={index} className="working-step">
                {line.caption ? (
                  <p className="caption">
                    <Sentence of={line.caption} />
                  </p>
                ) : null}
                <Formula of={line.formula} />
                <Formula of={line.withNumbers} />
              </div>
            ))}
          </div>
          <dl>
            {working.inputs.map((input) => (
              <div key={`${mathText(input.symbol)} ${input.text}`}>
                <dt>
                  <MathView of={input.symbol} block={false} />
                </dt>
                <dd>
                  <strong>{input.text}</strong> <span className="muted">{plain(input.meaning)}</span>
                </dd>
              </div>
            ))}
          </dl>
        </div>
        <p className="second-text">
          <Sentence of={working.method} /> <Sentence of={working.source} />
          {working.unmet.map((line, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: conditions have no identity but their place
            <span key={index}>
              {' '}
              <strong>
                <Sentence of={line} />
              </strong>
            </span>
          ))}
        </p>
        <p className="caption">
          <Button kind="link" onPress={() => void copy()}>
            {t('ui.drift.working.copy', {})}
          </Button>{' '}
          <span role="status">
            {copied === null ? '' : t(copied ? 'ui.drift.working.copied' : 'ui.drift.working.not-copied', {})}
          </span>
        </p>
        {copied === false ? <pre className="working-plain">{textOf(working)}</pre> : null}
      </Region>
    </div>
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
    <div className="tool-formula">
      {parts.map((part, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: parts of one formula have fixed places
        <MathView key={index} of={{ kind: 'row', of: part }} block={false} />
      ))}
    </div>
  );
}

/** The working as text, for a note or a mail. */
function textOf(working: Working): string {
  return [
    plain(working.title),
    ...working.lines.flatMap((line) => [
      ...(line.caption ? [plain(line.caption)] : []),
      mathText(line.formula),
      mathText(line.withNumbers),
    ]),
    ...working.inputs.map((input) => `${mathText(input.symbol)}: ${input.text} (${plain(input.meaning)})`),
    plain(working.method),
    plain(working.source),
    ...working.unmet.map(plain),
  ].join('\n');
}
