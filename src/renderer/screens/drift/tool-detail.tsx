import { type ReactNode, useCallback, useState } from 'react';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import { angleAgainstTorque } from '#core/figures/angle-against-torque.ts';
import { driftStrips } from '#core/figures/drift-strips.ts';
import { zoomedSpan } from '#core/figures/drift-strips-layout.ts';
import type { Figure } from '#core/figures/figure.ts';
import { whatMoved, whatMovedHeight } from '#core/figures/what-moved.ts';
import type { Scope } from '#core/readings/scope.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { Popover } from '../../parts/popover.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { Finding, Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { changeView } from '../../state/view.ts';
import { AffectedReadings } from './affected-readings.tsx';
import { CheckForm } from './check-form.tsx';
import { CheckLog } from './check-log.tsx';
import { WatchForm } from './drift-options.tsx';
import { QuarantineForm } from './quarantine-form.tsx';
import { Untangle } from './untangle.tsx';
import { ToolWorking } from './working.tsx';

interface ToolDetailProps {
  readonly model: DriftToolModel;
  readonly scope: Scope;
  readonly now: number;
}

/** Finding, caution, three strips, and what stands behind them, for one tool. */
export function ToolDetail({ model, scope, now }: ToolDetailProps): ReactNode {
  const { row } = model;
  const bridge = useBridge();
  const [form, setForm] = useState<'check' | 'quarantine' | null>(null);
  const [written, setWritten] = useState<string | null>(null);
  const [working, setWorking] = useState(false);
  const [span, setSpan] = useState<{ from: number; to: number } | null>(null);
  const card = useCommand('report:tool');
  const picture = useCommand('figure:make');
  const numbers = useCommand('drift:answer');

  const readings = (): void => changeView({ screen: 'readings', tools: [row.tool], tool: row.tool, filters: [] });
  const print = async (format: 'pdf' | 'html'): Promise<void> => {
    const file = await card.run({ scope, tool: row.tool, now, format, madeMs: Date.now() });
    if (file && (await bridge.saveFile(file))) setWritten(file.name);
  };
  const figure = async (format: 'svg' | 'png'): Promise<void> => {
    const file = await picture.run({ name: 'drift-strips', scope, tool: row.tool, now, format });
    if (file && (await bridge.saveFile(file))) setWritten(file.name);
  };
  const json = async (): Promise<void> => {
    const answer = await numbers.run({ scope, now });
    if (answer === null) return;
    const file = {
      name: 'drift.json',
      mime: 'application/json',
      bytes: new TextEncoder().encode(`${JSON.stringify(answer, null, 2)}\n`),
    };
    if (await bridge.saveFile(file)) setWritten(file.name);
  };
  const toggleWorking = (): void => {
    setWorking(!working);
    // Where the reader looks next.
    if (!working) requestAnimationFrame(() => document.getElementById('tool-working')?.focus());
  };
  useKeys({
    l: () => setForm('check'),
    enter: readings,
    p: () => void print('pdf'),
    e: () => void json(),
    f: () => void figure('svg'),
    w: toggleWorking,
    '+': () => setSpan(zoomedSpan(model, span, 0.5)),
    '=': () => setSpan(zoomedSpan(model, span, 0.5)),
    '-': () => setSpan(zoomedSpan(model, span, 2)),
    '0': () => (span === null ? false : setSpan(null)),
    escape: () => {
      if (form !== null) setForm(null);
      else if (working) setWorking(false);
      else if (span !== null) setSpan(null);
      else return false;
      return true;
    },
  });

  const strips = useCallback((size: FigureSize): Figure => driftStrips(model, { ...size, span }), [model, span]);
  const moved = useCallback((size: FigureSize): Figure => whatMoved(model, { width: size.width }), [model]);
  const scatter = useCallback(
    // The region is not there when the model has no scatter; an empty figure keeps the type simple.
    (size: FigureSize): Figure => angleAgainstTorque(model, size) ?? { title: '', summary: '', panes: [] },
    [model],
  );
  const busy = card.running || picture.running || numbers.running;

  return (
    <article aria-label={row.tool}>
      <header className="finding-row">
        <div>
          <Finding of={model.finding} />
          <p className="caution">
            {model.bothSides && !model.findingSaysBothSides ? (
              <>
                <Sentence of={model.bothSides} />{' '}
              </>
            ) : null}
            {model.caution.map((line, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: sentences have no identity but their place
              <span key={index}>
                <Sentence of={line} />{' '}
              </span>
            ))}
          </p>
        </div>
        <div className="actions column">
          <Button kind="go" keyName="L" onPress={() => setForm('check')} expanded={form === 'check'}>
            {t('ui.drift.log-check', {})}
          </Button>
          <Button keyName="Enter" onPress={readings}>
            {t('ui.drift.its-readings', {})}
          </Button>
          <Button onPress={() => setForm('quarantine')} expanded={form === 'quarantine'}>
            {row.status === 'quarantined' ? t('ui.drift.return', {}) : t('ui.drift.quarantine', {})}
          </Button>
          <Popover
            className="button plain"
            align="right"
            label={t('ui.drift.files', {})}
            text={t('ui.drift.files', {})}
          >
            {(close) => (
              <div className="file-choice">
                {(
                  [
                    ['ui.drift.card-pdf', 'P', () => print('pdf')],
                    ['ui.drift.card-html', '', () => print('html')],
                    ['ui.drift.figure-svg', 'F', () => figure('svg')],
                    ['ui.drift.figure-png', '', () => figure('png')],
                    ['ui.drift.numbers', 'E', json],
                  ] as const
                ).map(([key, keyName, run]) => (
                  <Button
                    key={key}
                    {...(keyName === '' ? {} : { keyName })}
                    disabled={busy}
                    onPress={() => {
                      close();
                      void run();
                    }}
                  >
                    {t(key, {})}
                  </Button>
                ))}
              </div>
            )}
          </Popover>
        </div>
      </header>
      <ProblemLine problem={card.problem} />
      <ProblemLine problem={picture.problem} />
      <ProblemLine problem={numbers.problem} />
      <p className="caption" role="status">
        {busy ? t('ui.drift.writing', {}) : written === null ? '' : t('ui.drift.written', { name: written })}
      </p>
      {form === 'check' ? <CheckForm model={model} now={now} onClose={() => setForm(null)} /> : null}
      {form === 'quarantine' ? <QuarantineForm model={model} onClose={() => setForm(null)} /> : null}

      <FigureView build={strips} height={372} className="strips" />
      <p className="caption strips-foot">
        <Button kind="link" onPress={toggleWorking} expanded={working} keyName="W">
          {t('ui.drift.working.open', {})}
        </Button>{' '}
        <span role="status">{span === null ? t('ui.drift.zoom', {}) : t('ui.drift.zoomed', span)}</span>
      </p>
      {working ? (
        <ToolWorking
          workings={model.workings}
          first={model.change ? `${model.change.lane}-move` : 'response-move'}
          onClose={() => setWorking(false)}
        />
      ) : null}

      <div className="drift-three">
        <Region title={t('ui.drift.scatter', { swapped: model.scatter?.across === 'angle' })}>
          {model.scatter ? (
            <>
              <p className="caption">
                {t('ui.drift.scatter.caption', {
                  joint: model.scatter.joint,
                  everyKth: model.scatter.everyKth,
                  total: model.scatter.total,
                  slopeUsed: model.scatter.slopeUsed,
                })}
              </p>
              <FigureView build={scatter} height={236} />
            </>
          ) : (
            <p className="caption">{t('ui.drift.scatter.none', {})}</p>
          )}
        </Region>
        <Region
          title={model.sinceAt === null ? t('ui.drift.moved', {}) : t('ui.drift.moved-since', { at: model.sinceAt })}
        >
          {model.whatMoved.length > 0 ? (
            <>
              <p className="caption">{t('ui.drift.moved.caption', {})}</p>
              <FigureView build={moved} height={whatMovedHeight(model, { width: 0 })} />
            </>
          ) : (
            <p className="caption">{t('ui.drift.moved.none', { blocks: row.own.blocks })}</p>
          )}
        </Region>
        <CheckLog model={model} onLog={() => setForm('check')} />
      </div>

      <div className="drift-two">
        <Region title={t('ui.drift.lanes-say', {})}>
          <ul className="plain-list">
            {[model.laneSays.own, model.laneSays.response, model.laneSays.checks].map((line, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the three lanes have fixed places
              <li key={index}>
                <Sentence of={line} />
              </li>
            ))}
          </ul>
          <TrendLine model={model} />
        </Region>
        <div>
          <AffectedReadings model={model} />
          <WatchForm model={model} />
        </div>
      </div>
      {row.togetherWith.length > 0 ? <Untangle groups={model.tangled} /> : null}
    </article>
  );
}

/** Trend and tests of the two lanes, with what they were corrected for. */
function TrendLine({ model }: { model: DriftToolModel }): ReactNode {
  const lanes = [
    { lane: model.row.own, name: t('ui.drift.lane.own', {}) },
    { lane: model.row.response, name: t('ui.drift.lane.response', {}) },
  ];
  return (
    <table className="data lane-tests">
      <thead>
        <tr>
          <th scope="col">{t('ui.drift.tests', {})}</th>
          <th scope="col" className="right">
            {t('ui.drift.tests.blocks', {})}
          </th>
          <th scope="col" className="right">
            {t('ui.drift.tests.slope', {})}
          </th>
          <th scope="col" className="right">
            {t('ui.drift.tests.trend', {})}
          </th>
          <th scope="col" className="right">
            {t('ui.drift.tests.change', {})}
          </th>
          <th scope="col" className="right">
            {t('ui.drift.tests.cusum', {})}
          </th>
        </tr>
      </thead>
      <tbody>
        {lanes.map(({ lane, name }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td className="right">{lane.blocks}</td>
            <td className="right">
              {lane.slopePercentPer1000 === null
                ? '–'
                : t('ui.drift.tests.slope-value', {
                    percent: lane.slopePercentPer1000.percent,
                    low: lane.slopePercentPer1000.low95,
                    high: lane.slopePercentPer1000.high95,
                  })}
            </td>
            <td className="right">{t('ui.drift.tests.p', { p: lane.adjustedP })}</td>
            <td className="right">{t('ui.drift.tests.p', { p: lane.changeAdjustedP })}</td>
            <td className="right">{t('ui.drift.tests.day', { at: lane.cusumAlarmAt })}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
