import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { RegisterModel } from '#core/contract/models/register-model.ts';
import { type PlannedShift, shiftBand } from '#core/figures/shift-band.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { useWidth } from '../../figures/use-size.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { DateField, TextField } from './number-field.tsx';
import { ShiftBandPicture } from './shift-band-picture.tsx';

const clock = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
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
  const held = JSON.stringify(
    model.shifts.map(({ name, startMinute, endMinute }) => ({ name, startMinute, endMinute })),
  );
  // biome-ignore lint/correctness/useExhaustiveDependencies: what the engine holds has changed
  useEffect(() => setShifts(model.shifts), [held]);
  const now = JSON.stringify(shifts.map(({ name, startMinute, endMinute }) => ({ name, startMinute, endMinute })));
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
            setShifts([...shifts, { name: adding.trim(), startMinute: 360, endMinute: 840 }]);
            setAdding(null);
          }}
        >
          <TextField label={t('register-ui.shift', {})} value={adding} onChange={setAdding} required />
          <button type="submit" className="button" disabled={adding.trim() === ''}>
            {t('register-ui.add-shift', {})}
          </button>
        </form>
      )}
      <div className="register-narrow" ref={holder}>
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
              id: 'readings',
              head: t('register-ui.readings', {}),
              right: true,
              cell: (row) => t('register-ui.count', { count: row.held?.readings ?? 0 }),
            },
            {
              id: 'said',
              head: <span className="hidden">{t('register-ui.shift.in-words', {})}</span>,
              className: 'spaced second',
              cell: (row) => (row.held ? <Sentence of={row.held.said} /> : ''),
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
