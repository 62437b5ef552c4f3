import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { RegisterModel } from '#core/contract/models/register-model.ts';
import { shiftBand } from '#core/figures/shift-band.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { useWidth } from '../../figures/use-size.ts';
import { Button } from '../../parts/button.tsx';
import { Chip } from '../../parts/chip.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { DateField, TextField } from './number-field.tsx';
import { RemovalCard } from './remove-entry.tsx';
import { ShiftBandPicture } from './shift-band-picture.tsx';

const clock = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
type PlannedShift = Pick<RegisterModel['shifts'][number], 'name' | 'startMinute' | 'endMinute' | 'weekdays' | 'breaks'>;
const weekdayNames = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const everyDay = [0, 1, 2, 3, 4, 5, 6];
const planned = ({ name, startMinute, endMinute, weekdays, breaks }: PlannedShift): PlannedShift => ({
  name,
  startMinute,
  endMinute,
  weekdays,
  breaks,
});

const minuteOf = (text: string): number | null => {
  const m = /^(\d{2}):(\d{2})/.exec(text);
  return m ? Number(m[1]) * 60 + Number(m[2]) : null;
};

/** The plant's shifts on a band of 24 hours. */
export function ShiftsPage({ model, onTold }: { model: RegisterModel; onTold: (words: string) => void }): ReactNode {
  const put = useCommand('register:put');
  const holder = useRef<HTMLDivElement>(null);
  const width = useWidth(holder);
  const [shifts, setShifts] = useState<readonly PlannedShift[]>(model.shifts);
  const [adding, setAdding] = useState<string | null>(null);
  const [removing, setRemoving] = useState<string | null>(null);
  const [openBreaks, setOpenBreaks] = useState<string | null>(null);
  const held = JSON.stringify(model.shifts.map(planned));
  // biome-ignore lint/correctness/useExhaustiveDependencies: what the engine holds has changed
  useEffect(() => setShifts(model.shifts), [held]);
  const now = JSON.stringify(shifts.map(planned));
  const changed = now !== held;
  const band = shiftBand(shifts);
  const set = (index: number, change: Partial<PlannedShift>): void =>
    setShifts(shifts.map((shift, i) => (i === index ? { ...shift, ...change } : shift)));
  const save = async (): Promise<void> => {
    const file = {
      shifts: shifts.map((shift) => ({
        name: shift.name,
        start: clock(shift.startMinute),
        end: clock(shift.endMinute),
        weekdays: shift.weekdays === null ? null : shift.weekdays.flatMap((day) => weekdayNames[day] ?? []),
        breaks: shift.breaks.map((pause) => ({
          start: clock(pause.startMinute),
          end: clock(pause.endMinute),
          name: pause.name,
        })),
      })),
    };
    if (await put.run({ file, why: null })) onTold(t('register-ui.saved', { what: t('register-ui.shifts', {}) }));
  };
  return (
    <>
      <header className="register-head">
        <div>
          <h1 className="register-title">{t('register-ui.shifts', {})}</h1>
          <p className="second">{t('register-ui.shifts.note', {})}</p>
        </div>
        <div className="actions">
          <Button onPress={() => setAdding('')}>{t('register-ui.add-shift', {})}</Button>
          {changed ? (
            <>
              <Button onPress={() => setShifts(model.shifts)}>{t('ui.cancel', {})}</Button>
              <Button kind="you" disabled={put.running} onPress={() => void save()}>
                {t('register-ui.save', {})}
              </Button>
            </>
          ) : null}
        </div>
      </header>
      <ProblemLine problem={put.problem} />
      {adding === null ? null : (
        <form
          className="field-row"
          onSubmit={(event) => {
            event.preventDefault();
            if (adding.trim() === '') return;
            setShifts([
              ...shifts,
              { name: adding.trim(), startMinute: 360, endMinute: 840, weekdays: null, breaks: [] },
            ]);
            setAdding(null);
          }}
        >
          <TextField label={t('register-ui.shift', {})} value={adding} onChange={setAdding} required />
          <button type="submit" className="button" disabled={adding.trim() === ''}>
            {t('register-ui.add-shift', {})}
          </button>
        </form>
      )}
      <div className="register-narrow shifts" ref={holder}>
        {width > 0 && shifts.length > 0 ? (
          <ShiftBandPicture
            shifts={shifts}
            width={width}
            height={28}
            onMove={(index, end, minute) =>
              set(index, end === 'start' ? { startMinute: minute } : { endMinute: minute })
            }
          />
        ) : null}
        <p className="caption">
          {shifts.length === 0 ? t('register-ui.shifts.none', {}) : t('register-ui.shifts.drag', {})}{' '}
          {band.uncovered > 0 && shifts.length > 0
            ? t('register-ui.shifts.uncovered', { minutes: band.uncovered })
            : ''}{' '}
          {band.doubled > 0 ? t('register-ui.shifts.doubled', { minutes: band.doubled }) : ''}{' '}
          {changed ? t('register-ui.shifts.changed', {}) : ''}
        </p>
        <DataTable
          label={t('register-ui.shifts', {})}
          className="shift-table"
          rows={shifts.map((shift, index) => ({
            shift,
            index,
            held: model.shifts.find((one) => one.name === shift.name),
          }))}
          keyOf={(row) => row.shift.name}
          empty={t('register-ui.nothing', {})}
          under={(row) =>
            removing === row.shift.name && row.held ? (
              <RemovalCard
                kind="shift"
                name={row.shift.name}
                onTold={onTold}
                onGone={() => setRemoving(null)}
                onDrop={() => setRemoving(null)}
              />
            ) : openBreaks === row.shift.name ? (
              <Breaks shift={row.shift} onChange={(breaks) => set(row.index, { breaks })} />
            ) : null
          }
          columns={[
            { id: 'name', head: t('register-ui.shift', {}), className: 'strong', cell: (row) => row.shift.name },
            {
              id: 'start',
              head: t('register-ui.shift.start', {}),
              cell: (row) => (
                <TimeCell
                  label={t('register-ui.shifts.handle', { name: row.shift.name, which: 'start' })}
                  minute={row.shift.startMinute}
                  onChange={(startMinute) => set(row.index, { startMinute })}
                />
              ),
            },
            {
              id: 'end',
              head: t('register-ui.shift.end', {}),
              cell: (row) => (
                <TimeCell
                  label={t('register-ui.shifts.handle', { name: row.shift.name, which: 'end' })}
                  minute={row.shift.endMinute}
                  onChange={(endMinute) => set(row.index, { endMinute })}
                />
              ),
            },
            {
              id: 'days',
              head: t('register-ui.shift.weekdays', {}),
              cell: (row) => <Weekdays shift={row.shift} onChange={(weekdays) => set(row.index, { weekdays })} />,
            },
            {
              id: 'breaks',
              head: t('register-ui.shift.breaks', {}),
              className: 'wide',
              cell: (row) => (
                <Button
                  kind="link"
                  expanded={openBreaks === row.shift.name}
                  onPress={() => setOpenBreaks(openBreaks === row.shift.name ? null : row.shift.name)}
                >
                  {row.shift.breaks.length === 0
                    ? t('register-ui.shift.no-breaks', {})
                    : row.shift.breaks
                        .map((pause) =>
                          t('register-ui.shift.break-words', {
                            from: pause.startMinute,
                            to: pause.endMinute,
                            name: pause.name,
                          }),
                        )
                        .join(', ')}
                </Button>
              ),
            },
            {
              id: 'readings',
              head: t('register-ui.readings', {}),
              right: true,
              cell: (row) => t('register-ui.count', { count: row.held?.readings ?? 0 }),
            },
            {
              id: 'remove',
              head: <span className="hidden">{t('register-ui.remove', {})}</span>,
              right: true,
              cell: (row) => (
                <Button
                  kind="link"
                  label={t('register-ui.remove.of', { name: row.shift.name })}
                  // Removing a shift that is held shows the others as they are held: changes not saved would be lost.
                  disabled={row.held !== undefined && changed}
                  {...(row.held && changed ? { title: t('register-ui.shifts.save-first', {}) } : {})}
                  onPress={() => {
                    if (row.held) setRemoving(row.shift.name);
                    else setShifts(shifts.filter((_, i) => i !== row.index));
                  }}
                >
                  {t('register-ui.remove', {})}
                </Button>
              ),
            },
          ]}
        />
      </div>
    </>
  );
}

function TimeCell({
  label,
  minute,
  onChange,
}: {
  label: string;
  minute: number;
  onChange: (minute: number) => void;
}): ReactNode {
  return (
    <span className="time-cell">
      <DateField
        label={label}
        type="time"
        value={clock(minute)}
        onChange={(text) => {
          const value = minuteOf(text);
          if (value !== null) onChange(value);
        }}
      />
    </span>
  );
}

/** The days on which a shift starts, each a press. At least one stays. */
function Weekdays({
  shift,
  onChange,
}: {
  shift: PlannedShift;
  onChange: (weekdays: readonly number[] | null) => void;
}): ReactNode {
  const days = shift.weekdays ?? everyDay;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot stand in one line of a table cell
    <span className="days" role="group" aria-label={t('register-ui.shift.weekdays-of', { name: shift.name })}>
      {everyDay.map((day) => {
        const on = days.includes(day);
        return (
          <Chip
            key={day}
            pressed={on}
            onPress={() => {
              const next = on ? days.filter((one) => one !== day) : [...days, day].sort((a, b) => a - b);
              if (next.length > 0) onChange(next.length === 7 ? null : next);
            }}
          >
            {t('register-ui.shift.day', { day })}
          </Chip>
        );
      })}
    </span>
  );
}

/** The breaks of a shift, one line each. */
function Breaks({
  shift,
  onChange,
}: {
  shift: PlannedShift;
  onChange: (breaks: PlannedShift['breaks']) => void;
}): ReactNode {
  const change = (index: number, part: Partial<PlannedShift['breaks'][number]>): void =>
    onChange(shift.breaks.map((pause, i) => (i === index ? { ...pause, ...part } : pause)));
  const time = (text: string, put: (minute: number) => void): void => {
    const minute = minuteOf(text);
    if (minute !== null) put(minute);
  };
  return (
    <div className="breaks">
      {shift.breaks.map((pause, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: breaks have no identity but their place
        <fieldset key={index} className="field-row">
          <legend className="hidden">{t('register-ui.shift.break', { shift: shift.name, number: index + 1 })}</legend>
          <DateField
            label={t('register-ui.shift.break-from', {})}
            type="time"
            value={clock(pause.startMinute)}
            onChange={(text) => time(text, (startMinute) => change(index, { startMinute }))}
          />
          <span aria-hidden="true">{t('register-ui.shift.break-to', {})}</span>
          <DateField
            label={t('register-ui.shift.break-to', {})}
            type="time"
            value={clock(pause.endMinute)}
            onChange={(text) => time(text, (endMinute) => change(index, { endMinute }))}
          />
          <TextField
            label={t('register-ui.name', {})}
            value={pause.name ?? ''}
            onChange={(name) => change(index, { name: name === '' ? null : name })}
          />
          <Button
            kind="link"
            label={t('register-ui.shift.remove-break', { number: index + 1 })}
            onPress={() => onChange(shift.breaks.filter((_, i) => i !== index))}
          >
            ×
          </Button>
        </fieldset>
      ))}
      <Button
        kind="link"
        onPress={() => {
          const startMinute = (shift.startMinute + 240) % 1440;
          onChange([...shift.breaks, { startMinute, endMinute: (startMinute + 15) % 1440, name: null }]);
        }}
      >
        {t('register-ui.shift.add-break', {})}
      </Button>
    </div>
  );
}
