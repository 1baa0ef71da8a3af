import type { Reckoning } from '../../domain/statics/hoist-line-reckoning.ts';
import type { Calculated } from './calculator.ts';

const UNITS: readonly (readonly [suffix: string, unit: string])[] = [
  ['KgM', 'kg·m'],
  ['Knm', 'kNm'],
  ['Deg', '°'],
  ['M2', 'm²'],
  ['Kn', 'kN'],
  ['Kg', 'kg'],
  ['Mm', 'mm'],
  ['N', 'N'],
  ['M', 'm'],
];

/** An answer and how it came about, to read and to print. Numbers are not rounded: what is rounded can no longer be checked. */
export function reckoningText(name: string, { answer, reckonings }: Calculated): string {
  const lines = [name, ...shown(answer, 1)];
  if (reckonings.length > 0) lines.push('', 'How it came about', ...reckonings.flatMap(reckoningLines));
  return `${lines.join('\n')}\n`;
}

const reckoningLines = ({ formula, numbers, unit, source }: Reckoning): string[] => [
  `  ${formula} [${unit}]`,
  `    ${Object.entries(numbers)
    .map(([name, value]) => `${name} = ${figure(value)}`)
    .join(', ')}`,
  `    ${source}`,
];

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null && !Array.isArray(value);

function shown(value: unknown, depth: number): string[] {
  const indent = '  '.repeat(depth);
  if (!isRecord(value)) return [`${indent}${inWords(value)}`];
  return Object.entries(value).flatMap(([name, member]) => {
    const label = `${indent}${labelOf(name)}`;
    if (isRecord(member)) return isFlat(member) ? [`${label}: ${inWords(member)}`] : [label, ...shown(member, depth + 1)];
    if (!Array.isArray(member) || member.length === 0) return [`${label}: ${inWords(member)}`];
    const items: unknown[] = member;
    const rows = items.filter(isRecord);
    if (rows.length === 0) return [label, ...items.map((item) => `${indent}  ${inWords(item)}`)];
    if (rows.every(isFlat)) return [label, ...table(rows, `${indent}  `)];
    return rows.flatMap((row, index) => [`${label} ${index + 1}`, ...shown(row, depth + 1)]);
  });
}

/** Fits one line: no lists of records in it. */
const isFlat = (record: Record<string, unknown>): boolean =>
  Object.values(record).every((value) => (isRecord(value) ? isFlat(value) : !(Array.isArray(value) && value.some(isRecord))));

function table(rows: readonly Record<string, unknown>[], indent: string): string[] {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  const cells = [names.map(labelOf), ...rows.map((row) => names.map((name) => inWords(row[name])))];
  const widths = names.map((_, column) => Math.max(...cells.map((line) => line[column]?.length ?? 0)));
  return cells.map((line) => `${indent}${line.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  ')}`.trimEnd());
}

function inWords(value: unknown): string {
  if (value === null || value === undefined) return '-';
  if (typeof value === 'number') return figure(value);
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return value;
  if (Array.isArray(value)) return value.length === 0 ? 'none' : value.map(inWords).join(', ');
  if (!isRecord(value)) return '-';
  return Object.entries(value)
    .map(([name, member]) => `${labelOf(name)} ${inWords(member)}`)
    .join(', ');
}

/** Twelve digits: all that was reckoned, without the dust of binary fractions. */
const figure = (value: number): string => String(Number(value.toPrecision(12)));

function labelOf(name: string): string {
  const unit = UNITS.find(([suffix]) => name.endsWith(suffix) && name.length > suffix.length);
  const stem = unit === undefined ? name : name.slice(0, -unit[0].length);
  const words = stem.replaceAll(/([a-z0-9])([A-Z])/g, '$1 $2').toLowerCase();
  return unit === undefined ? words : `${words} [${unit[1]}]`;
}
