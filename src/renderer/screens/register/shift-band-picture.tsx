import type { KeyboardEvent, PointerEvent, ReactNode } from 'react';
import { type PlannedShift, shiftBand } from '#core/figures/shift-band.ts';
import { t } from '../../parts/text.ts';

const day = 1440;
const stepMinutes = 15;

/** 24 hours with the shifts on them; their ends can be moved when `onMove` is given. */
export function ShiftBandPicture({
  shifts,
  width,
  height = 12,
  onMove,
}: {
  shifts: readonly PlannedShift[];
  width: number;
  height?: number;
  onMove?: (shift: number, end: 'start' | 'end', minute: number) => void;
}): ReactNode {
  const band = shiftBand(shifts);
  const x = (minute: number): number => (minute / day) * width;
  const top = 6;
  const foot = onMove ? 40 : 22;
  const label = t('register-ui.shifts.band', { names: shifts.map((shift) => shift.name) });
  const nameAt = (piece: (typeof band.pieces)[number]): number => x((piece.from + piece.to) / 2);
  const drag = (event: PointerEvent<SVGElement>, shift: number, end: 'start' | 'end'): void => {
    const box = event.currentTarget.ownerSVGElement?.getBoundingClientRect();
    if (!box || !event.currentTarget.hasPointerCapture(event.pointerId)) return;
    const minute = Math.round((((event.clientX - box.left) / box.width) * day) / stepMinutes) * stepMinutes;
    onMove?.(shift, end, ((minute % day) + day) % day);
  };
  const onKey = (event: KeyboardEvent, shift: number, end: 'start' | 'end', minute: number): void => {
    const by =
      event.key === 'ArrowLeft' || event.key === 'ArrowDown'
        ? -stepMinutes
        : event.key === 'ArrowRight' || event.key === 'ArrowUp'
          ? stepMinutes
          : 0;
    if (by === 0) return;
    event.preventDefault();
    event.stopPropagation();
    onMove?.(shift, end, (minute + by + day) % day);
  };
  return (
    <svg
      className="shift-band"
      width={width}
      height={top + height + foot}
      viewBox={`0 0 ${width} ${top + height + foot}`}
      role={onMove ? 'group' : 'img'}
      aria-label={label}
    >
      {band.pieces.map((piece) => (
        <rect
          key={`${piece.shift} ${piece.from}`}
          className={`tone-${piece.shift % 3}`}
          x={x(piece.from) + 0.5}
          width={Math.max(1, x(piece.to) - x(piece.from) - 1)}
          y={top}
          height={height}
        />
      ))}
      {band.cuts.map((cut) => (
        <rect
          key={`break ${cut.from}`}
          className="break"
          x={x(cut.from)}
          width={Math.max(1, x(cut.to) - x(cut.from))}
          y={top}
          height={height}
        />
      ))}
      {band.pieces
        .filter((piece) => piece.named && x(piece.to) - x(piece.from) > 24)
        .map((piece) => (
          <text key={piece.shift} x={nameAt(piece)} y={top + height + (onMove ? 34 : 15)} textAnchor="middle">
            {shifts[piece.shift]?.name}
          </text>
        ))}
      {onMove
        ? [0, 6, 12, 18, 24].map((hour) => (
            <text
              key={hour}
              className="hour"
              x={x(hour * 60)}
              y={top + height + 18}
              textAnchor={hour === 0 ? 'start' : hour === 24 ? 'end' : 'middle'}
            >
              {t('register-ui.shifts.clock', { minute: hour === 24 ? 0 : hour * 60 })}
            </text>
          ))
        : null}
      {onMove
        ? shifts.flatMap((shift, index) =>
            (['start', 'end'] as const).map((end) => {
              const minute = end === 'start' ? shift.startMinute : shift.endMinute;
              return (
                <rect
                  key={`${shift.name} ${end}`}
                  className="handle"
                  role="slider"
                  tabIndex={0}
                  aria-label={t('register-ui.shifts.handle', { name: shift.name, which: end })}
                  aria-valuemin={0}
                  aria-valuemax={day - 1}
                  aria-valuenow={minute}
                  aria-valuetext={t('register-ui.shifts.clock', { minute })}
                  // Starts lie a little right, ends a little left of their minute, so that both can be taken.
                  x={Math.max(0, Math.min(width - 5, x(minute) + (end === 'start' ? 0.5 : -5.5)))}
                  y={top - 4}
                  width={5}
                  height={height + 8}
                  rx={1}
                  onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
                  onPointerMove={(event) => drag(event, index, end)}
                  onKeyDown={(event) => onKey(event, index, end, minute)}
                />
              );
            }),
          )
        : null}
    </svg>
  );
}
