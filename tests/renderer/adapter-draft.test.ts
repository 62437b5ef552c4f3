/** What a draft of an adapter period makes of the periods a wrench has. */
import { describe, expect, it } from 'vitest';
import { said } from '#core/text/said.ts';
import { parseCivil } from '#core/time/civil-time.ts';
import {
  type AdapterDraft,
  adapterFile,
  draftOfAdapter,
  newAdapter,
} from '../../src/renderer/screens/register/adapter-draft.ts';

const at = (text: string): number => parseCivil(text)?.at ?? Number.NaN;
const period = (from: string, to: string | null) => ({
  from: at(from),
  to: to === null ? null : at(to),
  lengthMm: 300,
  offsetMm: 30,
  angleDeg: 0,
  factor: 1.1,
  said: said('register-ui.remove', {}),
  readings: 0,
});
const first = period('2026-11-01', '2026-11-05T06:30:15');
const second = period('2026-11-10T14:00:00', null);
const tool = { serial: 'T-1', lengthMm: 402.5, adapters: [first, second] };
const now = at('2026-11-26T09:41:27');
const listed = (draft: AdapterDraft) => adapterFile(tool, draft);
const inFile = (from: string, to: string | null) => ({ from, to, lengthMm: 300, offsetMm: 30, angleDeg: 0 });
const heldFirst = inFile('2026-11-01T00:00:00', '2026-11-05T06:30:15');
const heldSecond = inFile('2026-11-10T14:00:00', null);

describe('a draft of an adapter', () => {
  it('that is new starts with the length of the wrench, today, and is unfinished without an offset', () => {
    const draft = newAdapter(tool, now);
    expect(draft).toMatchObject({ length: '402.5', from: '2026-11-26', to: '', angle: '0' });
    expect(listed(draft)).toBeNull();
    expect(listed({ ...draft, offset: '4o' })).toBeNull();
    expect(listed({ ...draft, offset: '40', angle: '' })).toBeNull();
    expect(listed({ ...draft, offset: '40', from: '' })).toBeNull();
    // A comma or a point; without a length the engine takes the wrench's own, or says that it is not known.
    expect(listed({ ...draft, offset: '40,5', length: '', fromTime: '06:00', to: '2026-11-27', toTime: '' })).toEqual({
      tools: [
        {
          serial: 'T-1',
          adapters: [
            heldFirst,
            heldSecond,
            { from: '2026-11-26T06:00', to: '2026-11-27', lengthMm: null, offsetMm: 40.5, angleDeg: 0 },
          ],
        },
      ],
    });
  });

  it('of one that is held is that one to the second, and leaves the others as they are', () => {
    const same = listed(draftOfAdapter(first, 'change', now));
    expect(same).toEqual({
      tools: [{ serial: 'T-1', adapters: [heldSecond, { ...heldFirst, from: '2026-11-01' }] }],
    });
  });

  it('that ends one ends it at this minute', () => {
    const draft = draftOfAdapter(second, 'end', now);
    expect(listed(draft)).toEqual({
      tools: [
        { serial: 'T-1', adapters: [heldFirst, { ...heldSecond, from: '2026-11-10T14:00', to: '2026-11-26T09:41' }] },
      ],
    });
  });

  it('that takes one out needs nothing else', () => {
    expect(listed({ ...draftOfAdapter(first, 'remove', now), offset: 'x' })).toEqual({
      tools: [{ serial: 'T-1', adapters: [heldSecond] }],
    });
  });
});
