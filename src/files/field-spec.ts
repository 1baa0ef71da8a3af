import type { HeadingWords } from './heading-words.ts';
import type { Quantity } from './units-of-measure.ts';

export type DraftValue = string | number | null;

export type FieldSpec = { field: string; headings: HeadingWords } & (
  | { is: 'text'; maxChars: number }
  | { is: 'number'; quantity: Quantity; atLeast: number; atMost: number }
  | { is: 'choice'; values: Readonly<Record<string, string>> }
  | { is: 'date' }
);
export type KindSpec<D> = {
  fields: readonly (FieldSpec & { field: keyof D & string })[];
  /** What is wanted, in words, when a table without a heading row is refused. */
  wanted: string;
  draft: (label: string, values: ReadonlyMap<string, DraftValue>, old: D | null) => D;
  /** Fields without which a new row places nothing; empty when the draft is whole. */
  missing: (draft: D) => readonly string[];
};

/** A label is what is painted, or a name that people find things by. */
export const LABEL_CHARS = 80;
export const text = (maxChars: number) => ({ is: 'text', maxChars }) as const;
export const number = (quantity: Quantity, atLeast: number, atMost: number) => ({ is: 'number', quantity, atLeast, atMost }) as const;
