/** The steps that bring a store of any age to today's schema. A step is never edited after release; new ones follow. */
import { firstSchema } from './first-schema.ts';

/** SQL by step: the store's `user_version` is the number of steps it has been through. */
export const migrations: readonly string[] = [firstSchema];

/** What this program writes; a store above it is opened for reading only. */
export const schemaVersion: number = migrations.length;
