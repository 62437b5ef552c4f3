/** Entry of the browser shell: starts the engine, serves the application, prints one address, ends on Ctrl-C. */
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { said, say } from '#core/text/said.ts';
import { startEngine } from '../client/engine-client.ts';
import { problemOf } from '../client/problem-of.ts';
import { engineSettings } from '../installation.ts';
import { defaultStorePath } from '../store-location.ts';
import { watchFolder } from '../watch-folder.ts';
import { installationUrl } from '../worker-url.ts';
import { startBrowserShell } from './server.ts';

const { values } = parseArgs({
  args: process.argv.slice(2),
  options: {
    browser: { type: 'boolean' },
    store: { type: 'string' },
    port: { type: 'string', default: '0' },
    watch: { type: 'string' },
    'no-open': { type: 'boolean', default: false },
  },
});

try {
  const storePath = path.resolve(values.store ?? defaultStorePath(process.platform, process.env));
  const watched = values.watch === undefined ? undefined : path.resolve(values.watch);
  const client = await startEngine({ ...engineSettings(storePath), watched });
  const shell = await startBrowserShell({
    client,
    rendererFolder: path.join(fileURLToPath(installationUrl), 'out', 'renderer'),
    uploadFolder: client.uploadFolder,
    port: Number(values.port),
  });
  const stopWatching = watched === undefined ? null : watchFolder(watched, client);
  console.log(say(said('shell.address', { address: shell.address })));
  if (!values['no-open'] && hasDisplay()) openInBrowser(shell.address);

  let ending = false;
  const end = (): void => {
    if (ending) return;
    ending = true;
    stopWatching?.();
    void shell
      .close()
      .then(() => client.close())
      .then(() => process.exit(0));
  };
  process.on('SIGINT', end);
  process.on('SIGTERM', end);
} catch (thrown) {
  console.error(problemOf(thrown).message);
  process.exit(1);
}

function hasDisplay(): boolean {
  return process.platform !== 'linux' || Boolean(process.env.DISPLAY ?? process.env.WAYLAND_DISPLAY);
}

/** Opens the address in the default browser. That it cannot be opened is no error: the address is printed. */
function openInBrowser(address: string): void {
  const [command, args] =
    process.platform === 'win32'
      ? ['rundll32', ['url.dll,FileProtocolHandler', address]]
      : process.platform === 'darwin'
        ? ['open', [address]]
        : ['xdg-open', [address]];
  if (command === 'xdg-open' && !['/usr/bin/xdg-open', '/usr/local/bin/xdg-open'].some((file) => existsSync(file)))
    return;
  const child = spawn(command as string, args as string[], { stdio: 'ignore', detached: true });
  child.on('error', () => undefined);
  child.unref();
}
