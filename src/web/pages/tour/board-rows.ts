import type { components } from '../../api/generated/schema.ts';

export type BoardRow = components['schemas']['BoardRow'];
export const FILTERS = ['all', 'open', 'ours', 'theirs', 'trouble'] as const;
export type BoardFilter = (typeof FILTERS)[number];

export function matches({ proposal }: BoardRow, filter: BoardFilter): boolean {
  switch (filter) {
    case 'all':
      return true;
    case 'open':
      return proposal === null || !['agreed', 'agreed_with_conditions', 'struck', 'withdrawn'].includes(proposal.state);
    case 'ours':
      return proposal === null || proposal.whoseTurn === 'tour';
    case 'theirs':
      return proposal?.whoseTurn === 'venue';
    case 'trouble':
      return proposal !== null && (proposal.stale || proposal.suspended || ['over', 'unknown'].includes(proposal.worst?.verdict ?? 'fits'));
  }
}

/** @source RFC 4180; a text that a spreadsheet would read as a formula is kept a text by a leading apostrophe */
export function csvOf(rows: readonly (readonly (string | number)[])[]): string {
  const cell = (value: string | number): string => {
    const text = typeof value === 'string' && /^[=+\-@\t\r]/.test(value) ? `'${value}` : String(value);
    return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return rows.map((row) => row.map(cell).join(',')).join('\r\n') + '\r\n';
}
