/** A period of an adapter that a person is writing, and the list of periods it makes in the register file. */
import type { ToolModel } from '#core/contract/models/register-model.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { fieldText, typedNumber } from './number-field.tsx';
import type { FilePart } from './pending-edit.tsx';

type Adapter = ToolModel['adapters'][number];

export interface AdapterDraft {
  /** `remove`: the period was entered by mistake; else its fields are written. */
  readonly what: 'new' | 'change' | 'end' | 'remove';
  /** Start of the period held that is changed or removed; null: a new one. */
  readonly of: number | null;
  /** ISO date, and time of day; the time of `to` counts only where there is a date. */
  readonly from: string;
  readonly fromTime: string;
  readonly to: string;
  readonly toTime: string;
  readonly length: string;
  readonly offset: string;
  readonly angle: string;
  readonly why: string;
}

const midnight = '00:00';

/** A new period from today on, with the wrench's own length. */
export function newAdapter(tool: Pick<ToolModel, 'lengthMm'>, now: number): AdapterDraft {
  return {
    what: 'new',
    of: null,
    from: civilText(now, msPerDay),
    fromTime: midnight,
    to: '',
    toTime: midnight,
    length: fieldText(tool.lengthMm),
    offset: '',
    angle: '0',
    why: '',
  };
}

/** A period that is held, to be corrected, ended at this minute, or taken out. */
export function draftOfAdapter(adapter: Adapter, what: 'change' | 'end' | 'remove', now: number): AdapterDraft {
  const end = what === 'end' ? now : adapter.to;
  return {
    what,
    of: adapter.from,
    from: civilText(adapter.from, msPerDay),
    fromTime: timeText(adapter.from),
    to: end === null ? '' : civilText(end, msPerDay),
    toTime: end === null ? midnight : what === 'end' ? timeText(end).slice(0, 5) : timeText(end),
    length: fieldText(adapter.lengthMm),
    offset: fieldText(adapter.offsetMm),
    angle: fieldText(adapter.angleDeg),
    why: '',
  };
}

/**
 * The part of a register file that the draft makes of the periods held, or null while it is not finished.
 *
 * A file gives all periods of a tool: those that the draft is not about stay as they are.
 */
export function adapterFile(tool: Pick<ToolModel, 'serial' | 'adapters'>, draft: AdapterDraft): FilePart | null {
  const others = tool.adapters.filter((one) => one.from !== draft.of).map(held);
  if (draft.what === 'remove') return { tools: [{ serial: tool.serial, adapters: others }] };
  const [lengthMm, offsetMm, angleDeg] = [draft.length, draft.offset, draft.angle].map(typedNumber);
  const from = instant(draft.from, draft.fromTime);
  const to = draft.to === '' ? null : instant(draft.to, draft.toTime);
  if (from === undefined || to === undefined || Number.isNaN(lengthMm)) return null;
  if (typeof offsetMm !== 'number' || typeof angleDeg !== 'number' || Number.isNaN(offsetMm + angleDeg)) return null;
  return {
    tools: [
      { serial: tool.serial, adapters: [...others, { from, to, lengthMm: lengthMm ?? null, offsetMm, angleDeg }] },
    ],
  };
}

const held = ({ from, to, lengthMm, offsetMm, angleDeg }: Adapter) => ({
  from: civilText(from),
  to: to === null ? null : civilText(to),
  lengthMm,
  offsetMm,
  angleDeg,
});

function instant(date: string, time: string): string | undefined {
  const text = time === '' || /^00:00(:00)?$/.test(time) ? date : `${date}T${time}`;
  return parseCivil(text) === null ? undefined : text;
}

/** "06:30", with seconds where there are any: so that a field shows and keeps what is held. */
const timeText = (at: number): string => civilText(at).slice(11).replace(/:00$/, '');
