import { z } from 'zod';
import { ProblemError } from './problem.ts';

export const DEFAULT_LIMIT = 50;
const MAX_LIMIT = 200;

export const PageQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(MAX_LIMIT).default(DEFAULT_LIMIT).describe('how many at most'),
  cursor: z.string().max(500).optional().describe('where the last page ended: take it from the Link header'),
});
export type PageQuery = z.infer<typeof PageQuery>;

/** A page of a list in a stable order; `next` is the key of the last row, or null at the end. */
export type Page<T> = { readonly rows: readonly T[]; readonly next: readonly string[] | null };

const Cursor = z.array(z.string().max(200)).max(4);

export function readCursor(cursor: string | undefined): readonly string[] | null {
  if (cursor === undefined) return null;
  try {
    return Cursor.parse(JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8')));
  } catch {
    throw new ProblemError({
      code: 'invalid-request',
      errors: [{ pointer: '/query/cursor', message: 'not a cursor of this list: start without one' }],
    });
  }
}

/** `Link: <…>; rel="next"`, or nothing on the last page. */
export function nextLink(url: string, next: readonly string[] | null): Record<string, string> {
  if (next === null) return {};
  const [path, query] = url.split('?');
  const parameters = new URLSearchParams(query);
  parameters.set('cursor', Buffer.from(JSON.stringify(next)).toString('base64url'));
  return { link: `<${path}?${parameters.toString()}>; rel="next"` };
}
