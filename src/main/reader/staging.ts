/**
 * The folder of a ticket: what is known of a file between its offer and its taking in.
 *
 * `<store>.inbox/<ticket>/` holds state.json (renamed into place, so that a killed process leaves the old or the new
 * one), and after reading: rows.bin, pieces.bin, rejected.jsonl, reading.json. Nothing in it is locked; a ticket belongs
 * to the process named in its state, and is taken over when that process is gone.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { DumpReading } from '#core/intake/dump-reading.ts';
import type { TorqueUnit } from '#core/units/torque-unit.ts';
import type { HeldCount } from '../store/store.ts';
import type { PieceEntry } from './piece-writer.ts';

export interface FixedNames {
  readonly tool?: string | undefined;
  readonly operator?: string | undefined;
  readonly joint?: string | undefined;
  readonly unit?: TorqueUnit | undefined;
}

export interface TicketState {
  readonly ticket: string;
  readonly name: string;
  /** Where the file lies. */
  readonly path: string;
  /** True: an upload in our own folder, deleted with the ticket. */
  readonly ours: boolean;
  readonly bytes: number;
  readonly offeredMs: number;
  readonly phase: 'waiting' | 'reading' | 'read' | 'failed';
  readonly answers: Readonly<Record<string, string>>;
  readonly set: FixedNames;
  readonly useRecipe: boolean;
  /** Process that works on it. */
  readonly owner: Owner;
}

export interface Owner {
  readonly pid: number;
  /** The engine within that process. */
  readonly engine: string;
}

/** Engines open in this process: a ticket of one that was closed is free. */
export const openEngines = new Set<string>();

/** What a finished reading left in its folder. */
export interface StagedReading {
  readonly reading: DumpReading;
  readonly sha256: string;
  readonly pieces: readonly PieceEntry[];
  readonly names: {
    readonly tool: readonly string[];
    readonly operator: readonly string[];
    readonly joint: readonly string[];
  };
  readonly rows: number;
  readonly readMs: number;
}

export type Probed = HeldCount;

/** Folder of all tickets of a store. */
export function inboxFolder(storePath: string): string {
  return `${storePath}.inbox`;
}

/** Folder into which shells write uploads. */
export function uploadFolder(storePath: string): string {
  return join(inboxFolder(storePath), 'uploads');
}

export function ticketFolder(storePath: string, ticket: string): string {
  return join(inboxFolder(storePath), ticket);
}

export const stagedFiles = {
  rows: 'rows.bin',
  pieces: 'pieces.bin',
  rejected: 'rejected.jsonl',
  reading: 'reading.json',
} as const;

/** Writes a ticket's state whole. */
export function writeState(storePath: string, state: TicketState): void {
  const folder = ticketFolder(storePath, state.ticket);
  mkdirSync(folder, { recursive: true });
  const part = join(folder, 'state.part');
  writeFileSync(part, JSON.stringify(state));
  // Rename, not write: a reader sees the old state or the new one, never half.
  renameSync(part, join(folder, 'state.json'));
}

/** A ticket's state; null when there is none that can be read. */
export function readState(storePath: string, ticket: string): TicketState | null {
  return readJson<TicketState>(join(ticketFolder(storePath, ticket), 'state.json'));
}

/** What reading left; null when the ticket was not read to its end. */
export function readStaged(storePath: string, ticket: string): StagedReading | null {
  return readJson<StagedReading>(join(ticketFolder(storePath, ticket), stagedFiles.reading));
}

export function writeStaged(storePath: string, ticket: string, staged: StagedReading): void {
  const folder = ticketFolder(storePath, ticket);
  const part = join(folder, 'reading.part');
  writeFileSync(part, JSON.stringify(staged));
  renameSync(part, join(folder, stagedFiles.reading));
}

/** Removes what reading left, not the ticket. */
export function clearStaged(storePath: string, ticket: string): void {
  // reading.json first: without it the rest counts for nothing, should the process end here.
  for (const name of [stagedFiles.reading, stagedFiles.rows, stagedFiles.pieces, stagedFiles.rejected]) {
    rmSync(join(ticketFolder(storePath, ticket), name), { force: true });
  }
}

/** Removes a ticket and, if it was an upload, the file. */
export function removeTicket(storePath: string, state: Pick<TicketState, 'ticket' | 'ours' | 'path'>): void {
  rmSync(ticketFolder(storePath, state.ticket), { recursive: true, force: true });
  if (state.ours) rmSync(state.path, { force: true });
}

/** Tickets on disk, oldest first. */
export function listTickets(storePath: string): TicketState[] {
  const folder = inboxFolder(storePath);
  if (!existsSync(folder)) return [];
  const states: TicketState[] = [];
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    if (!entry.isDirectory() || entry.name === 'uploads') continue;
    const state = readState(storePath, entry.name);
    if (state) states.push(state);
  }
  return states.sort((a, b) => a.offeredMs - b.offeredMs || (a.ticket < b.ticket ? -1 : 1));
}

/** An upload that no ticket names is one whose process ended before it was offered; after a day it is dropped. */
const uploadKeptMs = 86_400_000;

/** Removes uploads that nobody will come back for. */
export function dropOldUploads(storePath: string, nowMs: number): void {
  const folder = uploadFolder(storePath);
  if (!existsSync(folder)) return;
  const named = new Set(listTickets(storePath).map((state) => state.path));
  for (const name of readdirSync(folder)) {
    const path = join(folder, name);
    const facts = statSync(path, { throwIfNoEntry: false });
    if (!facts || named.has(path) || nowMs - facts.mtimeMs < uploadKeptMs) continue;
    rmSync(path, { force: true });
  }
}

/** Whether the engine that owns a ticket still runs. */
export function isAlive(owner: Owner): boolean {
  if (owner.pid === process.pid) return openEngines.has(owner.engine);
  try {
    process.kill(owner.pid, 0);
    return true;
  } catch (error) {
    // EPERM: it runs, under another user.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}

function readJson<T>(path: string): T | null {
  try {
    // Written by this program, whole or not at all.
    return JSON.parse(readFileSync(path, 'utf8')) as T;
  } catch {
    return null;
  }
}
