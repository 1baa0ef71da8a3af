import type { PartsPolicy } from '../statics/parts.ts';

/** What the venue's policy holds parts to. */
export type PartRules = PartsPolicy & { readonly chokeFactor: number };
