import type { ReactNode } from 'react';
import type { AppStatus } from '#core/contract/calls.ts';
import { civilText, msPerDay, msPerMinute, parseCivil } from '#core/time/civil-time.ts';
import { useStatus } from '../state/use-status.ts';
import { changeView, driftScope, lastWeeks, neighbourPeriod, type Period, useView, type View } from '../state/view.ts';
import { Chip } from './chip.tsx';
import { useKeys } from './keys.ts';
import { Popover } from './popover.tsx';
import { SavedScopesPanel } from './saved-scopes-panel.tsx';
import { Segmented } from './segmented.tsx';
import { t } from './text.ts';

/**
 * The second bar of Review, Drift and Readings: which readings this is about.
 *
 * @param kind Drift looks back in weeks, the others at a shift or a few days
 * @param children further chips (filters of Readings)
 * @param end small print at the right
 */
export function ScopeBar({
  kind = 'shift',
  children,
  end,
}: {
  kind?: 'shift' | 'weeks';
  children?: ReactNode;
  end?: ReactNode;
}): ReactNode {
  const view = useView();
  const status = useStatus();
  const period = kind === 'weeks' ? (view.driftPeriod ?? lastWeeks(view, 6)) : view.period;
  const set = (next: Period): void => {
    changeView(kind === 'weeks' ? { driftPeriod: next } : { period: next, brush: null, driftPeriod: null });
  };
  const move = (direction: -1 | 1): void => {
    if (period) set(neighbourPeriod(period, status?.shifts ?? [], direction));
  };
  useKeys({ '[': () => move(-1), ']': () => move(1) }, period !== null);
  return (
    <section className="scope-bar" aria-label={t('ui.scope', {})}>
      <span className="scope-group">
        <span className="key">{t('ui.scope.period', {})}</span>
        <Popover
          className="period-words"
          label={`${t('ui.scope.period', {})}: ${periodWords(period, status)}`}
          text={periodWords(period, status)}
        >
          {() => <PeriodFields period={period} onChange={set} onMove={move} />}
        </Popover>
      </span>
      {kind === 'weeks' ? <WeekChoice view={view} onChange={set} /> : <ShiftChoice view={view} onChange={set} />}
      {kind === 'shift' && view.brush ? (
        <Chip onRemove={() => changeView({ brush: null })} removeLabel={t('ui.scope.times', view.brush)}>
          {t('ui.scope.times', view.brush)}
        </Chip>
      ) : null}
      <NameChoice label={t('ui.scope.joint', {})} all={status?.joints ?? []} chosen={view.joints} field="joints" />
      <NameChoice label={t('ui.scope.tool', {})} all={status?.tools ?? []} chosen={view.tools} field="tools" />
      <NameChoice
        label={t('ui.scope.operator', {})}
        all={(status?.operators ?? []).map((operator) => operator.badge)}
        names={new Map((status?.operators ?? []).map((o) => [o.badge, o.name ? `${o.name} (${o.badge})` : o.badge]))}
        chosen={view.operators}
        field="operators"
      />
      <SavedScopesPanel />
      {children}
      {end === undefined ? null : <span className="end">{end}</span>}
    </section>
  );
}

/** The period in words: one shift with its hours, one day, or first to last day. */
export function periodWords(period: Period | null, status: AppStatus | null): string {
  if (!period || period.from === null || period.to === null) return t('ui.scope.all-time', {});
  const { from, to, shift } = period;
  const oneDay = to - from <= msPerDay;
  const pattern = status?.shifts.find((s) => s.name === shift);
  if (oneDay && pattern) {
    return t('ui.scope.shift-of', {
      day: from,
      from: from + pattern.startMinute * msPerMinute,
      to: from + pattern.endMinute * msPerMinute,
    });
  }
  if (oneDay) return t('ui.scope.day', { day: from });
  return shift === null
    ? t('ui.scope.range', { from, to: to - 1 })
    : t('ui.scope.range-of-shift', { from, to: to - 1, shift });
}

function ShiftChoice({ view, onChange }: { view: View; onChange: (p: Period) => void }): ReactNode {
  const status = useStatus();
  const shifts = status?.shifts ?? [];
  const period = view.period;
  const last = period?.to ?? status?.newestShift?.to ?? null;
  if (last === null) return null;
  const dayStart = Math.floor((last - 1) / msPerDay) * msPerDay;
  const options = [
    ...shifts.map((shift) => ({ value: `shift ${shift.name}`, text: shift.name })),
    { value: 'day', text: t('ui.scope.whole-day', {}) },
    { value: 'week', text: t('ui.scope.days', { days: 7 }) },
  ];
  const days = period && period.from !== null && period.to !== null ? (period.to - period.from) / msPerDay : null;
  const value =
    period === null || days === null
      ? null
      : period.shift !== null
        ? `shift ${period.shift}`
        : days === 1
          ? 'day'
          : days === 7
            ? 'week'
            : null;
  return (
    <Segmented
      label={t('ui.scope.period', {})}
      options={options}
      value={value}
      onChange={(choice) => {
        if (choice === 'week') onChange({ from: dayStart - 6 * msPerDay, to: dayStart + msPerDay, shift: null });
        else if (choice === 'day') onChange({ from: dayStart, to: dayStart + msPerDay, shift: null });
        else onChange({ from: dayStart, to: dayStart + msPerDay, shift: choice.slice('shift '.length) });
      }}
    />
  );
}

function WeekChoice({ view, onChange }: { view: View; onChange: (p: Period) => void }): ReactNode {
  const scope = driftScope(view);
  const weeks = scope.from === null || scope.to === null ? null : Math.round((scope.to - scope.from) / (7 * msPerDay));
  return (
    <Segmented
      label={t('ui.scope.period', {})}
      options={[
        { value: '2', text: t('ui.scope.weeks', { weeks: 2 }) },
        { value: '6', text: t('ui.scope.weeks', { weeks: 6 }) },
        { value: '12', text: t('ui.scope.weeks', { weeks: 12 }) },
        { value: 'all', text: t('ui.scope.all-time', {}) },
      ]}
      value={scope.from === null ? 'all' : weeks === 2 || weeks === 6 || weeks === 12 ? (String(weeks) as '2') : null}
      onChange={(choice) =>
        onChange(choice === 'all' ? { from: null, to: null, shift: null } : lastWeeks(view, Number(choice)))
      }
    />
  );
}

function PeriodFields({
  period,
  onChange,
  onMove,
}: {
  period: Period | null;
  onChange: (p: Period) => void;
  onMove: (direction: -1 | 1) => void;
}): ReactNode {
  const status = useStatus();
  const from = period?.from ?? status?.from ?? null;
  const to = period?.to ?? status?.to ?? null;
  const day = (at: number | null): string => (at === null ? '' : civilText(at, msPerDay));
  const read = (text: string): number | null => parseCivil(text)?.at ?? null;
  const shift = period?.shift ?? null;
  return (
    <div className="fields">
      <label>
        {t('ui.scope.from', {})}
        <input
          type="date"
          value={day(from)}
          onChange={(event) => {
            const at = read(event.target.value);
            if (at !== null) onChange({ from: at, to: Math.max(at + msPerDay, to ?? 0), shift });
          }}
        />
      </label>
      <label>
        {t('ui.scope.to', {})}
        <input
          type="date"
          value={day(to === null ? null : to - 1)}
          onChange={(event) => {
            const at = read(event.target.value);
            if (at !== null) onChange({ from: Math.min(at, from ?? at), to: at + msPerDay, shift });
          }}
        />
      </label>
      <div className="row">
        <button type="button" className="button plain" onClick={() => onMove(-1)}>
          {t('ui.scope.earlier', {})} <kbd>[</kbd>
        </button>
        <button type="button" className="button plain" onClick={() => onMove(1)}>
          {t('ui.scope.later', {})} <kbd>]</kbd>
        </button>
        <button type="button" className="button plain" onClick={() => onChange({ from: null, to: null, shift: null })}>
          {t('ui.scope.all-time', {})}
        </button>
      </div>
    </div>
  );
}

function NameChoice({
  label,
  all,
  names,
  chosen,
  field,
}: {
  label: string;
  all: readonly string[];
  names?: ReadonlyMap<string, string>;
  chosen: readonly string[];
  field: 'joints' | 'tools' | 'operators';
}): ReactNode {
  const words = (name: string): string => names?.get(name) ?? name;
  const text =
    chosen.length === 0
      ? t('ui.scope.all', { count: all.length })
      : chosen.length === 1
        ? words(chosen[0] ?? '')
        : t('ui.scope.some', { count: chosen.length, of: all.length });
  const set = (next: readonly string[]): void => changeView({ [field]: next.length === all.length ? [] : next });
  return (
    <span className="scope-group">
      <span className="key">{label}</span>
      <Popover className={chosen.length === 0 ? 'chip' : 'chip on'} label={`${label}: ${text}`} text={text}>
        {() =>
          all.length === 0 ? (
            <p className="caption">{t('ui.scope.none-known', {})}</p>
          ) : (
            <fieldset className="name-list">
              <legend className="hidden">{label}</legend>
              <label>
                <input type="checkbox" checked={chosen.length === 0} onChange={() => set([])} />
                {t('ui.scope.every', {})}
              </label>
              {all.map((name) => (
                <label key={name}>
                  <input
                    type="checkbox"
                    checked={chosen.includes(name)}
                    onChange={(event) =>
                      set(event.target.checked ? [...chosen, name] : chosen.filter((other) => other !== name))
                    }
                  />
                  {words(name)}
                </label>
              ))}
            </fieldset>
          )
        }
      </Popover>
    </span>
  );
}
