import { lengthField, massField, readLength, readMass, type Entered, type Units } from '../units/units.ts';
import { words } from '../words.ts';
import { pastedBlock } from './pasted-block.ts';

type Named = { readonly id: string; readonly label: string };
/** A column of a small table. `named`: what is typed is the label of one of these, and its id is what is meant. */
export type Column<Name extends string = string> = {
  readonly name: Name;
  readonly label: string;
} & (
  | { readonly of: 'length' | 'mass' | 'plain'; readonly optional?: true }
  | { readonly of: 'named'; readonly among: readonly Named[]; readonly optional?: true }
  | { readonly of: 'text' }
);
/** As typed. What stands as it began keeps its value to the last digit. */
export type Cell = { readonly text: string; readonly began?: { readonly text: string; readonly value: string | number } };
export type Row = { readonly key: number; readonly cells: Readonly<Record<string, Cell>> };
type Value = string | number | null;

export const emptyRow = (key: number): Row => ({ key, cells: {} });

export function rowsOf(columns: readonly Column[], values: readonly object[], units: Units): Row[] {
  return values.map((value, key) => ({
    key,
    cells: Object.fromEntries(
      columns.flatMap((column): [string, Cell][] => {
        const was = (value as Record<string, Value>)[column.name];
        if (was === null || was === undefined) return [];
        const text = textOf(column, was, units);
        return [[column.name, { text, began: { text, value: was } }]];
      }),
    ),
  }));
}

function textOf(column: Column, value: string | number, units: Units): string {
  if (column.of === 'named') return column.among.find(({ id }) => id === value)?.label ?? words.checks.gone;
  if (column.of === 'text') return String(value);
  if (column.of === 'mass') return massField(Number(value), units);
  return column.of === 'length' ? lengthField(Number(value), units) : lengthField(Number(value), METRES);
}

const isEmpty = ({ cells }: Row): boolean => Object.values(cells).every(({ text }) => text.trim() === '');

export type ReadRows<T> = {
  /** What the rows say; null where one of them cannot be read. */
  readonly rows: readonly T[] | null;
  /** What is wrong with a cell, by the key of its row and the name of its column. */
  readonly fault: (key: number, name: string) => string | null;
  /** Which row each of `rows` stands in. */
  readonly keys: readonly number[];
};

/** Reads what is typed; a row with nothing in it is not there. */
export function readRows<T>(columns: readonly Column<keyof T & string>[], rows: readonly Row[], units: Units): ReadRows<T> {
  const faults = new Map<string, string>();
  const told = rows.filter((row) => !isEmpty(row));
  const read = told.map(({ key, cells }) =>
    Object.fromEntries(
      columns.map((column): [string, Value] => {
        const found = readCell(column, cells[column.name] ?? { text: '' }, units);
        if (found.fault !== null) faults.set(`${key} ${column.name}`, found.fault);
        return [column.name, found.value];
      }),
    ),
  );
  return {
    rows: faults.size === 0 ? (read as T[]) : null, // each column was read as its kind says
    fault: (key, name) => faults.get(`${key} ${name}`) ?? null,
    keys: told.map(({ key }) => key),
  };
}

type ReadCell = { readonly value: Value; readonly fault: string | null };

function readCell(column: Column, { text, began }: Cell, units: Units): ReadCell {
  if (began !== undefined && text === began.text) return { value: began.value, fault: null };
  if (column.of === 'named') {
    const label = text.trim();
    if (column.optional && label === '') return { value: null, fault: null };
    const found = column.among.find((one) => one.label.trim() === label);
    if (found) return { value: found.id, fault: null };
    return { value: null, fault: label === '' ? words.points.faults.empty : words.rows.noSuch(label) };
  }
  if (column.of === 'text')
    return text.trim() === '' ? { value: null, fault: words.points.faults.empty } : { value: text.trim(), fault: null };
  if (column.optional && text.trim() === '') return { value: null, fault: null };
  const entered = readNumberOf(column.of, text, units);
  return entered.ok ? { value: entered.value, fault: null } : { value: null, fault: words.points.faults[entered.fault] };
}

/** A bare number is read and written as a length in metres is: the same digits, the same doubts. */
const METRES: Units = { mass: 'kg', length: 'm' };

/** A number as a field of its kind takes it; `plain` has no unit but the one that its label says. */
function readNumberOf(of: 'length' | 'mass' | 'plain', text: string, units: Units): Entered {
  if (of === 'mass') return readMass(text, units);
  return readLength(text, of === 'length' ? units : METRES);
}

export function withCell(rows: readonly Row[], key: number, name: string, text: string): Row[] {
  return rows.map((row) => (row.key === key ? { ...row, cells: { ...row.cells, [name]: { ...row.cells[name], text } } } : row));
}

export const nextKey = (rows: readonly Row[]): number => rows.reduce((most, { key }) => Math.max(most, key), -1) + 1;

/** A block from a spreadsheet, put in from one cell on to the right and down; rows that are not there are added. Null: it is one cell. */
export function withPasted(columns: readonly Column[], rows: readonly Row[], key: number, name: string, text: string): Row[] | null {
  const block = pastedBlock(text);
  if (block === null) return null;
  const [top, left] = [rows.findIndex((row) => row.key === key), columns.findIndex((column) => column.name === name)];
  let next = [...rows];
  for (const [down, texts] of block.entries()) {
    if (next[top + down] === undefined) next = [...next, emptyRow(nextKey(next))];
    for (const [right, cell] of texts.entries()) {
      const [row, column] = [next[top + down], columns[left + right]];
      if (row && column) next = withCell(next, row.key, column.name, cell.trim());
    }
  }
  return next;
}
