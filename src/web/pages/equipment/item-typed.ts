import { checkItem } from '../../../domain/equipment/check-item.ts';
import { BLANKS } from '../../../domain/plan/blank-equipment.ts';
import { readRows, rowsOf, type ReadRows, type Row } from '../../parts/typed-rows.ts';
import { lengthField, massField, readLength, readMass, type Entered, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { fieldsOf, type FactField, type ItemData, type ItemKind } from './item-fields.ts';

/** As typed: a text by each fact (`cg.uM` and `cg.vM` for a place), rows by each table. Empty = not stated. */
export type TypedItem = { readonly texts: Readonly<Record<string, string>>; readonly rows: Readonly<Record<string, readonly Row[]>> };

const METRES: Units = { mass: 'kg', length: 'm' };
const SIDES = ['uM', 'vM'] as const;
type Facts = Readonly<Record<string, unknown>>;
type Span = { spanM: number; evenKgPerM: number | null; points: { count: number; eachKg: number } | null };
type FlatSpan = { spanM: number; evenKgPerM: number | null; count: number | null; eachKg: number | null };

const numberText = (value: unknown, text: (value: number) => string): string => (typeof value === 'number' ? text(value) : '');

/** What a version states, as the form shows it. */
export function typedItem(data: ItemData, units: Units): TypedItem {
  const facts = data as Facts;
  const texts: Record<string, string> = { name: data.name };
  const rows: Record<string, readonly Row[]> = {};
  for (const field of fieldsOf(data.kind, data.kind === 'part' ? data.part : '')) {
    const value = facts[field.fact];
    if (field.of === 'rows') rows[field.fact] = rowsOf(field.columns, rowValues(field.fact, value), units);
    else if (field.of === 'place')
      for (const side of SIDES)
        texts[`${field.fact}.${side}`] = numberText((value as Facts | null)?.[side], (lengthM) => lengthField(lengthM, units));
    else texts[field.fact] = factInput(field, value, units);
  }
  return { texts, rows };
}

const rowValues = (fact: string, value: unknown): readonly object[] => {
  const rows = (value ?? []) as readonly object[];
  return fact === 'spanTable'
    ? (rows as readonly Span[]).map(({ points, ...rest }) => ({ ...rest, count: points?.count ?? null, eachKg: points?.eachKg ?? null }))
    : rows;
};

function factInput({ of }: FactField, value: unknown, units: Units): string {
  switch (of) {
    case 'mass':
      return numberText(value, (massKg) => massField(massKg, units));
    case 'length':
      return numberText(value, (lengthM) => lengthField(lengthM, units));
    case 'plain':
      return numberText(value, (number) => lengthField(number, METRES));
    case 'list':
      return ((value ?? []) as number[]).join('; ');
    case 'several':
      return ((value ?? []) as string[]).join(' ');
    case 'yesNo':
      return value === true ? 'yes' : value === false ? 'no' : '';
    default:
      return typeof value === 'string' ? value : '';
  }
}

export type ReadItem = {
  /** Null where something cannot be read, or cannot be. */
  readonly data: ItemData | null;
  /** By the name of the text. */
  readonly faults: Readonly<Record<string, string>>;
  readonly rowFault: (fact: string, key: number, name: string) => string | null;
  readonly others: readonly string[];
};

/**
 * The entry that the form says; else what is wrong, field by field: what cannot be read, then what the catalogue's own rules refuse.
 * @param began  the version that the form began with: a number that nobody touched keeps its last digit
 */
export function readItem(kind: ItemKind, { texts, rows }: TypedItem, began: ItemData | null, units: Units): ReadItem {
  const faults: Record<string, string> = {};
  const before = began?.kind === kind ? typedItem(began, units).texts : {};
  const was: Facts = began?.kind === kind ? began : {};
  const take = (name: string, read: (text: string) => Entered, old: unknown): number | null => {
    const text = texts[name] ?? '';
    if (text.trim() === '') return null;
    if (typeof old === 'number' && text === before[name]) return old;
    const entered = read(text);
    if (entered.ok) return entered.value;
    faults[name] = words.points.faults[entered.fault];
    return null;
  };
  const length = (text: string) => readLength(text, units);
  const plain = (text: string) => readLength(text, METRES);
  const tables: Record<string, ReadRows<object>> = {};
  const rowFaults = new Map<string, string>();
  const factOf = (field: FactField): unknown => {
    const { fact } = field;
    const text = (texts[fact] ?? '').trim();
    switch (field.of) {
      case 'mass':
        return take(fact, (typed) => readMass(typed, units), was[fact]);
      case 'length':
        return take(fact, length, was[fact]);
      case 'plain':
        return take(fact, plain, was[fact]);
      case 'yesNo':
        return text === '' ? null : text === 'yes';
      case 'several':
        return text === '' ? null : text.split(' ');
      case 'list': {
        const read = text
          .split(';')
          .filter((one) => one.trim() !== '')
          .map(plain);
        if (read.some(({ ok }) => !ok)) faults[fact] = words.equipment.listFault;
        return read.flatMap((one) => (one.ok ? [one.value] : []));
      }
      case 'place': {
        const [uM, vM] = SIDES.map((side) => take(`${fact}.${side}`, length, (was[fact] as Facts | null | undefined)?.[side]));
        for (const [at, one] of [uM, vM].entries())
          if (one === null && [uM, vM].some((other) => other !== null)) faults[`${fact}.${SIDES[at]!}`] ??= words.points.faults.empty;
        return uM === null || vM === null ? null : { uM, vM };
      }
      case 'rows': {
        const read = readRows<object>(field.columns as never, rows[fact] ?? [], units);
        tables[fact] = read;
        if (read.rows === null) return [];
        if (fact !== 'spanTable') return read.rows;
        const spans = read.rows as readonly FlatSpan[];
        for (const [at, { count, eachKg }] of spans.entries())
          if ((count === null) !== (eachKg === null))
            rowFaults.set(`${fact} ${read.keys[at]!} ${count === null ? 'count' : 'eachKg'}`, words.points.faults.empty);
        return spans.map(spanOf);
      }
      default:
        return text === '' ? null : text;
    }
  };
  const name = (texts.name ?? '').trim();
  if (name === '') faults.name = words.points.faults.empty;
  const stated = Object.fromEntries(fieldsOf(kind, texts.part ?? '').map((field) => [field.fact, factOf(field)]));
  if (kind === 'part' && stated.part === null) faults.part = words.points.faults.empty;
  const isRead = Object.keys(faults).length === 0 && rowFaults.size === 0 && Object.values(tables).every((table) => table.rows !== null);
  const data = isRead ? ({ kind, name, ...BLANKS[kind], ...stated } as ItemData) : null; // every fact was read as its kind says
  const checked = data === null ? null : checkItem(data);
  const impossible = checked === null || checked.ok ? [] : checked.error.faults;
  const others: string[] = [];
  for (const { pointer, message } of impossible) {
    const [fact = '', index, ...rest] = pointer.slice(1).split('/');
    const table = tables[fact];
    const key = table?.keys[Number(index)];
    if (table && key !== undefined && rest.length > 0) rowFaults.set(`${fact} ${key} ${rest.at(-1)!}`, message);
    else if (table) others.push(`${words.equipment.rowOf(Number(index) + 1)} ${message}`);
    else
      faults[
        index !== undefined && SIDES.some((side) => side === index) ? `${fact}.${index}` : placeOrFact(kind, texts.part ?? '', fact)
      ] ??= message;
  }
  return {
    data: impossible.length === 0 ? data : null,
    faults,
    rowFault: (fact, key, column) => tables[fact]?.fault(key, column) ?? rowFaults.get(`${fact} ${key} ${column}`) ?? null,
    others,
  };
}

/** What is said of a place as a whole stands at its first number. */
const placeOrFact = (kind: ItemKind, part: string, fact: string): string =>
  fieldsOf(kind, part).some((field) => field.fact === fact && field.of === 'place') ? `${fact}.uM` : fact;

/** Called where both numbers of a pattern of point loads are stated, or neither. */
const spanOf = ({ spanM, evenKgPerM, count, eachKg }: FlatSpan): Span => ({
  spanM,
  evenKgPerM,
  points: count === null && eachKg === null ? null : { count: count ?? 0, eachKg: eachKg ?? 0 },
});
