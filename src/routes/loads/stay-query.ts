import type { z } from 'zod';
import { InstantText } from '../schemas/common.ts';

const LONGEST_MS = 400 * 86_400_000;

/** A time to ask about a roof. */
export const STAY = {
  from: InstantText.describe('from when, RFC 3339 with offset'),
  to: InstantText.describe('until when, at most 400 days later'),
};

type Stay = { readonly from: string; readonly to: string };
/** What the two together must be. */
export const checkedStay = <T extends z.ZodType<Stay>>(query: T): T =>
  query
    .refine(({ from, to }) => Date.parse(from) < Date.parse(to), { path: ['to'], message: 'after from' })
    .refine(({ from, to }) => Date.parse(to) - Date.parse(from) <= LONGEST_MS, { path: ['to'], message: 'within 400 days of from' });
