import { faultOf, type Fault, type FaultCode } from './cell-fault.ts';
import type { DateOrder } from './date-text.ts';
import { headingKey } from './headings.ts';
import type { Answers, Ask, ImportChoices } from './import-choices.ts';
import type { DraftValue, FieldSpec } from './field-spec.ts';
import type { MappedColumn } from './map-columns.ts';
import { DECIMAL_SIGNS, type DecimalSign } from './number-text.ts';
import type { Cell } from './table.ts';
import { TONS, type Unit } from './units-of-measure.ts';

type AngleFrom = 'vertical' | 'horizontal';
/** A column with everything that is known about how to read it. */
export type ColumnReader = MappedColumn & {
  spec: FieldSpec;
  answers: Answers;
  decimalSign: DecimalSign | null;
  ton: Unit | null;
  dateOrder: DateOrder | null;
  angleFrom: AngleFrom | null;
};
export type CellReading =
  { is: 'value'; value: DraftValue; saidUnknown: boolean } | { is: 'fault'; fault: Fault } | { is: 'asks'; asks: readonly Ask[] };

const DATE_ORDERS: readonly DateOrder[] = ['day-first', 'month-first'];
const ANGLES_FROM: readonly AngleFrom[] = ['vertical', 'horizontal'];

export function columnReader(spec: FieldSpec, column: MappedColumn, choices: ImportChoices, answers: Answers): ColumnReader {
  const sign = answers.get(`${spec.field}:decimal-sign`, DECIMAL_SIGNS);
  return {
    ...column,
    spec,
    answers,
    decimalSign: sign ?? choices.decimalSign ?? null,
    ton: answers.get(`${spec.field}:ton`, TONS),
    dateOrder: answers.get(`${spec.field}:date-order`, DATE_ORDERS),
    angleFrom: angleOfHeading(column.column.heading) ?? answers.get(`${spec.field}:angle-from`, ANGLES_FROM),
  };
}

function angleOfHeading(heading: string): AngleFrom | null {
  const key = headingKey(heading);
  const vertical = /vertical|vertikal|verticaal|senkrecht|lotrecht|plumb/.test(key);
  const horizontal = /horizont/.test(key);
  if (vertical === horizontal) return null;
  return vertical ? 'vertical' : 'horizontal';
}

export const valueOf = (value: DraftValue): CellReading => ({ is: 'value', value, saidUnknown: false });

export function refused(code: FaultCode, cell: Cell, { spec, column }: ColumnReader, detail = ''): CellReading {
  return {
    is: 'fault',
    fault: faultOf(code, { field: spec.field, letter: column.letter, heading: column.heading, cellText: cell.shown }, detail),
  };
}
