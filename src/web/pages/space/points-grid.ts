import type { RoofPoint } from '../../../domain/roof/structure.ts';
import { pastedBlock } from '../../parts/pasted-block.ts';
import { lengthField, massField, readLength, readMass, type Entered, type Units } from '../../units/units.ts';

/** The columns of the grid, in the order that a pasted block fills them. */
export const COLUMNS = ['label', 'x', 'y', 'z', 'wll', 'state'] as const;
export type Column = (typeof COLUMNS)[number];
/** Texts as typed, in the units of the switch when the grid was opened. */
export type Row = {
  readonly id: string;
  readonly base: RoofPoint | null;
  readonly cells: Readonly<Record<Column, string>>;
  readonly removed: boolean;
};
export const STATES = ['inService', 'restricted', 'outOfService'] as const;

const DEFAULT_TERMS = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };

export function rowOf(point: RoofPoint, units: Units): Row {
  return {
    id: point.id,
    base: point,
    removed: false,
    cells: {
      label: point.label,
      x: lengthField(point.xM, units),
      y: lengthField(point.yM, units),
      z: lengthField(point.zM, units),
      wll: point.wllKg === null ? '' : massField(point.wllKg, units),
      state: point.state,
    },
  };
}

export const emptyRow = (id: string): Row => ({
  id,
  base: null,
  removed: false,
  cells: { label: '', x: '', y: '', z: '', wll: '', state: 'inService' },
});

export const isChanged = (row: Row, units: Units): boolean =>
  row.removed || row.base === null || COLUMNS.some((column) => row.cells[column] !== rowOf(row.base!, units).cells[column]);

export type RowFaults = Partial<Record<Column, 'empty' | 'not-a-number' | 'ambiguous' | 'unit' | 'state'>>;

/** The point that a row says, or what is wrong cell by cell. A field that nobody touched keeps its number to the last digit. */
export function pointOf(row: Row, units: Units): { point: RoofPoint; faults: null } | { point: null; faults: RowFaults } {
  const { cells, base } = row;
  const faults: RowFaults = {};
  const before = base === null ? null : rowOf(base, units).cells;
  const number = (column: 'x' | 'y' | 'z', was: number | undefined): number => {
    if (before !== null && was !== undefined && cells[column] === before[column]) return was;
    return take(column, readLength(cells[column], units));
  };
  const take = (column: Column, entered: Entered): number => {
    if (entered.ok) return entered.value;
    faults[column] = entered.fault;
    return 0;
  };
  const label = cells.label.trim();
  if (label === '') faults.label = 'empty';
  const state = STATES.find((one) => one === cells.state);
  if (state === undefined) faults.state = 'state';
  const [xM, yM, zM] = [number('x', base?.xM), number('y', base?.yM), number('z', base?.zM)];
  let wllKg: number | null = null;
  if (before !== null && cells.wll === before.wll) wllKg = base!.wllKg;
  else if (cells.wll.trim() !== '') wllKg = take('wll', readMass(cells.wll, units));
  if (Object.keys(faults).length > 0 || state === undefined) return { point: null, faults };
  const rest = base ?? {
    on: [],
    reductions: [],
    maxAngleDeg: null,
    maxSidewaysKn: null,
    attachment: null,
    access: null,
    stateReason: null,
    outOfService: [],
    inspectionDueDay: null,
    stiffnessKnPerM: null,
    terms: DEFAULT_TERMS,
  };
  return { point: { ...rest, id: row.id, label, xM, yM, zM, wllKg, state }, faults: null };
}

/**
 * A block from a spreadsheet, put in from one cell on to the right and down. Rows that the grid does not have are added.
 * @param newId  an id for each added row
 */
export function pasted(rows: readonly Row[], rowIndex: number, column: Column, text: string, newId: () => string): Row[] {
  const block = pastedBlock(text) ?? [[text]];
  const from = COLUMNS.indexOf(column);
  const next = [...rows];
  for (const [offset, texts] of block.entries()) {
    const at = rowIndex + offset;
    const row = next[at] ?? emptyRow(newId());
    const cells = { ...row.cells };
    for (const [aside, cell] of texts.entries()) {
      const target = COLUMNS[from + aside];
      if (target !== undefined) cells[target] = target === 'state' ? stateOf(cell) : cell.trim();
    }
    next[at] = { ...row, cells };
  }
  return next;
}

/** The words that the grid itself shows are understood too. */
function stateOf(text: string): string {
  const bare = text.trim().toLowerCase().replace(/\s+/g, ' ');
  return { 'in service': 'inService', restricted: 'restricted', 'out of service': 'outOfService' }[bare] ?? text.trim();
}
