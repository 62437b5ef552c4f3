import type { ReactNode } from 'react';
import { cosineOfDegrees } from '#core/units/adapter-factor.ts';

const width = 236;
const hand = { x: 22, y: 66 };
/** The wrench is drawn this long, whatever its length; not to scale, or a crowfoot would be a dot. */
const reach = 128;
const longest = 52;
const shortest = 34;

/** A wrench with its adapter, seen from above: which way the angle is counted, and from where L and E are measured. */
export function AdapterPicture({
  lengthMm,
  offsetMm,
  angleDeg,
}: {
  lengthMm: number | null;
  offsetMm: number;
  angleDeg: number;
}): ReactNode {
  const drive = { x: hand.x + reach, y: hand.y };
  const scaled = lengthMm !== null && lengthMm > 0 ? (offsetMm / lengthMm) * reach : 40;
  const offset = offsetMm === 0 ? 0 : Math.sign(scaled) * Math.min(longest, Math.max(shortest, Math.abs(scaled)));
  const cos = cosineOfDegrees(angleDeg);
  const sin = cosineOfDegrees(angleDeg - 90);
  // Folded back it would lie on the wrench: it is drawn beside it.
  const aside = offset * cos < 0 && Math.abs(offset * sin) < 8 ? -9 : 0;
  const fastener = { x: drive.x + offset * cos, y: drive.y - offset * sin + aside };
  const at = (angle: number, radius: number): string =>
    `${drive.x + radius * cosineOfDegrees(angle)} ${drive.y - radius * cosineOfDegrees(angle - 90)}`;
  const height = offset * sin < -16 ? 132 : 106;
  const turn = ((angleDeg % 360) + 360) % 360;
  // Beside the adapter, on the side away from the angle.
  const side = aside === 0 ? 12 : -12;
  const label = {
    x: (drive.x + fastener.x) / 2 - side * sin,
    y: (drive.y + fastener.y + aside) / 2 - side * cos + 4,
  };
  return (
    <svg
      className="adapter-picture"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      <line className="axis" x1={drive.x} y1={drive.y} x2={width - 6} y2={drive.y} />
      <line className="wrench" x1={hand.x} y1={hand.y} x2={drive.x} y2={drive.y} />
      <line className="grip" x1={hand.x - 12} y1={hand.y} x2={hand.x + 26} y2={hand.y} />
      {aside === 0 ? null : <line className="adapter" x1={drive.x} y1={drive.y} x2={drive.x} y2={drive.y + aside} />}
      <line className="adapter" x1={drive.x} y1={drive.y + aside} x2={fastener.x} y2={fastener.y} />
      {turn === 0 ? null : (
        <path className="turn" d={`M ${at(0, 22)} A 22 22 0 ${turn > 180 ? 1 : 0} 0 ${at(turn, 22)}`} />
      )}
      <rect className="drive" x={drive.x - 4} y={drive.y - 4} width={8} height={8} />
      <polygon
        className="fastener"
        points={[0, 60, 120, 180, 240, 300]
          .map(
            (corner) => `${fastener.x + 7 * cosineOfDegrees(corner)},${fastener.y + 7 * cosineOfDegrees(corner - 90)}`,
          )
          .join(' ')}
      />
      <path
        className="measure"
        d={`M ${hand.x + 7} ${hand.y + 14} v 8 M ${hand.x + 7} ${hand.y + 18} H ${drive.x} m 0 -4 v 8`}
      />
      <text x={(hand.x + drive.x) / 2} y={hand.y + 32} textAnchor="middle">
        L
      </text>
      {offset === 0 ? null : (
        <text x={label.x} y={label.y} textAnchor="middle">
          E
        </text>
      )}
      {turn === 0 ? null : (
        <text
          x={drive.x + 32 * cosineOfDegrees(Math.min(turn, 180) / 2)}
          y={drive.y - 32 * cosineOfDegrees(Math.min(turn, 180) / 2 - 90) + 4}
        >
          a
        </text>
      )}
    </svg>
  );
}
