import { MAX_CELL_CHARS } from './file-limits.ts';
import type { Cell, CellFault } from './table.ts';

/** Enough to recognise the cell in a report, and little enough that a hostile one does not fill it. */
const SHOWN_CHARS = 200;
// Control characters but tab, line feed and carriage return, and those that Windows-1252 leaves undefined.
const CONTROL = /[\u0001-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]/;
const LONE_SURROGATE = /\p{Surrogate}/u;
const REPLACEMENT = '\uFFFD';

/** Text as it may be kept, or why it may not. NUL fails in the database, a lone surrogate would silently become another letter. */
function textFault(text: string): CellFault | null {
  if (text.length > MAX_CELL_CHARS) return 'cell-too-long';
  if (text.includes('\0')) return 'nul-character';
  if (LONE_SURROGATE.test(text)) return 'lone-surrogate';
  if (CONTROL.test(text)) return 'control-character';
  if (text.includes(REPLACEMENT)) return 'damaged-character';
  return null;
}

export function textCell(text: string, formula: string | null): Cell | null {
  const fault = textFault(text);
  if (fault !== null) return { kind: 'fault', fault, shown: printable(text), formula };
  if (text.trim() === '' && formula === null) return null;
  return { kind: 'text', shown: text, formula };
}

/** The text with what cannot be printed or kept shown as U+FFFD, cut to a length for a report. */
export function printable(text: string): string {
  const cut = text.length > SHOWN_CHARS ? `${text.slice(0, SHOWN_CHARS)}…` : text;

  return cut.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]|\p{Surrogate}/gu, REPLACEMENT);
}
