/** Filters that are also pictures: a histogram to drag on, counted names to choose from. */
import { type PointerEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { NamePicture, NumberPicture } from '#core/contract/models/readings-model.ts';
import { figureFormat } from '#core/figures/figure-format.ts';
import { civilText, parseCivil } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { t } from '../../parts/text.ts';

interface Rove {
  readonly tabIndex: 0 | -1;
  readonly 'data-roving': number;
  onFocus(): void;
}

interface RangePictureProps {
  readonly picture: NumberPicture;
  readonly label: string;
  readonly width: number;
  readonly kind: 'number' | 'time';
  readonly decimals: number;
  readonly value: { readonly from: number | null; readonly to: number | null } | null;
  readonly onChange: (range: { readonly from: number | null; readonly to: number | null } | null) => void;
  readonly rove: Rove;
}

const height = 24;
const dragPx = 4;

/** A histogram: drag to filter, press for the ends in numbers. Plum: what the filters keep. */
export function RangePicture(props: RangePictureProps): ReactNode {
  const { picture, label, width, value, onChange, rove } = props;
  const [open, setOpen] = useState(false);
  const [drag, setDrag] = useState<{ readonly from: number; readonly to: number } | null>(null);
  const start = useRef<{ readonly x: number; readonly value: number } | null>(null);
  const dragged = useRef(false);
  const span = picture.to - picture.from || 1;
  const x = (v: number): number => Math.max(0, Math.min(width, ((v - picture.from) / span) * width));
  const valueAt = (event: PointerEvent<HTMLElement>): number => {
    const box = event.currentTarget.getBoundingClientRect();
    return picture.from + Math.max(0, Math.min(1, (event.clientX - box.left) / box.width)) * span;
  };
  const most = Math.max(1, ...picture.counts);
  const bar = width / Math.max(1, picture.counts.length);
  const shown = drag ?? (value ? { from: value.from ?? picture.from, to: value.to ?? picture.to } : null);
  return (
    <FilterHolder open={open} onClose={() => setOpen(false)}>
      <button
        type="button"
        className="picture"
        aria-label={t('ui.readings.filter', { column: label })}
        aria-expanded={open}
        onClick={() => {
          if (dragged.current) dragged.current = false;
          else setOpen(!open);
        }}
        onPointerDown={(event) => {
          start.current = { x: event.clientX, value: valueAt(event) };
          event.currentTarget.setPointerCapture(event.pointerId);
        }}
        onPointerMove={(event) => {
          const from = start.current;
          if (!from || Math.abs(event.clientX - from.x) < dragPx) return;
          const now = valueAt(event);
          setDrag({ from: Math.min(from.value, now), to: Math.max(from.value, now) });
        }}
        onPointerUp={() => {
          start.current = null;
          if (!drag) return;
          dragged.current = true;
          setDrag(null);
          // To a bin's edge: what is dragged over is what is kept.
          const step = span / Math.max(1, picture.counts.length);
          const down = picture.from + Math.floor((drag.from - picture.from) / step + 1e-9) * step;
          const up = picture.from + Math.ceil((drag.to - picture.from) / step - 1e-9) * step;
          onChange({ from: down <= picture.from ? null : down, to: up >= picture.to ? null : up });
        }}
        {...rove}
      >
        <svg width={width} height={height + 2} aria-hidden="true">
          {shown ? (
            <rect
              className="wash"
              x={x(shown.from)}
              width={Math.max(1, x(shown.to) - x(shown.from))}
              y={0}
              height={height}
            />
          ) : null}
          {[...picture.counts].map((count, index) => {
            const kept = picture.kept[index] ?? 0;
            const tall = count === 0 ? 0 : Math.max(1, (count / most) * (height - 2));
            const keptTall = kept === 0 ? 0 : Math.max(1, (kept / most) * (height - 2));
            return (
              // biome-ignore lint/suspicious/noArrayIndexKey: a bin is its place
              <g key={index}>
                <rect
                  className="all"
                  x={index * bar + 0.4}
                  width={Math.max(0.6, bar - 0.8)}
                  y={height - tall}
                  height={tall}
                />
                {value ? (
                  <rect
                    className="kept"
                    x={index * bar + 0.4}
                    width={Math.max(0.6, bar - 0.8)}
                    y={height - keptTall}
                    height={keptTall}
                  />
                ) : null}
              </g>
            );
          })}
          <line className="base" x1={0} x2={width} y1={height} y2={height} />
          {shown ? (
            <>
              <line className="end" x1={x(shown.from)} x2={x(shown.from)} y1={0} y2={height + 2} />
              <line className="end" x1={x(shown.to)} x2={x(shown.to)} y1={0} y2={height + 2} />
            </>
          ) : null}
        </svg>
      </button>
      {open ? (
        <RangeFields
          {...props}
          onChange={(range) => {
            setOpen(false);
            onChange(range);
          }}
        />
      ) : null}
    </FilterHolder>
  );
}

function RangeFields({ picture, label, kind, decimals, value, onChange }: RangePictureProps): ReactNode {
  const write = (v: number | null): string => {
    if (v === null) return '';
    return kind === 'time' ? civilText(v, 60_000).slice(0, 16) : String(Number(v.toFixed(decimals + 1)));
  };
  const read = (text: string): number | null => {
    if (text.trim() === '') return null;
    if (kind === 'time') return parseCivil(text)?.at ?? null;
    const n = Number(text.replace(',', '.').replace('−', '-'));
    return Number.isFinite(n) ? n : null;
  };
  const [from, setFrom] = useState(write(value?.from ?? null));
  const [to, setTo] = useState(write(value?.to ?? null));
  const id = useId();
  const type = kind === 'time' ? 'datetime-local' : 'text';
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  return (
    <form
      className="popover left fields"
      aria-label={t('ui.readings.filter', { column: label })}
      onSubmit={(event) => {
        event.preventDefault();
        const range = { from: read(from), to: read(to) };
        onChange(range.from === null && range.to === null ? null : range);
      }}
    >
      <label htmlFor={`${id}from`}>
        {t('ui.readings.filter.from', {})}
        <input
          id={`${id}from`}
          ref={first}
          type={type}
          placeholder={kind === 'number' ? figureFormat.number(picture.from, decimals) : ''}
          value={from}
          onChange={(event) => setFrom(event.target.value)}
        />
      </label>
      <label htmlFor={`${id}to`}>
        {t('ui.readings.filter.to', {})}
        <input
          id={`${id}to`}
          type={type}
          placeholder={kind === 'number' ? figureFormat.number(picture.to, decimals) : ''}
          value={to}
          onChange={(event) => setTo(event.target.value)}
        />
      </label>
      {picture.below + picture.above > 0 ? (
        <p className="caption">{t('ui.readings.filter.beyond', { below: picture.below, above: picture.above })}</p>
      ) : null}
      {picture.none > 0 ? <p className="caption">{t('ui.readings.filter.none', { count: picture.none })}</p> : null}
      <span className="row">
        <button type="submit" className="button you">
          {t('ui.readings.filter.apply', {})}
        </button>
        <Button onPress={() => onChange(null)}>{t('ui.readings.filter.clear', {})}</Button>
      </span>
    </form>
  );
}

/** Counted names: the two largest groups in words, the whole list on a press. */
export function NamesPicture({
  picture,
  label,
  chosen,
  onChange,
  rove,
  all,
  short = false,
  words,
}: {
  picture: NamePicture;
  label: string;
  chosen: readonly string[];
  onChange: (names: readonly string[]) => void;
  rove: Rove;
  /** The words for all of them: "7 joints". */
  all: (count: number) => string;
  /** For narrow columns: how many are chosen, and nothing else. */
  short?: boolean;
  /** How a name is written, where it is not written as it is. */
  words?: (name: string, label: string) => string;
}): ReactNode {
  const [open, setOpen] = useState(false);
  const say = (name: string, text: string): string => words?.(name, text) ?? text;
  const total = picture.names.reduce((sum, n) => sum + n.count, 0) + picture.others;
  const chosenOnes = picture.names.filter((n) => chosen.includes(n.name));
  const biggest = picture.names[0];
  // One name that stands for much of the rows is worth its line; of many small ones only the number is.
  const lead = chosenOnes[0] ?? (biggest && biggest.count >= total * 0.25 ? biggest : undefined);
  const leads = chosenOnes.length > 0 ? chosenOnes : lead ? [lead] : [];
  const rest = picture.distinct - leads.length;
  return (
    <FilterHolder open={open} onClose={() => setOpen(false)}>
      <button type="button" className="names" aria-expanded={open} onClick={() => setOpen(!open)} {...rove}>
        <span className="hidden">{t('ui.readings.filter', { column: label })}: </span>
        {short ? (
          <span className={chosen.length > 0 ? 'on' : ''}>
            {chosen.length > 0 ? figureFormat.number(chosen.length) : all(picture.distinct)}
          </span>
        ) : (
          <>
            {chosen.length > 0 && chosenOnes.length === 0 ? (
              <span className="on">
                {chosen[0]} <i>0</i>
              </span>
            ) : null}
            {lead ? (
              <span className={chosenOnes.length > 0 ? 'on' : ''}>
                {say(lead.name, lead.label)} <i>{figureFormat.number(lead.count)}</i>
              </span>
            ) : null}
            {rest > 0 ? (
              <span>
                {lead ? t('ui.readings.filter.others', { names: picture.distinct - 1 }) : all(picture.distinct)}{' '}
                <i>{figureFormat.number(lead ? total - lead.count : total)}</i>
              </span>
            ) : null}
          </>
        )}
      </button>
      {open ? (
        <fieldset className="popover left name-list">
          <legend className="hidden">{t('ui.readings.filter', { column: label })}</legend>
          {picture.names.map((n, index) => (
            <label key={n.name}>
              <input
                type="checkbox"
                // The panel has just been opened from the keyboard or by a press: its first box is where the hand is.
                ref={(element) => {
                  if (index === 0 && document.activeElement?.classList.contains('names')) element?.focus();
                }}
                checked={chosen.includes(n.name)}
                onChange={(event) =>
                  onChange(event.target.checked ? [...chosen, n.name] : chosen.filter((other) => other !== n.name))
                }
              />
              {say(n.name, n.label)} <span className="muted">{figureFormat.number(n.count)}</span>
            </label>
          ))}
          {picture.others > 0 ? (
            <p className="caption">{t('ui.readings.filter.not-listed', { count: picture.others })}</p>
          ) : null}
          {picture.none > 0 ? <p className="caption">{t('ui.readings.filter.none', { count: picture.none })}</p> : null}
          <Button onPress={() => onChange([])}>{t('ui.readings.filter.clear', {})}</Button>
        </fieldset>
      ) : null}
    </FilterHolder>
  );
}

function FilterHolder({
  open,
  onClose,
  children,
}: {
  open: boolean;
  onClose: () => void;
  children: ReactNode;
}): ReactNode {
  const holder = useRef<HTMLSpanElement>(null);
  const close = useRef(onClose);
  close.current = onClose;
  useKeys(
    {
      escape: () => {
        onClose();
        holder.current?.querySelector<HTMLElement>('[data-roving]')?.focus();
      },
    },
    open,
  );
  useEffect(() => {
    if (!open) return;
    const elsewhere = (event: globalThis.PointerEvent): void => {
      if (event.target instanceof Node && !holder.current?.contains(event.target)) close.current();
    };
    window.addEventListener('pointerdown', elsewhere);
    return () => window.removeEventListener('pointerdown', elsewhere);
  }, [open]);
  return (
    <span className="popover-holder" ref={holder}>
      {children}
    </span>
  );
}
