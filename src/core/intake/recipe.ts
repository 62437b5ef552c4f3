/** A recipe: how files of one layout are read, found once or answered once, kept under the layout's fingerprint. */
import { z } from 'zod';
import { torqueUnitCodes } from '../units/torque-unit.ts';
import { roles } from './vocabulary.ts';

const text = z.string().max(500);

/** Where a name that no column holds comes from. */
const nameSource = z.discriminatedUnion('from', [
  z.strictObject({ from: z.literal('answer'), value: text }),
  z.strictObject({ from: z.literal('preamble'), key: text }),
  z.strictObject({ from: z.literal('file-name') }),
]);

export const recipeSchema = z.strictObject({
  /** Format of this record, so that later versions can be told apart. */
  format: z.literal('tightbook-recipe-1'),
  fingerprint: z.string().regex(/^[0-9a-f]{16}$/),
  name: text,
  layout: z.strictObject({
    delimiter: z.enum([',', ';', '\t', '|', ' ', ', ', ':', '^', '~']).or(z.string().min(1).max(2)),
    quote: z.enum(['"', "'", '']),
    escape: z.enum(['doubled', 'backslash']),
    header: z.array(text).max(500).nullable(),
    preambleKeys: z.array(text).max(200),
    columns: z.int().min(1).max(500),
  }),
  /** Role of each column, in order. */
  roles: z.array(z.enum(roles)).max(500),
  decimalMark: z.enum(['comma', 'point']).nullable(),
  dateOrder: z.enum(['dmy', 'mdy', 'ymd']).nullable(),
  /** Unit of torques that carry none themselves; null: the file says it. */
  unit: z.enum(torqueUnitCodes).nullable(),
  tool: nameSource.nullable(),
  operator: nameSource.nullable(),
  joint: nameSource.nullable(),
});

export type Recipe = z.infer<typeof recipeSchema>;
export type NameSource = z.infer<typeof nameSource>;
