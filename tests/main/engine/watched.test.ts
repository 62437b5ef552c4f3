import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openEngine } from '../../../src/main/engine/engine.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'watched-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

test('Intake names the folder that the shell watches, and none when it watches none', async () => {
  const options = { clock: () => 0, programVersion: '0.0.0-test', sampleFolder: '', who: 'tester' };
  for (const watched of [join(folder, 'dumps'), undefined]) {
    const engine = await openEngine({ ...options, storePath: join(folder, 'plant.db'), watched });
    try {
      expect((await engine.serve('inbox:list', {})).watched).toBe(watched ?? null);
    } finally {
      await engine.close();
    }
  }
});
