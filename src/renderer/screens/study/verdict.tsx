import { type ReactNode, useState } from 'react';
import type { MadeFile } from '#core/contract/calls.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import type { Problem } from '#core/contract/problems.ts';
import { problemOf } from '../../bridge/problem-of.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { Popover } from '../../parts/popover.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

type Format = 'html' | 'pdf' | 'docx' | 'csv' | 'json' | 'svg';

/** Glyph, verdict, what to do next, whose torque it is; and the files that can be made of it. */
export function Verdict({ model }: { model: StudyModel }): ReactNode {
  const { verdict } = model;
  return (
    <header className="verdict">
      <VerdictGlyph glyph={verdict.glyph} />
      <div className="verdict-words">
        <h1 className="say">
          <strong>
            <Sentence of={verdict.headline} />
          </strong>{' '}
          <Sentence of={verdict.because} />
        </h1>
        {verdict.next ? (
          <p className="second-text">
            <Sentence of={verdict.next} />
          </p>
        ) : null}
        <p className="second-text">
          <Sentence of={verdict.measurement} />
        </p>
      </div>
      <Files model={model} />
    </header>
  );
}

/** The interval against the requirement, as one small picture. */
function VerdictGlyph({ glyph }: { glyph: StudyModel['verdict']['glyph'] }): ReactNode {
  if (glyph === null) return <span />;
  const low = Math.min(glyph.low95 ?? glyph.value, glyph.required);
  const high = Math.max(glyph.high95 ?? glyph.value, glyph.required);
  const span = Math.max(high - low, 1e-9);
  const x = (value: number): number => 7 + ((value - low) / span) * 32;
  return (
    <svg
      className="verdict-glyph"
      width="46"
      height="30"
      role="img"
      aria-label={t('ui.study.glyph', {
        value: glyph.value,
        low: glyph.low95,
        high: glyph.high95,
        required: glyph.required,
      })}
    >
      <line className="need" x1={x(glyph.required)} x2={x(glyph.required)} y1={3} y2={27} />
      {glyph.low95 === null || glyph.high95 === null ? null : (
        <line className="span" x1={x(glyph.low95)} x2={x(glyph.high95)} y1={15} y2={15} />
      )}
      <circle cx={x(glyph.value)} cy={15} r={3.6} />
    </svg>
  );
}

function Files({ model }: { model: StudyModel }): ReactNode {
  const bridge = useBridge();
  const [making, setMaking] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [written, setWritten] = useState<string | null>(null);
  const make = async (call: () => Promise<MadeFile>): Promise<void> => {
    setMaking(true);
    setProblem(null);
    setWritten(null);
    try {
      const file = await call();
      if (await bridge.saveFile(file)) setWritten(file.name);
    } catch (thrown) {
      setProblem(problemOf(thrown));
    } finally {
      setMaking(false);
    }
  };
  const { choices } = model;
  const report = (format: Format): Promise<void> =>
    make(() => bridge.call('report:study', { choices, format, madeMs: Date.now() }));
  const picture = (name: 'study' | 'indices', format: 'svg' | 'png'): Promise<void> =>
    make(() => bridge.call('figure:make', { name, scope: choices.scope, choices, now: 0, format }));
  useKeys({ p: () => void report('pdf'), e: () => void report('csv'), f: () => void picture('study', 'svg') });
  const choice = (text: string, run: () => Promise<void>, close: () => void): ReactNode => (
    <Button
      disabled={making}
      onPress={() => {
        close();
        void run();
      }}
    >
      {text}
    </Button>
  );
  return (
    <div className="verdict-files">
      <div className="actions">
        <Popover
          className="button plain"
          align="right"
          label={`${t('ui.study.figures', {})} F`}
          text={<WithKey text={t('ui.study.figures', {})} keyName="F" />}
        >
          {(close) => (
            <div className="file-choice">
              {choice(t('ui.study.file.axis-svg', {}), () => picture('study', 'svg'), close)}
              {choice(t('ui.study.file.axis-png', {}), () => picture('study', 'png'), close)}
              {choice(t('ui.study.file.indices-svg', {}), () => picture('indices', 'svg'), close)}
              {choice(t('ui.study.file.indices-png', {}), () => picture('indices', 'png'), close)}
            </div>
          )}
        </Popover>
        <Popover
          className="button plain"
          align="right"
          label={`${t('ui.study.numbers', {})} E`}
          text={<WithKey text={t('ui.study.numbers', {})} keyName="E" />}
        >
          {(close) => (
            <div className="file-choice">
              {choice(t('ui.study.file.csv', {}), () => report('csv'), close)}
              {choice(t('ui.study.file.json', {}), () => report('json'), close)}
            </div>
          )}
        </Popover>
        <Popover
          className="button go"
          align="right"
          label={`${t('ui.study.report', {})} P`}
          text={<WithKey text={t('ui.study.report', {})} keyName="P" />}
        >
          {(close) => (
            <div className="file-choice">
              {choice(t('ui.study.file.pdf', {}), () => report('pdf'), close)}
              {choice(t('ui.study.file.html', {}), () => report('html'), close)}
              {choice(t('ui.study.file.docx', {}), () => report('docx'), close)}
              <p className="caption">{t('ui.study.file.note', {})}</p>
            </div>
          )}
        </Popover>
      </div>
      <p className="caption" role="status">
        {making ? t('ui.study.file.making', {}) : written === null ? '' : t('ui.study.file.written', { name: written })}
      </p>
      <ProblemLine problem={problem} />
    </div>
  );
}

function WithKey({ text, keyName }: { text: string; keyName: string }): ReactNode {
  return (
    <>
      {text}{' '}
      <span className="kbd" aria-hidden="true">
        {keyName}
      </span>
    </>
  );
}
