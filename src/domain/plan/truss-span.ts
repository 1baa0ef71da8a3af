import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { TrussHang as StaticsHang } from '../statics/truss.ts';
import type { SpanTableCheck, SpanTableGap, SpanTableRow } from '../statics/truss-table.ts';
import { spanTableCheck } from '../statics/truss-table.ts';
import type { SpanTableEntry } from './equipment-data.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { PlanFault } from './plan-fault.ts';
import type { TrussSection } from './plan.ts';

/** What cannot be in a table of spans. */
export function spanTableFaults(table: readonly SpanTableEntry[], at: string): PlanFault[] {
  return table.flatMap((entry, index) => entryFaults(entry, `${at}/${index}`));
}

function entryFaults({ spanM, evenKgPerM, points }: SpanTableEntry, at: string): PlanFault[] {
  const faults: PlanFault[] = [];
  const fault = (pointer: string, code: string, message: string) => faults.push({ pointer, code, message });
  if (spanM === 0) fault(`${at}/spanM`, 'not-positive', 'must be more than 0');
  if (evenKgPerM === null && points === null) fault(at, 'nothing-tabled', 'states neither an even load nor point loads');
  if (evenKgPerM !== null && points !== null) fault(at, 'two-patterns', 'states two patterns of loads: give each an entry of its own');
  if (points !== null && points.count < 1) fault(`${at}/points/count`, 'not-positive', 'must be 1 or more');
  return faults;
}

/** What the table of the section says of this truss; null = there is no table. */
export function spanAnswer({ spanTable }: TrussSection, hang: StaticsHang, movingFactor: number): SpanTableCheck | null {
  const rows = (spanTable ?? []).flatMap(rowsOf);
  return rows.length === 0 ? null : spanTableCheck(hang, rows, movingFactor);
}

/** A frame has no span between two hoists. */
export const spanOfFrame = ({ spanTable }: TrussSection): SpanTableCheck | null =>
  (spanTable ?? []).length === 0 ? null : { row: null, unknown: 'not-two-hoists' };

function rowsOf({ spanM, evenKgPerM, points }: SpanTableEntry): SpanTableRow[] {
  const rows: SpanTableRow[] = [];
  if (evenKgPerM !== null) rows.push({ spanM, pattern: { kind: 'even', allowableNPerM: evenKgPerM * STANDARD_GRAVITY } });
  if (points !== null) rows.push({ spanM, pattern: { kind: 'points', count: points.count, eachN: points.eachKg * STANDARD_GRAVITY } });
  return rows;
}

const GAPS: Readonly<Record<SpanTableGap, string>> = {
  'not-two-hoists': 'span-table-not-two-hoists',
  overhang: 'span-table-overhang',
  'span-not-tabled': 'span-table-span',
  'pattern-not-tabled': 'span-table-pattern',
};

/**
 * The load against the table. Where the table does not say, the allowable forces decide and it is told; where they are not all stated
 * either, nothing is known.
 * @param decided  all allowable forces are stated
 * @param missing  what makes the load a lower bound, or the table one of no known source
 */
export function spanFindings(span: SpanTableCheck | null, decided: boolean, isMoving: boolean, missing: readonly Missing[]): HangFinding[] {
  if (span === null) return [];
  const about = { ...BLANK_FINDING, kind: 'truss', subject: 'span' } as const;
  if (span.row === null) {
    const gap = { code: GAPS[span.unknown], of: 'truss' };
    return [decided ? { ...about, state: 'told', why: [gap] } : { ...about, state: 'unknown', why: [gap, ...missing] }];
  }
  const { row, spanM, demandN, allowableN } = span;
  const [demand, capacity] = [demandN / STANDARD_GRAVITY, allowableN / STANDARD_GRAVITY];
  const isEven = row.pattern.kind === 'even';
  const reckoning = {
    formula: isEven ? 'even load on the span ≤ kgPerM of the table · spanM' : 'heaviest of the loads ≤ eachKg of the table',
    numbers: {
      spanM,
      tabledSpanM: row.spanM,
      ...(row.pattern.kind === 'even'
        ? { kgPerM: row.pattern.allowableNPerM / STANDARD_GRAVITY }
        : { count: row.pattern.count, eachKg: capacity }),
    },
    unit: 'kg',
    source: "maker's table of spans; between two tabled spans the one that allows less",
    result: demand,
  };
  const loadCase = isMoving ? 'moving' : 'resting';
  return [{ ...about, state: 'compare', case: loadCase, demand, capacity, unit: 'kg', why: missing, reckonings: [reckoning] }];
}
