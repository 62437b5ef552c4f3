import { WrongUsage } from './usage.ts';

/** The store number of a file, as `intake` printed it. */
export function sourceNumber(text: string | undefined): number {
  const value = Number(text);
  if (!Number.isSafeInteger(value) || value < 1)
    throw new WrongUsage(`"${text}" is not the number of a file; intake prints it as "source".`);
  return value;
}
