import { z } from 'zod';
import { ProblemError } from './problem.ts';

export const DEFAULT_LIMIT = 50;
const MAX_LIMIT = 200;

export const PageQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(MAX_LIMIT).default(DEFAULT_LIMIT).describe('how many at most'),
  cursor: z.string().max(500).optional().describe('where the last page ended: take it from the Link header'),
});
export type PageQuery = z.infer<typeof PageQuery>;

/** Lists in order of an instant and an id; another order brings its own shape. */
const InstantCursor = z.tuple([z.iso.datetime(), z.uuid()]);

export function readCursor(cursor: string | undefined, shape: z.ZodType<readonly string[]> = InstantCursor): readonly string[] | null {
  if (cursor === undefined) return null;
  try {
    return shape.parse(JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8')));
  } catch {
    throw new ProblemError({
      code: 'invalid-request',
      errors: [{ pointer: '/query/cursor', message: 'not a cursor of this list: start without one' }],
    });
  }
}

/** The key of the last row of a full page in the order (instant, id). */
export function nextByInstant<T extends { id: string }>(
  rows: readonly T[],
  limit: number,
  instantOf: (row: T) => Date,
): readonly string[] | null {
  const last = rows.at(-1);
  return last && rows.length === limit ? [instantOf(last).toISOString(), last.id] : null;
}

/** `Link: <…>; rel="next"`, or nothing on the last page. */
export function nextLink(url: string, next: readonly string[] | null): Record<string, string> {
  if (next === null) return {};
  const [path, query] = url.split('?');
  const parameters = new URLSearchParams(query);
  parameters.set('cursor', Buffer.from(JSON.stringify(next)).toString('base64url'));
  return { link: `<${path}?${parameters.toString()}>; rel="next"` };
}
