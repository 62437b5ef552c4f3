/** Where a Chromium is looked for: it prints reports without Electron, and runs the end-to-end tests. */
import { existsSync } from 'node:fs';
import path from 'node:path';

const programs = [
  process.env.PROGRAMFILES ?? 'C:\\Program Files',
  process.env['PROGRAMFILES(X86)'] ?? 'C:\\Program Files (x86)',
];

const places: Readonly<Record<string, readonly string[]>> = {
  linux: [
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome-stable',
    '/usr/bin/google-chrome',
    '/snap/bin/chromium',
  ],
  darwin: [
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  ],
  win32: programs.flatMap((folder) => [
    path.join(folder, 'Google', 'Chrome', 'Application', 'chrome.exe'),
    path.join(folder, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
  ]),
};

/** Path of an installed Chromium, or null. `TIGHTBOOK_CHROMIUM` names one that lies elsewhere. */
export function installedChromium(): string | null {
  const named = process.env.TIGHTBOOK_CHROMIUM;
  if (named) return existsSync(named) ? named : null;
  return (places[process.platform] ?? []).find((place) => existsSync(place)) ?? null;
}
