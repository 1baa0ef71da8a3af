import type { TrussHang } from './truss.ts';

/** One row of a maker's table: what one span bears beside its own weight, in one pattern of loads. */
export type SpanTableRow = {
  readonly spanM: number;
  readonly pattern:
    | { readonly kind: 'even'; readonly allowableNPerM: number }
    | { readonly kind: 'points'; readonly count: number; readonly eachN: number };
};
/** Why a table says nothing of a truss. */
export type SpanTableGap = 'not-two-hoists' | 'overhang' | 'span-not-tabled' | 'pattern-not-tabled';
export type SpanTableCheck =
  | {
      readonly row: SpanTableRow;
      readonly spanM: number;
      /** An even load as the whole of it on the span, point loads as the heaviest of them [N]. */
      readonly demandN: number;
      readonly allowableN: number;
    }
  | { readonly row: null; readonly unknown: SpanTableGap };

/** Two measures of one drawing: a millimetre is the same place. */
const SAME_PLACE_M = 0.001;

/**
 * A span table says nothing about overhangs, continuous trusses or other patterns of loads, and is not stretched to them: those are
 * unknown. Patterns: an even load over the whole span, or loads that divide the span evenly. Between two tabled spans the lower of both
 * values holds, as a rule the longer span's: nothing is interpolated. A span beyond the table on either side is not tabled.
 * @param movingFactor  on the loads and on its own weight; the table allows what hangs beside a weight at rest
 * @returns load of the pattern and what the table allows [N], or why it does not say
 * @source the same pattern on a shorter simple span bends and shears no section more
 */
export function spanTableCheck(hang: TrussHang, table: readonly SpanTableRow[], movingFactor: number): SpanTableCheck {
  const [one, other] = hang.hoists;
  if (one === undefined || other === undefined || hang.hoists.length > 2) return { row: null, unknown: 'not-two-hoists' };
  const [fromM, toM] = one.atM < other.atM ? [one.atM, other.atM] : [other.atM, one.atM];
  if (fromM > SAME_PLACE_M || toM < hang.lengthM - SAME_PLACE_M) return { row: null, unknown: 'overhang' };
  const spanM = toM - fromM;
  let unknown: SpanTableGap = 'pattern-not-tabled';
  for (const pattern of patternsOf(table)) {
    const loadN = loadIn(hang, pattern[0].pattern, fromM, spanM);
    if (loadN === null) continue;
    const row = rowFor(spanM, pattern);
    if (row === null) {
      unknown = 'span-not-tabled';
      continue;
    }
    const pieces = row.pattern.kind === 'even' ? 1 : row.pattern.count;
    const demandN = movingFactor * loadN + ((movingFactor - 1) * hang.selfNPerM * spanM) / pieces;
    return { row, spanM, demandN, allowableN: allowableN(row, spanM) };
  }
  return { row: null, unknown };
}

type Rows = readonly [SpanTableRow, ...SpanTableRow[]];

/** The rows of each pattern, in the order of the table. */
function patternsOf(table: readonly SpanTableRow[]): Rows[] {
  const patterns = new Map<number, [SpanTableRow, ...SpanTableRow[]]>();
  for (const row of table) {
    const count = row.pattern.kind === 'even' ? 0 : row.pattern.count;
    const before = patterns.get(count);
    if (before === undefined) patterns.set(count, [row]);
    else before.push(row);
  }
  return [...patterns.values()];
}

/** What hangs, as this pattern counts it [N]; null = it hangs otherwise. A bare truss has no other pattern. */
function loadIn({ pointLoads, spreadLoads }: TrussHang, pattern: SpanTableRow['pattern'], fromM: number, spanM: number): number | null {
  const points = pointLoads.filter(({ forceN }) => forceN !== 0);
  const spread = spreadLoads.filter(({ forceNPerM }) => forceNPerM !== 0);
  if (points.some(({ forceN }) => !(forceN > 0)) || spread.some(({ forceNPerM }) => !(forceNPerM > 0))) return null;
  if (pattern.kind === 'even') {
    const isWhole = spread.every((load) => load.fromM <= fromM + SAME_PLACE_M && load.toM >= fromM + spanM - SAME_PLACE_M);
    return points.length === 0 && isWhole ? spread.reduce((sum, { forceNPerM }) => sum + forceNPerM, 0) * spanM : null;
  }
  if (spread.length > 0) return null;
  if (points.length === 0) return 0;
  const atPlaces = new Map<number, number>();
  const stepM = spanM / (pattern.count + 1);
  for (const { atM, forceN } of points) {
    const place = Math.round((atM - fromM) / stepM);
    if (place < 1 || place > pattern.count || Math.abs(atM - fromM - place * stepM) > SAME_PLACE_M) return null;
    atPlaces.set(place, (atPlaces.get(place) ?? 0) + forceN);
  }
  // Lighter ones among them only help: the heaviest stands for all.
  return atPlaces.size === pattern.count ? [...atPlaces.values()].reduce((most, forceN) => Math.max(most, forceN), 0) : null;
}

/** Of the nearest tabled spans on both sides the row that allows less; of one that is tabled itself, that one. */
function rowFor(spanM: number, rows: Rows): SpanTableRow | null {
  const spans = rows.map((row) => row.spanM);
  const shorterM = Math.max(...spans.filter((tabledM) => tabledM <= spanM + SAME_PLACE_M));
  const longerM = Math.min(...spans.filter((tabledM) => tabledM >= spanM - SAME_PLACE_M));
  if (!Number.isFinite(shorterM) || !Number.isFinite(longerM)) return null;
  const near = rows.filter((row) => row.spanM === shorterM || row.spanM === longerM);
  return near.reduce((least, row) => (allowableN(row, spanM) < allowableN(least, spanM) ? row : least), near[0] ?? rows[0]);
}

/** On this span, in the sense of a demand [N]. */
const allowableN = ({ pattern }: SpanTableRow, spanM: number): number =>
  pattern.kind === 'even' ? pattern.allowableNPerM * spanM : pattern.eachN;

export type OffNode = { readonly what: string; readonly atM: number; readonly toNodeM: number };
/**
 * Hoists and point loads that sit further from a node of the truss than its maker allows: the chord between nodes bends, which a
 * truss as a beam does not show, so the check is unknown. Null = node spacing or tolerance not stated.
 */
export function offNodes(
  hang: Pick<TrussHang, 'hoists' | 'pointLoads'>,
  nodes: { readonly firstM: number; readonly spacingM: number; readonly toleranceM: number } | null,
): OffNode[] | null {
  if (nodes === null || !(nodes.spacingM > 0) || !(nodes.toleranceM >= 0) || !Number.isFinite(nodes.firstM)) return null;
  const places = [
    ...hang.hoists.map(({ id, atM }) => ({ what: `hoist ${id}`, atM })),
    ...hang.pointLoads.map(({ atM }, index) => ({ what: `point load ${index}`, atM })),
  ];
  return places
    .map(({ what, atM }) => {
      const panels = (atM - nodes.firstM) / nodes.spacingM;
      return { what, atM, toNodeM: Math.abs(panels - Math.round(panels)) * nodes.spacingM };
    })
    .filter(({ toNodeM }) => !(toNodeM <= nodes.toleranceM + 1e-9));
}
