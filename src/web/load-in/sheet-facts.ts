import type { Assessment } from '../../domain/assessment/assessment.ts';
import { pointIdsOf, wayPieces } from '../../domain/plan/attachment-places.ts';
import type { Attachment, PickUp, Plan } from '../../domain/plan/plan.ts';
import type { PublishedRoof, RoofPoint } from '../../domain/roof/structure.ts';
import { words } from '../words.ts';

export type Mark = { readonly chalk: string; readonly hang: string; readonly xM: number; readonly yM: number; readonly point: string };
export type HoistRow = {
  readonly chalk: string;
  readonly hoist: string;
  readonly chainM: number | null;
  readonly points: string;
  /** The most that its points together see, moving; null = not known. */
  readonly loadKn: number | null;
  readonly isLowerBound: boolean;
};
export type LegRow = { readonly chalk: string; readonly point: string; readonly lengthM: number };
export type SideLineRow = {
  readonly hang: string;
  /** Of the pick-up at whose hook it is made fast; null where a hang has one alone, or it is made fast elsewhere on it. */
  readonly chalk: string | null;
  readonly kind: string;
  readonly to: string;
  readonly pretensionKn: number | null;
};
export type TrimRow = {
  readonly hang: string;
  readonly heightM: number | null;
  readonly of: 'lowestCorner' | 'trussBottom' | 'pipeCentre';
};
export type SheetFacts = {
  readonly marks: readonly Mark[];
  readonly hoists: readonly HoistRow[];
  readonly legs: readonly LegRow[];
  /** What holds a hang aside: a line that is left out changes what all others carry. */
  readonly sideLines: readonly SideLineRow[];
  readonly trims: readonly TrimRow[];
};

/** What the deck needs of a submitted plan. Nothing is worked out anew: loads are those of the assessment that was kept. */
export function sheetFacts(plan: Plan, roof: Pick<PublishedRoof, 'points'>, { loads }: Pick<Assessment['outcome'], 'loads'>): SheetFacts {
  const points = new Map(roof.points.map((point) => [point.id, point]));
  const pickUps = plan.hangs.flatMap((hang) => hang.pickUps.map((pickUp) => ({ hang, pickUp })));
  return {
    marks: pickUps.map(({ hang, pickUp: { chalk, position, attachment } }) => ({
      chalk,
      hang: hang.label,
      xM: position.xM,
      yM: position.yM,
      point: anchorsOf(attachment, points).map(labelOf).join(' + '),
    })),
    hoists: pickUps.flatMap(({ pickUp: { id, chalk, hoist, attachment } }) => {
      if (hoist === null) return [];
      const above = pointIdsOf(attachment); // a secondary, or a line off plumb, loads a point of its own
      const own = loads.filter((load) => load.pickUpId === id && above.includes(load.pointId));
      const wanted = own.some((load) => load.case === 'moving') ? 'moving' : 'resting';
      const counted = own.filter((load) => load.case === wanted);
      return [
        {
          chalk,
          hoist: plan.equipment[hoist.equipment]?.data.name ?? hoist.equipment,
          chainM: hoist.chainLengthM,
          points: anchorsOf(attachment, points).map(labelOf).join(' + '),
          loadKn: counted.length === 0 ? null : counted.reduce((sum, { downKn }) => sum + downKn, 0),
          isLowerBound: counted.some(({ isLowerBound }) => isLowerBound),
        },
      ];
    }),
    legs: pickUps.flatMap(({ pickUp }) => (pickUp.attachment.kind === 'direct' ? [] : legRows(pickUp, points))),
    sideLines: plan.hangs.flatMap(({ label, linesOffPlumb, pickUps }) =>
      (linesOffPlumb ?? []).map(({ kind, to, pickUpId, pretensionKn }) => ({
        hang: label,
        chalk: pickUps.find(({ id }) => id === pickUpId)?.chalk ?? null,
        kind: words.elevation.line[kind],
        to: 'pointId' in to ? labelOf(points.get(to.pointId) ?? null) : words.elevation.elsewhere,
        pretensionKn,
      })),
    ),
    trims: plan.hangs.map(({ label, trim }) => ({ hang: label, heightM: trim?.heightM ?? null, of: trim?.of ?? 'lowestCorner' })),
  };
}

/** Legs of bridles, and of tiers also those that end at a ring or bar, and the bars themselves. */
function legRows(pickUp: PickUp, points: ReadonlyMap<string, RoofPoint>): LegRow[] {
  return wayPieces(pickUp).flatMap(({ from, to }) => {
    const end = 'pointId' in to ? points.get(to.pointId) : to;
    if (end === undefined || from.zM === null) return [];
    const lengthM = Math.sqrt((end.xM - from.xM) ** 2 + (end.yM - from.yM) ** 2 + (end.zM - from.zM) ** 2);
    const point = 'pointId' in to ? labelOf(points.get(to.pointId) ?? null) : words.elevation.betweenTiers;
    return [{ chalk: pickUp.chalk, point, lengthM }];
  });
}

const anchorsOf = (attachment: Attachment, points: ReadonlyMap<string, RoofPoint>): (RoofPoint | null)[] =>
  pointIdsOf(attachment).map((id) => points.get(id) ?? null);
const labelOf = (point: RoofPoint | null): string => point?.label ?? '?';
