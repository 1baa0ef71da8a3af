import { z } from 'zod';

export const Id = z.uuid();
export const Name = z.string().trim().min(1).max(200);
export const Words = z.string().trim().max(4000);
/** An instant with its offset. Bounded, so that arithmetic on it stays sane. */
export const InstantText = z.iso
  .datetime({ offset: true })
  .refine((text) => text >= '2000' && text < '2200', 'an instant between the years 2000 and 2200')
  .describe('RFC 3339 with offset');
export const Sha256 = z.string().regex(/^[0-9a-f]{64}$/);
export const Version = z.int().positive();

/** What reads of a list give. */
export const listOf = <T extends z.ZodType>(item: T) => z.object({ items: z.array(item) });
