import type { SpanTableEntry } from '../../domain/plan/equipment-data.ts';
import { forceText, lengthText, massText, type Units } from '../units/units.ts';
import { words } from '../words.ts';

/** What a fact is called; its SI name where the catalogue of texts has none. */
export const factName = (fact: string): string => words.facts[fact as keyof typeof words.facts] ?? fact;

/** As it stands in the table or the version, in SI. */
export function valueText(value: unknown): string {
  if (value === null || value === undefined) return words.notStated;
  if (typeof value === 'boolean') return value ? words.yes : words.no;
  return typeof value === 'string' || typeof value === 'number' ? String(value) : JSON.stringify(value);
}

/** In the person's units, by the unit that ends the fact's name. A fact states a rating or a mass: it is rounded as each must be. */
export function factText(fact: string, value: unknown, units: Units): string {
  if (fact === 'spanTable' && isSpanTable(value)) return spanTableText(value, units);
  if (typeof value !== 'number') return valueText(value);
  if (fact === 'wllKg' || fact === 'catchesKg') return massText(value, units, 'capacity');
  if (/[a-z]Kg$/.test(fact)) return massText(value, units, 'load');
  if (/[a-z]Kn$/.test(fact)) return forceText(value, units, fact === 'breakingKn' ? 'capacity' : 'load');
  return /[a-z]M$/.test(fact) && !fact.endsWith('PerM') ? lengthText(value, units) : String(value);
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
