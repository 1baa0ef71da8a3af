import type { SpanTableEntry } from '../../domain/plan/equipment-data.ts';
import { forceText, lengthText, massText, type Units } from '../units/units.ts';
import { words } from '../words.ts';

/** What a fact is called; its SI name where the catalogue of texts has none. */
export const factName = (fact: string): string => words.facts[fact as keyof typeof words.facts] ?? fact;

const CHOICES: Readonly<Record<string, Readonly<Record<string, string>>>> = words.equipment.choices;

/** As it stands in the table or the version, in SI. */
export function valueText(value: unknown): string {
  if (value === null || value === undefined) return words.notStated;
  if (typeof value === 'boolean') return value ? words.yes : words.no;
  return typeof value === 'string' || typeof value === 'number' ? String(value) : JSON.stringify(value);
}

/** In the person's units, by the unit that ends the fact's name. A fact states a rating or a mass: it is rounded as each must be. */
export function factText(fact: string, value: unknown, units: Units): string {
  if (fact === 'spanTable' && isSpanTable(value)) return spanTableText(value, units);
  if (typeof value === 'string') return (CHOICES[fact] ?? {})[value] ?? value;
  if (isPlace(value)) return placeText(value, units);
  if (Array.isArray(value)) return value.length === 0 ? words.notStated : value.map((one) => factText(fact, one, units)).join('; ');
  if (typeof value !== 'number') return valueText(value);
  if (fact === 'wllKg' || fact === 'catchesKg') return massText(value, units, 'capacity');
  if (/[a-z]Kg$/.test(fact)) return massText(value, units, 'load');
  if (/[a-z]Kn$/.test(fact)) return forceText(value, units, fact === 'breakingKn' ? 'capacity' : 'load');
  return /[a-z]M$/.test(fact) && !fact.endsWith('PerM') ? lengthText(value, units) : String(value);
}

type Place = { readonly uM: number; readonly vM: number; readonly id?: string; readonly wllKg?: number | null };
const isPlace = (value: unknown): value is Place => typeof value === 'object' && value !== null && 'uM' in value && 'vM' in value;

/** A place in a side plane; of a hole its id before it, and its WLL after it. */
function placeText({ uM, vM, id, wllKg }: Place, units: Units): string {
  const place = words.equipment.placeText(lengthText(uM, units), lengthText(vM, units));
  const rating = typeof wllKg === 'number' ? ` (${massText(wllKg, units, 'capacity')})` : '';
  return `${id === undefined ? '' : `${id}: `}${place}${rating}`;
}

const isSpanTable = (value: unknown): value is readonly SpanTableEntry[] =>
  Array.isArray(value) && value.every((entry) => typeof entry === 'object' && entry !== null && 'spanM' in entry);

function spanTableText(table: readonly SpanTableEntry[], units: Units): string {
  if (table.length === 0) return words.notStated;
  const rows = table.map(({ spanM, evenKgPerM, points }) =>
    words.equipment.span(
      lengthText(spanM, units),
      evenKgPerM,
      points === null ? null : { count: points.count, each: massText(points.eachKg, units, 'capacity') },
    ),
  );
  return rows.join('; ');
}
