/** What a verb gets and gives. */
import type { EngineClient } from '../client/engine-client.ts';

export interface VerbContext {
  /** Starts the engine on the named store, once. */
  open(storePath: string | undefined): Promise<EngineClient>;
  /** Writes to standard output. */
  print(text: string): void;
  /** Progress and warnings, to standard error. */
  warn(text: string): void;
}

/** Runs a verb; resolves with its exit code. */
export type Verb = (args: readonly string[], context: VerbContext) => Promise<number>;

/** Prints exactly one JSON document. */
export function printJson(context: VerbContext, document: unknown): void {
  context.print(`${JSON.stringify(document, null, 1)}\n`);
}

/** A table for people: columns as wide as their widest cell, numbers to the right. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((cell, i) => Math.max(cell.length, ...rows.map((row) => (row[i] ?? '').length)));
  const numeric = head.map(
    (_, i) => rows.length > 0 && rows.every((row) => /^[-−+]?[\d.,\u2009\u2060]*[ %]*$/.test(row[i] ?? '')),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => (numeric[i] ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0)))
      .join('  ')
      .trimEnd();
  return [line(head), ...rows.map(line)].join('\n');
}
