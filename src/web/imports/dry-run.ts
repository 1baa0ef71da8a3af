import type { components } from '../api/generated/schema.ts';
import type { Mark } from '../parts/StateMark.tsx';

type Import = components['schemas']['EquipmentImport'];
/** What every import shows, whatever its table tells of. */
export type DryRun = Omit<Import, 'kind'>;
export type ImportRow = Import['rows'][number];
export type Choices = components['schemas']['EquipmentImport']['choices'] & {
  answers?: Record<string, string>;
  columns?: Record<string, number | null>;
};

export const OUTCOME_MARK: Record<ImportRow['outcome'], Mark> = {
  add: 'fits',
  change: 'fits',
  same: 'unknown',
  duplicate: 'close',
  refused: 'over',
  question: 'unknown',
};
/** Those that need a person first. */
const ORDER: readonly ImportRow['outcome'][] = ['refused', 'question', 'duplicate', 'change', 'add', 'same'];

export const worstRowsFirst = (rows: readonly ImportRow[]): ImportRow[] =>
  [...rows].sort((a, b) => ORDER.indexOf(a.outcome) - ORDER.indexOf(b.outcome) || a.rowNumber - b.rowNumber);

/** How many rows would be entered. */
export const takenCount = ({ counts }: Pick<DryRun, 'counts'>): number => counts.add + counts.change;

/** Why no row could be read, with what can be chosen to mend it. */
export type Unread =
  | { readonly code: 'sheet-not-chosen'; readonly options: readonly string[] }
  | { readonly code: 'table-without-heading-row' }
  | { readonly code: 'text-not-decodable' }
  | { readonly code: 'import-label-column-missing'; readonly options: readonly string[] };

/** The document leaves open what goes with each code: taken apart here, and never trusted to be there. */
export function unreadOf({ unread }: Pick<DryRun, 'unread'>): Unread | null {
  if (unread === null) return null;
  const texts = (value: unknown): string[] => (Array.isArray(value) ? value.filter((one) => typeof one === 'string') : []);
  switch (unread.code) {
    case 'sheet-not-chosen':
      return { code: unread.code, options: texts(unread.sheets) };
    case 'import-label-column-missing':
      return { code: unread.code, options: texts(unread.headings) };
    case 'text-not-decodable':
      return { code: unread.code };
    default:
      return { code: 'table-without-heading-row' };
  }
}
