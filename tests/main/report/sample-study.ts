/** A study of the sample scenario, computed by the engine: what report tests print. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { StudyModel } from '../../../src/core/contract/models/study-model.ts';
import { parseRequest } from '../../../src/core/contract/parse-request.ts';
import { openEngine } from '../../../src/main/engine/engine.ts';

/** One joint, one tool, one early shift week: small enough that every reading is listed. */
export async function sampleStudy(): Promise<StudyModel> {
  const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-report-'));
  const engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => Date.UTC(2026, 10, 26, 9),
    programVersion: '0.0.0-test',
    sampleFolder: fileURLToPath(new URL('../../../sample-data/', import.meta.url)),
    who: 'A. Solheim',
  });
  try {
    await engine.serve('demo:load', {});
    const scope = {
      from: Date.UTC(2026, 10, 16),
      to: Date.UTC(2026, 10, 19),
      shifts: ['Early'],
      joints: [],
      tools: ['T-118'],
      operators: [],
    };
    return await engine.serve('study:read', parseRequest('study:read', { joint: 'Rack stay M8', scope }));
  } finally {
    await engine.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}
