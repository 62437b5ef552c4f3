/** Facts about this installation: version, sample folder, who sits at the machine. */
import { readFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { fileURLToPath } from 'node:url';
import type { EngineSettings } from './client/engine-client.ts';
import { installationUrl } from './worker-url.ts';

/** Version as package.json has it. */
export function programVersion(): string {
  const manifest: unknown = JSON.parse(readFileSync(new URL('package.json', installationUrl), 'utf8'));
  return typeof manifest === 'object' && manifest !== null && 'version' in manifest
    ? String(manifest.version)
    : 'unknown';
}

/** Settings for an engine on a store, with what the installation knows. */
export function engineSettings(storePath: string): EngineSettings {
  return {
    storePath,
    programVersion: programVersion(),
    sampleFolder: fileURLToPath(new URL('sample-data/', installationUrl)),
    who: systemUser(),
  };
}

function systemUser(): string {
  try {
    return userInfo().username;
  } catch {
    // A container may have no entry for its user.
    return 'unknown';
  }
}
