import type { TrussHang } from './truss.ts';

/** One row of a maker's table: what one span bears beside its own weight, in one pattern of loads. */
export type SpanTableRow = {
  readonly spanM: number;
  readonly pattern:
    | { readonly kind: 'even'; readonly allowableNPerM: number }
    | { readonly kind: 'points'; readonly count: number; readonly eachN: number };
};
export type SpanTableCheck =
  | { readonly row: SpanTableRow; readonly demand: number; readonly allowable: number; readonly utilisation: number }
  | { readonly row: null; readonly unknown: 'not-two-hoists' | 'overhang' | 'span-not-tabled' | 'pattern-not-tabled' };

/** Two measures of one drawing: a millimetre is the same place. */
const SAME_PLACE_M = 0.001;

/**
 * A span table says nothing about other spans, overhangs, continuous trusses or other patterns of loads, and is not stretched to
 * them: those are unknown. Patterns: an even load over the whole span, or equal loads that divide the span evenly.
 */
export function spanTableCheck(hang: TrussHang, table: readonly SpanTableRow[]): SpanTableCheck {
  const [one, other] = hang.hoists;
  if (one === undefined || other === undefined || hang.hoists.length > 2) return { row: null, unknown: 'not-two-hoists' };
  const [fromM, toM] = one.atM < other.atM ? [one.atM, other.atM] : [other.atM, one.atM];
  if (fromM > SAME_PLACE_M || toM < hang.lengthM - SAME_PLACE_M) return { row: null, unknown: 'overhang' };
  const rows = table.filter(({ spanM, pattern }) => Math.abs(spanM - (toM - fromM)) <= SAME_PLACE_M && allowableOf(pattern) > 0);
  if (rows.length === 0) return { row: null, unknown: 'span-not-tabled' };
  if ([...hang.pointLoads.map((l) => l.forceN), ...hang.spreadLoads.map((l) => l.forceNPerM)].some((load) => !(load >= 0))) {
    return { row: null, unknown: 'pattern-not-tabled' };
  }
  const points = hang.pointLoads.filter(({ forceN }) => forceN !== 0).sort((a, b) => a.atM - b.atM);
  const spread = hang.spreadLoads.filter(({ forceNPerM }) => forceNPerM !== 0);
  for (const row of rows) {
    const { pattern } = row;
    if (
      pattern.kind === 'even' &&
      points.length === 0 &&
      spread.every((load) => load.fromM <= fromM + SAME_PLACE_M && load.toM >= toM - SAME_PLACE_M)
    ) {
      const demand = spread.reduce((sum, { forceNPerM }) => sum + forceNPerM, 0);
      return { row, demand, allowable: pattern.allowableNPerM, utilisation: demand / pattern.allowableNPerM };
    }
    if (pattern.kind === 'points' && spread.length === 0 && points.length === pattern.count) {
      const isEven = points.every(
        ({ atM }, index) => Math.abs(atM - fromM - ((toM - fromM) * (index + 1)) / (pattern.count + 1)) <= SAME_PLACE_M,
      );
      const demand = points.reduce((most, { forceN }) => Math.max(most, forceN), 0);
      // Lighter ones among them only help: the heaviest stands for all.
      if (isEven) return { row, demand, allowable: pattern.eachN, utilisation: demand / pattern.eachN };
    }
  }
  return { row: null, unknown: 'pattern-not-tabled' };
}

const allowableOf = (pattern: SpanTableRow['pattern']) => (pattern.kind === 'even' ? pattern.allowableNPerM : pattern.eachN);

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
