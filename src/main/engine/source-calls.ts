/** Files taken out of force and back into it. */
import type { CallHost, OwnCalls } from './call-host.ts';
import { notFound } from './engine-calls.ts';

/** Withdrawing a file, and taking that back. */
export function sourceCalls(host: CallHost): OwnCalls<'source:withdraw' | 'source:restore'> {
  return {
    'source:withdraw': async (request) => {
      const before = (await host.plant()).readings.inForce;
      await switchSource(host, request.source, true);
      const { readings } = await host.plant();
      let outOfForce = 0;
      for (let i = 0; i < before.length; i++) if (before[i] === 1 && readings.inForce[i] === 0) outOfForce++;
      const shown = await shownBy(host, request.source);
      let stillShownElsewhere = 0;
      for (const position of shown) if (readings.inForce[position] === 1) stillShownElsewhere++;
      return { source: request.source, outOfForce, stillShownElsewhere };
    },
    'source:restore': async (request) => {
      const before = (await host.plant()).readings.inForce;
      await switchSource(host, request.source, false);
      const { readings } = await host.plant();
      let backInForce = 0;
      for (let i = 0; i < before.length; i++) if (before[i] === 0 && readings.inForce[i] === 1) backInForce++;
      return { source: request.source, backInForce };
    },
  };
}

async function switchSource(host: CallHost, id: number, withdrawn: boolean): Promise<void> {
  const source = (await host.store.sources()).find((one) => one.id === id);
  if (!source) throw notFound('file', String(id));
  if (source.withdrawn === withdrawn) return;
  await host.commit(withdrawn ? 'withdraw' : 'restore', source.name, null, [{ t: 'source', id, withdrawn }]);
}

/** Positions of the readings a file shows, its own and those it shows again. */
async function shownBy(host: CallHost, source: number): Promise<number[]> {
  const { readings } = await host.plant();
  const positions: number[] = [];
  for (let i = 0; i < readings.length; i++) if (readings.source[i] === source) positions.push(i);
  const { positionOfId } = await import('./plant-keeper.ts');
  const sightings = await host.store.sightings();
  for (let i = 0; i < sightings.length; i += 3) {
    if (sightings[i] !== source) continue;
    const position = positionOfId(readings.id, sightings[i + 1]!);
    if (position >= 0) positions.push(position);
  }
  return positions;
}
