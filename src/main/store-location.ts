/** Where the application keeps its own store when none is named. */
import { homedir } from 'node:os';
import path from 'node:path';

/** The platform's folder for an application's data, with the store's file name. */
export function defaultStorePath(platform: NodeJS.Platform, env: NodeJS.ProcessEnv): string {
  const name = 'plant.tightbook';
  if (platform === 'win32')
    return path.join(env.APPDATA ?? path.join(homedir(), 'AppData', 'Roaming'), 'Tightbook', name);
  if (platform === 'darwin') return path.join(homedir(), 'Library', 'Application Support', 'Tightbook', name);
  return path.join(env.XDG_DATA_HOME ?? path.join(homedir(), '.local', 'share'), 'tightbook', name);
}
