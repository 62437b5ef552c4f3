/**
 * How each wrench writes its memory to a file: six layouts, and one of a wrench without a clock.
 *
 * A layout turns stored records into text; what each physical line is, is counted beside it, so that the truth file
 * can say what a reader has to find.
 */
import { civilFields } from '#core/time/civil-time.ts';
import { newtonMetresPer } from '#core/units/torque-unit.ts';
import { jointOf, revisionAt, toolOf } from './halden-plant.ts';
import type { Made } from './simulate-line.ts';

/** A reading as the memory holds it: the clock and the names may be wrong. */
export interface Stored {
  readonly made: Made;
  /** What the tool's clock said, civil ms. */
  readonly clock: number;
  /** Joint and operator as typed into the tool. */
  readonly joint: string;
  readonly operator: string;
  /** The tool's running number. */
  readonly number: number;
}

/** A line that no reader can turn into a reading, put after a record. */
export interface Spoiled {
  readonly after: number;
  readonly text: string;
}

export interface WrittenDump {
  readonly text: string;
  readonly encoding: 'utf8' | 'utf8-bom' | 'latin1';
  /** Physical lines that are preamble, header or footer, and blank ones. */
  readonly headerLines: number;
  readonly blankLines: number;
}

export type LayoutName = 'comma' | 'semicolon' | 'tab' | 'quoted' | 'pipe' | 'two-row' | 'no-clock';

/** Writes records, oldest first, in a layout. */
export function writeDump(
  layout: LayoutName,
  records: readonly Stored[],
  options: { readonly tool: string; readonly exported: number; readonly spoiled?: readonly Spoiled[] },
): WrittenDump {
  const body = (line: (stored: Stored) => string): string[] =>
    records.flatMap((stored, i) => [
      line(stored),
      ...(options.spoiled ?? []).filter((bad) => bad.after === i).map((bad) => bad.text),
    ]);
  switch (layout) {
    case 'comma':
      return file(
        [
          'Date,Time,Tool,Joint,Operator,Batch,Position,Torque [N.m],Angle [deg],Result',
          ...body((r) =>
            [
              isoDate(r.clock),
              clock24(r.clock),
              r.made.tool,
              r.joint,
              r.operator,
              r.made.bike,
              r.made.position,
              r.made.torque.toFixed(2),
              r.made.angle.toFixed(1),
              ownResult(r.made),
            ].join(','),
          ),
        ],
        { header: 1 },
      );
    case 'semicolon': {
      const german = options.tool === 'T-207';
      const preamble = [
        `Ger\u00e4t;${options.tool}`,
        `Kalibriert;${dotDate(Date.parse(`${toolOf(options.tool).calibratedOn}T00:00:00Z`))}`,
        'Firmware;3.12',
        `Speicher;${toolOf(options.tool).storageCapacity}`,
      ];
      return file(
        [
          ...preamble,
          '',
          'Nr;Datum;Uhrzeit;Drehmoment;Einheit;Drehwinkel;Schraubstelle;Pr\u00fcfer;Los;Position',
          ...body((r) =>
            [
              r.number,
              dotDate(r.clock),
              clock24(r.clock),
              comma(r.made.torque, 2),
              german ? 'Nm' : 'N.m',
              comma(r.made.angle, 1),
              r.joint,
              r.operator,
              r.made.bike,
              r.made.position,
            ].join(';'),
          ),
        ],
        { header: 5, blank: 1, encoding: german ? 'latin1' : 'utf8-bom', ending: '\r\n' },
      );
    }
    case 'tab':
      return file(
        [
          '#\tDate\tTime\tJoint\tOperator\tTorque (cN.m)\tTarget\tLow\tHigh\tResult',
          ...body((r) => {
            const limits = revisionAt(r.made.joint, r.made.at);
            return [
              r.number,
              slashDate(r.clock),
              clock24(r.clock),
              r.joint,
              r.operator,
              r.made.torque.toFixed(0),
              (limits.target * 100).toFixed(0),
              (limits.low * 100).toFixed(0),
              (limits.high * 100).toFixed(0),
              ownResult(r.made),
            ].join('\t');
          }),
          `End of data: ${records.length} records`,
        ],
        { header: 2 },
      );
    case 'quoted':
      return file(
        [
          `"Serial No.","${options.tool}"`,
          `"Exported","${usDate(options.exported)}"`,
          '"Date","Time","Torque","Units","Angle (deg)","Fastener ID","Joint","Operator"',
          ...body((r) =>
            [
              usDate(r.clock),
              clock12(r.clock),
              r.made.torque.toFixed(2),
              'ft-lb',
              r.made.angle.toFixed(1),
              `${r.made.bike}-${r.made.joint}${r.made.position}`,
              r.joint,
              r.operator,
            ]
              .map((cell) => `"${cell}"`)
              .join(','),
          ).reverse(),
        ],
        { header: 3, ending: '\r\n' },
      );
    case 'pipe':
      return file(
        body((r) =>
          [
            `${isoDate(r.clock)} ${clock24(r.clock)}`,
            r.made.tool,
            r.joint,
            `${r.made.torque.toFixed(2)} N.m`,
            `${r.made.angle.toFixed(1)} deg`,
            r.operator,
          ].join('|'),
        ),
        {},
      );
    case 'two-row':
      return file(
        [
          'Date,Time,Joint,Torque,Angle,Operator,Batch,Position',
          'yyyy/mm/dd,hh:mm:ss,,N.m,deg,,,',
          ...body((r) =>
            [
              isoDate(r.clock).replaceAll('-', '/'),
              clock24(r.clock),
              r.joint,
              r.made.torque.toFixed(2),
              r.made.angle.toFixed(1),
              r.operator,
              r.made.bike,
              r.made.position,
            ].join(','),
          ),
        ],
        { header: 2 },
      );
    case 'no-clock':
      return file(
        [
          `Wrench: ${options.tool}`,
          `Joint: ${records[0]?.joint ?? ''}`,
          '',
          'No;Torque (Nm)',
          ...body((r) => [r.number, r.made.torque.toFixed(2)].join(';')),
        ],
        { header: 3, blank: 1 },
      );
  }
}

function file(
  lines: readonly string[],
  about: {
    readonly header?: number;
    readonly blank?: number;
    readonly encoding?: WrittenDump['encoding'];
    readonly ending?: '\n' | '\r\n';
  },
): WrittenDump {
  const ending = about.ending ?? '\n';
  return {
    text: lines.map((line) => line + ending).join(''),
    encoding: about.encoding ?? 'utf8',
    headerLines: about.header ?? 0,
    blankLines: about.blank ?? 0,
  };
}

/** The wrench's own result, by the window it was programmed with. */
function ownResult(made: Made): string {
  if (made.kind === 'loosened') return '';
  const limits = revisionAt(made.joint, made.at);
  // T-114 was programmed with a lower low limit for the rear axle than the register has.
  const low = made.planted === 'own-result-differs' ? 39.5 : limits.low;
  const torque = Math.abs(made.torque) * newtonMetresPer[toolOf(made.tool).unit];
  const angle = Math.abs(made.angle);
  const inside =
    torque >= low - 1e-9 &&
    torque <= limits.high + 1e-9 &&
    (made.tool === 'T-302' || limits.angleLow === null || angle >= limits.angleLow) &&
    (made.tool === 'T-302' || limits.angleHigh === null || angle <= limits.angleHigh);
  return inside ? 'OK' : 'NOK';
}

/** The name of a joint as the register has it. */
export const jointName = (made: Made): string => jointOf(made.joint).name;

const two = (value: number): string => String(value).padStart(2, '0');
const isoDate = (at: number): string => {
  const f = civilFields(at);
  return `${f.year}-${two(f.month)}-${two(f.day)}`;
};
const dotDate = (at: number): string => isoDate(at).split('-').reverse().join('.');
const slashDate = (at: number): string => isoDate(at).split('-').reverse().join('/');
const usDate = (at: number): string => {
  const f = civilFields(at);
  return `${two(f.month)}/${two(f.day)}/${f.year}`;
};
const clock24 = (at: number): string => {
  const f = civilFields(at);
  return `${two(f.hour)}:${two(f.minute)}:${two(f.second)}`;
};
const clock12 = (at: number): string => {
  const f = civilFields(at);
  return `${two(f.hour % 12 === 0 ? 12 : f.hour % 12)}:${two(f.minute)}:${two(f.second)} ${f.hour < 12 ? 'AM' : 'PM'}`;
};
const comma = (value: number, decimals: number): string => value.toFixed(decimals).replace('.', ',');
