import type { FieldSpec } from './field-spec.ts';
import { KINDS, type ImportKind } from './import-fields.ts';
import { toSi, unitOfWord, type Unit, type UnitWord } from './units-of-measure.ts';

/** `remark` is what stood in brackets and is no unit: it may change what the column means, so such a match is doubtful. */
export type HeadingMatch = { field: string; sure: boolean; unit: UnitWord | null; remark: string | null };
type Reading = { key: string; unit: UnitWord | null; remark: string | null };

const BRACKETED = /^([^[({]*)[[({]([^\])}]*)[\])}]([^[({]*)$/s;
const MAX_HEADING_CHARS = 200;
const LINKING = /^(?:in|en)\s+/i;

type Named = { spec: FieldSpec; sure: boolean };
const TABLE_KINDS = Object.keys(KINDS) as ImportKind[];
const FIELDS_OF_KEY: ReadonlyMap<ImportKind, ReadonlyMap<string, readonly Named[]>> = new Map(
  TABLE_KINDS.map((kind) => [kind, fieldsOfKey(KINDS[kind].fields)]),
);

function fieldsOfKey(fields: readonly FieldSpec[]): ReadonlyMap<string, readonly Named[]> {
  const found = new Map<string, Named[]>();
  const add = (key: string, named: Named): void => void found.set(key, [...(found.get(key) ?? []), named]);
  for (const spec of fields) for (const key of spec.headings.sure) add(key, { spec, sure: true });
  for (const spec of fields) for (const key of spec.headings.doubtful) add(key, { spec, sure: false });
  return found;
}

/** Lower case, no accents, no dots of abbreviations, words parted by one space: "W.L.L." → "wll", "Zul. Last" → "zul last". */
export function headingKey(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/ß/g, 'ss')
    .replace(/œ/g, 'oe')
    .replace(/\b(\p{L})\.(?=\p{L}\b)/gu, '$1')
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/** The ways a heading may part into name and unit, surest first: "WLL [kg]", "x mm", "Height ft", "WLL in kg", "Load/lb". */
function readings(heading: string, unitText: string | null): Reading[] {
  const text = heading.replace(/\s+/g, ' ').trim();
  const below = unitText === null ? null : unitOfWord(unitText.replace(/^[[({]|[\])}]$/g, ''));
  const found: Reading[] = [];
  const bracketed = BRACKETED.exec(text);
  if (bracketed) {
    const [, before = '', inside = '', after = ''] = bracketed;
    const unit = unitOfWord(inside.replace(LINKING, ''));
    const key = headingKey(`${before} ${after}`);
    // A unit in brackets and another in the row below contradict each other; the column is then as doubtful as an odd remark.
    const contradicts = unit !== null && below !== null && unit !== below;
    found.push({ key, unit: unit ?? below, remark: unit === null || contradicts ? inside.trim() : null });
  }
  for (const gap of text.matchAll(/[\s,;:/_-]+/g)) {
    const unit = unitOfWord(text.slice(gap.index + gap[0].length).replace(LINKING, ''));
    const name = text.slice(0, gap.index).replace(/\s(?:in|en)$/i, '');
    if (unit !== null && name !== '' && (below === null || below === unit)) found.push({ key: headingKey(name), unit, remark: null });
  }
  found.push({ key: headingKey(text), unit: below ?? unitOfWord(text), remark: null }); // "kg per m" is a name and a unit
  return found;
}

/** The field that a heading names in a table of that kind, or null. A unit that cannot measure the field makes the match doubtful. */
export function matchHeading(kind: ImportKind, heading: string, unitText: string | null): HeadingMatch | null {
  if (heading.length > MAX_HEADING_CHARS) return null;
  let doubtful: HeadingMatch | null = null;
  for (const { key, unit, remark } of readings(heading, unitText)) {
    for (const { spec, sure } of FIELDS_OF_KEY.get(kind)?.get(key) ?? []) {
      const fits = unit === null || measures(spec, unit);
      const match = { field: spec.field, sure: sure && fits && remark === null, unit: fits ? unit : null, remark: fits ? remark : unit };
      if (match.sure) return match;
      doubtful ??= match;
    }
  }
  return doubtful;
}

export function measures(spec: FieldSpec, unit: UnitWord): boolean {
  if (spec.is !== 'number') return false;
  const sample: Unit = unit === 'ton' ? 't' : unit;
  return toSi(spec.quantity, 1, sample) !== null;
}

/** How many different fields a row names, by whichever kind it names more of. */
export function recognisedHeadings(cells: readonly string[]): number {
  const counted = (kind: ImportKind): number =>
    new Set(cells.map((cell) => matchHeading(kind, cell, null)?.field ?? null).filter((field) => field !== null)).size;
  return Math.max(...TABLE_KINDS.map(counted));
}

/** The unit that a heading says for a field, however the rest of it reads. Null also where the heading and the row below differ. */
export function unitOfHeading(heading: string, unitText: string | null, spec: FieldSpec): UnitWord | null {
  const said = new Set(readings(heading, unitText).flatMap(({ unit }) => (unit !== null && measures(spec, unit) ? [unit] : [])));
  const [only = null] = said;
  return said.size === 1 ? only : null;
}
