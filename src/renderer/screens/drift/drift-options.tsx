import { type FormEvent, type ReactNode, useEffect, useState } from 'react';
import type { DriftToolModel, WatchThresholds } from '#core/contract/models/drift-model.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { useCall, useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { Popover } from '../../parts/popover.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';
import { typedNumber } from './check-form.tsx';

/** Changes of the store after which drift is asked for anew: its own choices are settings. */
export const driftTouches = { touches: ['readings', 'register', 'marks', 'settings'] } as const;

interface Span {
  readonly from: number;
  readonly to: number;
}

function spanOf(raw: unknown): Span | null {
  if (typeof raw !== 'object' || raw === null || !('from' in raw) || !('to' in raw)) return null;
  return typeof raw.from === 'number' && typeof raw.to === 'number' ? { from: raw.from, to: raw.to } : null;
}

/** What the tools are compared with: the first shifts of the phase, or a span of the user's choice. */
export function BaselineChoice({ blocks }: { blocks: number }): ReactNode {
  const settings = useCall('app:settings', {}, 'drift-settings', { touches: ['settings'] });
  const set = useCommand('app:settings');
  const baseline = spanOf(settings.value?.['drift.baseline']);
  const text =
    baseline === null
      ? t('ui.drift.baseline.first', { blocks })
      : t('ui.scope.range', { from: baseline.from, to: baseline.to - 1 });
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const kept = baseline === null ? '' : `${baseline.from} ${baseline.to}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: only what is kept fills the fields
  useEffect(() => {
    setFrom(baseline === null ? '' : civilText(baseline.from, msPerDay));
    setTo(baseline === null ? '' : civilText(baseline.to - 1, msPerDay));
  }, [kept]);
  const start = parseCivil(from)?.at ?? null;
  const last = parseCivil(to)?.at ?? null;
  const good = start !== null && last !== null && last >= start;
  return (
    <span className="scope-group">
      <span className="key">{t('ui.drift.baseline', {})}</span>
      <Popover
        className={baseline === null ? 'chip' : 'chip on'}
        label={`${t('ui.drift.baseline', {})}: ${text}`}
        text={text}
      >
        {(close) => (
          <div className="fields">
            <label>
              {t('ui.scope.from', {})}
              <input type="date" value={from} onChange={(event) => setFrom(event.target.value)} />
            </label>
            <label>
              {t('ui.scope.to', {})}
              <input type="date" value={to} onChange={(event) => setTo(event.target.value)} />
            </label>
            <Button
              disabled={!good || set.running}
              onPress={() => {
                if (start === null || last === null) return;
                void set.run({ set: { 'drift.baseline': { from: start, to: last + msPerDay } } });
                close();
              }}
            >
              {t('ui.drift.baseline.use', {})}
            </Button>
            <Button
              disabled={set.running}
              onPress={() => {
                void set.run({ set: { 'drift.baseline': null } });
                close();
              }}
            >
              {t('ui.drift.baseline.first', { blocks })}
            </Button>
            <ProblemLine problem={set.problem} />
          </div>
        )}
      </Popover>
    </span>
  );
}

/** Hides the names of operators, here and everywhere: the same as in the settings. */
export function AnonymousChoice({ on }: { on: boolean }): ReactNode {
  const set = useCommand('app:settings');
  // The tick answers at once; the names follow when the engine has.
  const [wanted, setWanted] = useState<boolean | null>(null);
  return (
    <label className="check">
      <input
        type="checkbox"
        checked={wanted ?? on}
        onChange={(event) => {
          const next = event.target.checked;
          setWanted(next);
          void set.run({ set: { 'drift.anonymous': next } }).then((done) => {
            if (done === null) setWanted(null);
          });
        }}
      />{' '}
      {t('ui.drift.operators.hide', {})}
    </label>
  );
}

const lanes = ['ownPercent', 'responsePercent', 'checkPercent'] as const;

/** Thresholds kept for one tool: when it is beyond one, the list says so. */
export function WatchForm({ model }: { model: DriftToolModel }): ReactNode {
  const settings = useCall('app:settings', {}, 'drift-settings', { touches: ['settings'] });
  const set = useCommand('app:settings');
  const { tool, watch } = model.row;
  const kept = model.thresholds;
  const shown = (lane: (typeof lanes)[number]): string => {
    const value = kept?.[lane] ?? null;
    return value === null ? '' : String(value);
  };
  const [text, setText] = useState<Readonly<Record<string, string>>>({});
  const field = (lane: (typeof lanes)[number]): string => text[lane] ?? shown(lane);
  const bad = lanes.some((lane) => field(lane).trim() !== '' && !((typedNumber(field(lane)) ?? 0) > 0));
  const send = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (bad) return;
    const next: WatchThresholds = {
      ownPercent: typedNumber(field('ownPercent')),
      responsePercent: typedNumber(field('responsePercent')),
      checkPercent: typedNumber(field('checkPercent')),
    };
    const held = settings.value?.['drift.thresholds'];
    // Written here alone; a list of another shape is replaced by what this form knows.
    const all = typeof held === 'object' && held !== null && !Array.isArray(held) ? { ...held } : {};
    const none = lanes.every((lane) => next[lane] === null);
    const list: Record<string, unknown> = { ...all, [tool]: { ...next } };
    if (none) delete list[tool];
    // The contract takes any JSON here; thresholds are plain numbers and nulls.
    if (await set.run({ set: { 'drift.thresholds': list as never } })) setText({});
  };
  return (
    <Region title={t('ui.drift.watch', {})} note={t('ui.drift.watch.note', {})}>
      <form className="watch" onSubmit={(event) => void send(event)}>
        {lanes.map((lane) => (
          <label key={lane}>
            {t('ui.drift.watch.lane', { lane })}
            <input
              type="text"
              inputMode="decimal"
              size={5}
              value={field(lane)}
              onChange={(event) => setText({ ...text, [lane]: event.target.value })}
            />
          </label>
        ))}
        <button type="submit" className="button plain" disabled={bad || set.running || Object.keys(text).length === 0}>
          {t('ui.save', {})}
        </button>
      </form>
      {bad ? (
        <p className="problem" role="alert">
          {t('ui.drift.watch.bad', {})}
        </p>
      ) : null}
      {watch.length > 0 ? (
        <p className="second-text">
          {watch
            .map((hit) =>
              t('ui.drift.watch.hit', { lane: hit.lane, percent: hit.percent, threshold: hit.thresholdPercent }),
            )
            .join(' ')}
        </p>
      ) : null}
      <ProblemLine problem={set.problem} />
    </Region>
  );
}
