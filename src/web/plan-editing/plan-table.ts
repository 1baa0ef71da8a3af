import { parse } from 'csv-parse/browser/esm/sync';
import type { Hang, MassBasis, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { pastedBlock } from '../parts/pasted-block.ts';
import { emptyRow, withCell, type Column, type Row } from '../parts/typed-rows.ts';
import { words } from '../words.ts';
import { movedUnder, withHang } from './edit-hang.ts';
import { hangUnder } from './new-hang.ts';

/** One hang of a table: what it is called, under which point, how heavy, how high. */
export type TableHang = { label: string; pointId: string; massKg: number | null; trimM: number | null };

export const tableColumns = (points: readonly RoofPoint[]): Column<keyof TableHang>[] => [
  { name: 'label', label: words.planTable.columns.label, of: 'text' },
  { name: 'pointId', label: words.planTable.columns.pointId, of: 'named', among: points },
  { name: 'massKg', label: words.planTable.columns.massKg, of: 'mass', optional: true },
  { name: 'trimM', label: words.planTable.columns.trimM, of: 'length', optional: true },
];

/** What riggers head their columns with. Common practice, no source. */
const HEADINGS: Record<keyof TableHang, readonly string[]> = {
  label: ['hang', 'label', 'name', 'item', 'what', 'description'],
  pointId: ['point', 'hang point', 'rigging point', 'pt', 'position'],
  massKg: ['mass', 'weight', 'load'],
  trimM: ['trim', 'trim height', 'height'],
};
const UNITS = { massKg: /^(kg|lbs?|kn|t|tons?)$/, trimM: /^(mm|cm|m|ft)$/ } as const;
/** A ton of which kind is not known: written so that the cell says so. */
const NO_UNIT = /^(t|tons?)$/;
export const MOST_ROWS = 500;

/** `unread`: headings that tell nothing of a hang that is taken in. */
export type ReadTable = { readonly rows: Row[]; readonly unread: readonly string[] };
type Heading = { readonly field: keyof TableHang; readonly unit: string };
export type TableFault = { readonly code: 'empty' | 'unreadable' } | { readonly code: 'too-many'; readonly rows: number };

/**
 * Texts of a table, cell by cell, for the person to look at and mend; nothing is guessed that a heading does not say.
 * Columns are told by their headings, in any order; without headings they are label, point, mass, trim. A unit in a heading goes to
 * each number under it.
 * @param text  a block copied from a spreadsheet, or the text of a CSV file
 */
export function rowsOfTable(text: string): Result<ReadTable, TableFault> {
  const cells = cellsOf(text);
  if (cells === null) return fail({ code: 'unreadable' });
  const filled = cells.filter((row) => row.some((cell) => cell.trim() !== ''));
  const found = filled[0]?.map(headingOf) ?? [];
  const hasHeadings = found.some((heading) => heading?.field === 'label') && found.some((heading) => heading?.field === 'pointId');
  const headings: readonly (Heading | null)[] = hasHeadings ? found : FIELDS.map((field) => ({ field, unit: '' }));
  const body = hasHeadings ? filled.slice(1) : filled;
  if (body.length === 0) return fail({ code: 'empty' });
  if (body.length > MOST_ROWS) return fail({ code: 'too-many', rows: body.length });
  const rows = body.map((row, key) =>
    headings.reduce<Row>((made, heading, at) => {
      const cell = row[at]?.trim() ?? '';
      return heading === null || cell === '' ? made : withCell([made], key, heading.field, withUnit(cell, heading.unit))[0]!;
    }, emptyRow(key)),
  );
  const unread = hasHeadings ? (filled[0] ?? []).filter((cell, at) => found[at] === null && cell.trim() !== '') : [];
  return ok({ rows, unread });
}

const FIELDS = Object.keys(HEADINGS) as (keyof TableHang)[];
const withUnit = (cell: string, unit: string): string => (unit !== '' && /\d$/.test(cell) ? `${cell} ${unit}` : cell);

function headingOf(cell: string): Heading | null {
  const said = cell
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word !== '');
  for (const field of FIELDS) {
    const unitOf = field === 'massKg' || field === 'trimM' ? UNITS[field] : null;
    const unit = said.find((word) => unitOf?.test(word)) ?? '';
    const name = said.filter((word) => word !== unit).join(' ');
    if (HEADINGS[field].includes(name)) return { field, unit: NO_UNIT.test(unit) ? 'tons' : unit };
  }
  return null;
}

/** Tabs from a spreadsheet; else a CSV file, whose separator is the sign that its first line has most of. */
function cellsOf(text: string): string[][] | null {
  if (text.trim() === '') return [];
  if (text.includes('\t')) return pastedBlock(text) ?? [[text]];
  const first = text.split(/\r?\n/, 1)[0] ?? '';
  const delimiter = (first.match(/;/g) ?? []).length > 0 ? ';' : ',';
  try {
    return parse(text, { bom: true, delimiter, relax_column_count: true, skip_empty_lines: true });
  } catch {
    return null;
  }
}

/** What would come of a row: `mend` where it says why not. */
export type RowOutcome =
  | { readonly outcome: 'add' }
  | { readonly outcome: 'same' }
  | { readonly outcome: 'change'; readonly hang: Hang }
  | { readonly outcome: 'mend'; readonly why: string };

/** Each row beside the plan: a hang of the same name is changed, where it is one pick on one line; twice in the table is refused. */
export function outcomesOf(plan: Plan, rows: readonly TableHang[]): RowOutcome[] {
  return rows.map((row, at): RowOutcome => {
    if (rows.findIndex(({ label }) => label === row.label) < at) return { outcome: 'mend', why: words.planTable.twice };
    const [hang, ...more] = plan.hangs.filter(({ label }) => label === row.label);
    if (!hang) return { outcome: 'add' };
    const [pickUp, ...others] = hang.pickUps;
    const pointId = pickUp?.attachment.kind === 'direct' ? pickUp.attachment.pointId : null;
    const isPlain = hang.kind === 'single' && hang.items.length === 1 && pointId !== null && others.length === 0;
    if (more.length > 0 || !isPlain) return { outcome: 'mend', why: words.planTable.notPlain };
    const stays = (said: number | null, was: number | null | undefined) => said === null || said === was;
    const isSame = pointId === row.pointId && stays(row.massKg, hang.items[0]?.massKg) && stays(row.trimM, hang.trim?.heightM);
    return isSame ? { outcome: 'same' } : { outcome: 'change', hang };
  });
}

/**
 * The plan with the hangs of a table in it: single picks straight under their points, by the hoist that the plan has. What the table
 * does not say stays not stated; of a hang that is there, what it does not say stays as it was.
 */
export function withTable(
  plan: Plan,
  points: readonly RoofPoint[],
  rows: readonly TableHang[],
  basis: MassBasis | null,
  newId: () => string,
): Plan {
  const outcomes = outcomesOf(plan, rows);
  return rows.reduce((next, { label, pointId, massKg, trimM }, at) => {
    const point = points.find(({ id }) => id === pointId);
    const found = outcomes[at];
    if (!point || found === undefined || found.outcome === 'same' || found.outcome === 'mend') return next;
    const made = found.outcome === 'change' ? { plan: next, hangId: found.hang.id } : hangUnder(next, point, 'single', label, newId);
    const hang = made.plan.hangs.find(({ id }) => id === made.hangId);
    const pickUp = hang?.pickUps[0];
    if (!hang || !pickUp) return next;
    const there = found.outcome === 'change' ? movedUnder(hang, pickUp, point) : hang;
    const [item, ...rest] = there.items;
    return withHang(made.plan, {
      ...there,
      items: item && massKg !== null ? [{ ...item, massKg, basis }, ...rest] : there.items,
      trim: trimM === null ? there.trim : { heightM: trimM, of: there.trim?.of ?? 'lowestCorner' },
    });
  }, plan);
}
