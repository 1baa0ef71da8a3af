import { refused, valueOf, type CellReading, type ColumnReader } from './column-reader.ts';
import type { Alternative, Ask } from './import-choices.ts';
import type { FieldSpec } from './field-spec.ts';
import { readFeetAndInches } from './length-text.ts';
import { readNumberText, type NumberText } from './number-text.ts';
import type { Cell } from './table.ts';
import { SI_UNIT_OF, toSi, TONS, unitOfWord, UNITS_OF, type Unit, type UnitWord } from './units-of-measure.ts';

type NumberSpec = Extract<FieldSpec, { is: 'number' }>;
/** What a cell says before its column has a say. */
type Written = { number: Exclude<NumberText, { is: 'not-number' | 'other-sign' }>; unit: UnitWord | null };

const NUMBER_THEN_UNIT = /^([-+−–]?\s*(?:\d[\d.,'’\s]*\d|\d|[.,]\d+))\s*(.*)$/su;
/** The smallest double has 342 characters without an exponent. */
const MAX_NUMBER_CHARS = 400;
const FEET_AND_INCHES: readonly UnitWord[] = ['ft', 'in'];
const RIGHT_ANGLE_DEG = 90;

/** A number with its own unit, its column's or none yet; what is open is asked, all at once. */
export function readNumberCell(cell: Cell, reader: ColumnReader, spec: NumberSpec): CellReading {
  const written = writtenIn(cell, reader, spec);
  if ('is' in written) return written;
  const unit = unitOf(written.unit, cell, reader, spec);
  if (unit !== null && typeof unit === 'object') return unit;
  const asks = asksAbout(written.number, unit, reader, spec, cell);
  if (asks.length > 0 || written.number.is === 'ambiguous') return { is: 'asks', asks };
  const known = unit === 'ton' ? reader.ton : unit;
  const si = known === null ? null : toSi(spec.quantity, written.number.value, known);
  if (si === null) return refused('unit-does-not-fit', cell, reader, unit ?? '');
  const value = spec.field === 'maxAngleDeg' && reader.angleFrom === 'horizontal' ? RIGHT_ANGLE_DEG - si : si;
  if (!(value >= spec.atLeast && value <= spec.atMost)) {
    return refused('out-of-range', cell, reader, `${spec.atLeast} to ${spec.atMost} ${SI_UNIT_OF[spec.quantity]}`);
  }
  return valueOf(value === 0 ? 0 : value);
}

function writtenIn(cell: Cell, reader: ColumnReader, spec: NumberSpec): Written | CellReading {
  switch (cell.kind) {
    case 'number': {
      const unit = cell.unitShown === null ? null : unitOfWord(cell.unitShown);
      if (cell.unitShown !== null && unit === null) return refused('unit-not-known', cell, reader, cell.unitShown);
      return { number: { is: 'number', value: cell.value }, unit };
    }
    case 'text':
      return writtenAsText(cell, reader, spec);
    case 'date':
      return refused('date-instead-of-number', cell, reader);
    case 'boolean':
      return refused('not-a-number', cell, reader);
    case 'fault':
      return refused(cell.fault, cell, reader);
  }
}

function writtenAsText(cell: Cell, reader: ColumnReader, spec: NumberSpec): Written | CellReading {
  const text = cell.shown.trim();
  if (text.length > MAX_NUMBER_CHARS) return refused('not-a-number', cell, reader);
  if (spec.quantity === 'length') {
    const inches = readFeetAndInches(text, reader.decimalSign);
    if (inches === 'malformed') return refused('length-malformed', cell, reader);
    if (inches !== null) return { number: { is: 'number', value: inches }, unit: 'in' };
  }
  const [, numberText = '', unitText = ''] = NUMBER_THEN_UNIT.exec(text) ?? [];
  const number = readNumberText(numberText, reader.decimalSign);
  if (number.is === 'not-number') return refused('not-a-number', cell, reader);
  if (number.is === 'other-sign') return refused('other-decimal-sign', cell, reader, `"${reader.decimalSign ?? ''}"`);
  const unit = unitText === '' ? null : unitOfWord(unitText);
  if (unitText !== '' && unit === null) return refused('unit-not-known', cell, reader, unitText.slice(0, 40));
  return { number, unit };
}

/** The unit that counts for this cell: its own, else its column's; null = must be asked. */
function unitOf(own: UnitWord | null, cell: Cell, reader: ColumnReader, spec: NumberSpec): UnitWord | null | CellReading {
  if (own !== null && own !== 'ton' && toSi(spec.quantity, 1, own) === null) return refused('unit-does-not-fit', cell, reader, own);
  const [only, ...others] = UNITS_OF[spec.quantity];
  const column = reader.unit ?? (others.length === 0 ? (only ?? null) : null);
  if (own === null || own === column) return column;
  const family = FEET_AND_INCHES.includes(own) && column !== null && FEET_AND_INCHES.includes(column);
  // A heading and a cell that differ: one of them is wrong. A chosen unit only speaks for cells without their own.
  if (reader.unitSaidBy === 'heading' && !family) return refused('unit-contradicts-heading', cell, reader, `${own}, ${column ?? ''}`);
  return own;
}

function asksAbout(number: Written['number'], unit: UnitWord | null, reader: ColumnReader, spec: NumberSpec, cell: Cell): Ask[] {
  const asks: Ask[] = [];
  const ask = (topic: string, code: Ask['code'], alternatives: Alternative[]): void => {
    asks.push({ id: `${spec.field}:${topic}`, code, alternatives });
  };
  const value = number.is === 'number' ? number.value : null;
  const inUnit = (answer: Unit): Alternative => {
    const si = value === null ? null : toSi(spec.quantity, value, answer);
    return { answer, readsAs: si === null ? `${cell.shown.trim()} ${answer}` : `${si} ${SI_UNIT_OF[spec.quantity]}` };
  };
  if (number.is === 'ambiguous') {
    const shown = (each: number): string => `${each} ${unit ?? ''}`.trim();
    ask('decimal-sign', 'decimal-sign', [
      { answer: '.', readsAs: shown(number.pointIsDecimal) },
      { answer: ',', readsAs: shown(number.commaIsDecimal) },
    ]);
  }
  if (unit === null) ask('unit', 'unit', UNITS_OF[spec.quantity].map(inUnit));
  if (unit === 'ton' && reader.ton === null) ask('ton', 'which-ton', TONS.map(inUnit));
  if (spec.field === 'maxAngleDeg' && reader.angleFrom === null) {
    ask('angle-from', 'angle-from', [
      { answer: 'vertical', readsAs: `${cell.shown.trim()} off vertical` },
      {
        answer: 'horizontal',
        readsAs: value === null ? `${cell.shown.trim()} off horizontal` : `${RIGHT_ANGLE_DEG - value}° off vertical`,
      },
    ]);
  }
  return asks;
}
