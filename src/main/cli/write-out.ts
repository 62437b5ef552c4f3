/** Writes what a verb made to the file that `--out` names. */
import { existsSync, statSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { WrongUsage } from './usage.ts';

/**
 * Refuses a place that cannot hold a file before anything is read.
 *
 * @throws WrongUsage when the folder is not there, or the name is one of a folder
 */
export function checkOut(out: string): void {
  const folder = path.dirname(path.resolve(out));
  if (!existsSync(folder))
    throw new WrongUsage(`--out ${out}: there is no folder ${folder}. Make it, or name another.`);
  if (existsSync(out) && statSync(out).isDirectory()) {
    throw new WrongUsage(`--out ${out} is a folder; name a file in it.`);
  }
}

/**
 * Writes the file.
 *
 * @throws WrongUsage when the place is closed to the user or the disk is full: nothing was lost, another place will do
 */
export async function writeOut(out: string, bytes: Uint8Array): Promise<void> {
  try {
    await writeFile(out, bytes);
  } catch (thrown) {
    const code = thrown instanceof Error && 'code' in thrown ? thrown.code : null;
    if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') {
      throw new WrongUsage(`--out ${out} may not be written. Choose another folder.`);
    }
    if (code === 'ENOSPC') throw new WrongUsage(`--out ${out}: the disk is full. Choose another place.`);
    throw thrown;
  }
}
