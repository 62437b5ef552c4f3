/** A real engine on a real store in a folder of its own, for tests. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Request } from '#core/contract/calls.ts';
import type { IntakeOutcome } from '#core/contract/models/intake-model.ts';
import { everything } from '#core/readings/scope.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';

export const sampleFolder = fileURLToPath(new URL('../../../sample-data', import.meta.url));

export class TestEngine {
  readonly folder = mkdtempSync(join(tmpdir(), 'tightbook-test-'));
  readonly storePath = join(this.folder, 'plant.db');
  #engine: Engine | null = null;
  now = Date.UTC(2026, 10, 26, 12);

  get engine(): Engine {
    if (!this.#engine) throw new Error('not open');
    return this.#engine;
  }

  async open(options: { readonly busyWaitMs?: number } = {}): Promise<this> {
    this.#engine = await openEngine({
      storePath: this.storePath,
      clock: () => this.now,
      programVersion: '0.0.0-test',
      sampleFolder,
      who: 'tester',
      ...options,
    });
    return this;
  }

  async reopen(): Promise<void> {
    await this.#engine?.close();
    await this.open();
  }

  /** Writes a file beside the store and hands it in. */
  async offer(name: string, content: string | Uint8Array): Promise<string> {
    const path = join(this.folder, name);
    writeFileSync(path, content);
    return this.engine.offer(path, name, { ours: false });
  }

  read(ticket: string, wish: Partial<Request<'inbox:read'>> = {}) {
    return this.engine.serve('inbox:read', { answers: {}, set: {}, useRecipe: true, ...wish, ticket });
  }

  async accept(ticket: string, options: { dryRun?: boolean; saveRecipe?: boolean } = {}): Promise<IntakeOutcome> {
    const [outcome] = await this.engine.serve('inbox:accept', {
      tickets: [ticket],
      dryRun: options.dryRun ?? false,
      saveRecipe: options.saveRecipe ?? false,
    });
    if (!outcome) throw new Error('no outcome');
    return outcome;
  }

  /** Offers, reads and accepts. */
  async take(
    name: string,
    content: string | Uint8Array,
    wish: Partial<Request<'inbox:read'>> = {},
  ): Promise<IntakeOutcome> {
    const ticket = await this.offer(name, content);
    await this.read(ticket, wish);
    return this.accept(ticket);
  }

  /** All readings in force, as the command line prints them. */
  async readings(): Promise<Record<string, unknown>[]> {
    const { readings } = await this.engine.serve('readings:answer', { scope: everything, offset: 0, limit: 100_000 });
    return readings as Record<string, unknown>[];
  }

  async count(): Promise<number> {
    return (await this.engine.serve('readings:answer', { scope: everything, offset: 0, limit: 1 })).total;
  }

  async close(): Promise<void> {
    await this.#engine?.close();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** A dump: one line a reading, semicolons, ISO dates. */
export function dump(
  rows: readonly { at?: string; tool?: string; torque: string; angle?: string; joint?: string }[],
  unit = 'Nm',
): string {
  const timed = rows.some((row) => row.at !== undefined);
  const lines = rows.map((row) =>
    [
      ...(timed ? [row.at ?? ''] : []),
      row.tool ?? 'T-1',
      row.joint ?? 'Stem',
      row.torque,
      unit,
      row.angle ?? '30.0',
    ].join(';'),
  );
  const head = [...(timed ? ['Date and time'] : []), 'Tool', 'Joint', 'Torque', 'Unit', 'Angle [deg]'].join(';');
  return `${head}\n${lines.join('\n')}\n`;
}

/** `count` readings of one tool, a minute apart from `start` on, all different. */
export function series(count: number, start = '2026-03-14T06:00:00', from = 0) {
  const first = Date.parse(`${start}Z`);
  return Array.from({ length: count }, (_, i) => ({
    at: new Date(first + (from + i) * 60_000).toISOString().slice(0, 19).replace('T', ' '),
    torque: (24 + ((from + i) % 97) / 100).toFixed(2),
    angle: (30 + ((from + i) % 89) / 10).toFixed(1),
  }));
}

/** Repeats what must be undone or not at all, until it holds. */
export async function until(holds: () => boolean, withinMs = 10_000): Promise<void> {
  const end = performance.now() + withinMs;
  while (!holds()) {
    if (performance.now() > end) throw new Error('waited in vain');
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}
