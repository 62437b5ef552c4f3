/**
 * When each wrench was read out, what its memory held then, and what was wrong with it: memories that are not
 * cleared (dumps overlap), one that is full, one clock that restarts.
 */
import { civilTime, msPerHour, msPerMinute } from '#core/time/civil-time.ts';
import { jointName, type LayoutName, type Spoiled, type Stored, type WrittenDump, writeDump } from './dump-layouts.ts';
import { dayOf, toolOf } from './halden-plant.ts';
import type { Made, MadeLine } from './simulate-line.ts';

interface ReadOut {
  readonly on: string;
  readonly hour: number;
  /** Whether the memory is emptied after it. */
  readonly cleared: boolean;
  /** Older readings are left out of the file (an export by date). */
  readonly since?: string;
  readonly spoiled?: readonly Spoiled[];
}

const plan: readonly { readonly tool: string; readonly layout: LayoutName; readonly readOuts: readonly ReadOut[] }[] = [
  {
    tool: 'T-090',
    layout: 'no-clock',
    readOuts: [
      { on: '2026-11-13', hour: 7, cleared: false },
      { on: '2026-11-20', hour: 7, cleared: false },
    ],
  },
  {
    tool: 'T-114',
    layout: 'comma',
    readOuts: [
      { on: '2026-11-06', hour: 23, cleared: true },
      { on: '2026-11-13', hour: 23, cleared: true },
      {
        on: '2026-11-20',
        hour: 23,
        cleared: true,
        spoiled: [{ after: 128, text: '2026-11-17,24:03:55,T-114,Rear axle nut,114,HC-23777,1,45.02,48.1,OK' }],
      },
      { on: '2026-11-24', hour: 23, cleared: true },
    ],
  },
  {
    tool: 'T-118',
    layout: 'semicolon',
    readOuts: [
      { on: '2026-11-13', hour: 23, cleared: false },
      { on: '2026-11-24', hour: 23, cleared: false },
    ],
  },
  {
    tool: 'T-131',
    layout: 'two-row',
    readOuts: [
      { on: '2026-11-20', hour: 15, cleared: false },
      { on: '2026-11-24', hour: 23, cleared: false },
    ],
  },
  {
    tool: 'T-207',
    layout: 'semicolon',
    readOuts: [
      { on: '2026-11-13', hour: 14, cleared: false },
      { on: '2026-11-20', hour: 23, cleared: true },
      {
        on: '2026-11-24',
        hour: 23,
        cleared: true,
        spoiled: [
          { after: 40, text: '41;23.11.2026;13:31:07;--,--;Nm;;Rack stay M8;114;HC-24700;1' },
          { after: 40, text: '42;23.11.2026;13:31:19;--,--;Nm;;Rack stay M8;114;HC-24700;1' },
        ],
      },
    ],
  },
  {
    tool: 'T-302',
    layout: 'tab',
    readOuts: [
      { on: '2026-11-13', hour: 23, cleared: false },
      { on: '2026-11-24', hour: 23, cleared: false, since: '2026-11-12' },
    ],
  },
  {
    tool: 'T-305',
    layout: 'pipe',
    readOuts: [
      { on: '2026-11-12', hour: 5, cleared: true },
      { on: '2026-11-17', hour: 23, cleared: true },
      { on: '2026-11-20', hour: 23, cleared: true },
      { on: '2026-11-24', hour: 23, cleared: true },
    ],
  },
  {
    tool: 'T-410',
    layout: 'quoted',
    readOuts: [
      { on: '2026-11-13', hour: 23, cleared: true },
      { on: '2026-11-24', hour: 23, cleared: true },
    ],
  },
];

/** The battery of T-131 was changed here and its clock restarted; it was set again at noon. */
export const clockReset = {
  tool: 'T-131',
  from: dayOf('2026-11-16') + 9 * msPerHour + 10 * msPerMinute,
  to: dayOf('2026-11-16') + 12 * msPerHour,
  startsAt: civilTime(2000, 1, 1)!,
} as const;

/** Names typed wrongly into a tool, for a stretch of time. */
export const wrongNames = [
  {
    tool: 'T-118',
    kind: 'joint',
    right: 'Rack stay M8',
    written: 'Rack-stay M8',
    count: 8,
    from: dayOf('2026-11-20') + 14 * msPerHour,
  },
  {
    tool: 'T-410',
    kind: 'operator',
    right: '147',
    written: '0147',
    count: 12,
    from: dayOf('2026-11-17') + 6 * msPerHour,
  },
] as const;

export interface MadeDump {
  readonly file: string;
  readonly tool: string;
  readonly layout: LayoutName;
  readonly written: WrittenDump;
  readonly records: readonly Stored[];
  readonly rejectedLines: number;
}

export interface Memories {
  readonly dumps: readonly MadeDump[];
  /** Readings that a full memory did not store: no file shows them. */
  readonly lost: readonly Made[];
}

/** Fills the memories from the line's readings and reads them out. Dumps come in order of file name. */
export function readOutMemories(line: MadeLine): Memories {
  const dumps: MadeDump[] = [];
  const lost: Made[] = [];
  for (const { tool, layout, readOuts } of plan) {
    const made = line.readings.filter((reading) => reading.tool === tool);
    const typed = wrongNames
      .filter((wrong) => wrong.tool === tool)
      .map((wrong) => ({ ...wrong, left: wrong.count as number }));
    const capacity = toolOf(tool).storageCapacity;
    let memory: Stored[] = [];
    let number = 0;
    let taken = 0;
    for (const readOut of readOuts) {
      const until = dayOf(readOut.on) + readOut.hour * msPerHour;
      for (; taken < made.length && made[taken]!.at < until; taken += 1) {
        const reading = made[taken]!;
        if (memory.length >= capacity) {
          lost.push(reading);
          continue;
        }
        number += 1;
        let joint = jointName(reading);
        let operator = reading.operator;
        for (const wrong of typed) {
          if (wrong.left === 0 || reading.at < wrong.from) continue;
          if (wrong.kind === 'joint' && joint === wrong.right) joint = wrong.written;
          else if (wrong.kind === 'operator' && operator === wrong.right) operator = wrong.written;
          else continue;
          wrong.left -= 1;
        }
        memory.push({ made: reading, clock: clockOf(reading), joint, operator, number });
      }
      const since = readOut.since === undefined ? Number.NEGATIVE_INFINITY : dayOf(readOut.since);
      const records = memory.filter((stored) => stored.made.at >= since);
      const spoiled = readOut.spoiled ?? [];
      dumps.push({
        file: `${tool}_${readOut.on}.${layout === 'tab' || layout === 'pipe' || layout === 'no-clock' ? 'txt' : 'csv'}`,
        tool,
        layout,
        records,
        written: writeDump(layout, records, { tool, exported: until, spoiled }),
        rejectedLines: spoiled.length,
      });
      if (readOut.cleared) {
        memory = [];
        number = 0;
      }
    }
  }
  return { dumps, lost };
}

function clockOf(reading: Made): number {
  const off = reading.tool === clockReset.tool && reading.at >= clockReset.from && reading.at < clockReset.to;
  return off ? clockReset.startsAt + (reading.at - clockReset.from) : reading.at;
}
