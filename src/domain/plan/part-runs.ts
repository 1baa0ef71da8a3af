import type { BridlePulls } from './bridle-loads.ts';
import type { PickUpLine } from './line-loads.ts';
import type { PartUsed, PickUp, Tier } from './plan.ts';
import type { PointPull } from './pull.ts';

/** A run of parts one above the other, all of which carry the same pull. */
export type Run = {
  readonly place: string;
  readonly parts: readonly PartUsed[];
  readonly pullKn: number;
  readonly sideAngleDeg: number | null;
  /** How far off vertical the run pulls: what a clamp at its top sees, which is made fast to the steel and cannot follow. */
  readonly offVerticalDeg: number | null;
  /** Legs that come together here, and the widest angle between them. */
  readonly legs: number;
  readonly includedDeg: number | null;
  /** Of a secondary: the catch. */
  readonly accidental?: true;
};

/** From the hook to the roof: what a line ends in, then legs, or tiers with theirs, at their most while moving. */
export function runsOf(
  { attachment }: PickUp,
  line: PickUpLine,
  pulls: readonly PointPull[],
  bridle: BridlePulls | null,
  plumbDeg: number | null,
): Run[] {
  const topKn = line.top.movingN / 1000;
  switch (attachment.kind) {
    case 'bridle':
      return [
        {
          ...alone('apex', attachment.apexParts, topKn, plumbDeg),
          legs: attachment.legs.length,
          includedDeg: bridle?.widestIncludedDeg ?? null,
        },
        ...attachment.legs.map((leg, index) =>
          alone(`leg ${index}`, leg.parts, legKn(pulls[index]), bridle?.legs?.[index]?.angleOffVerticalDeg ?? null),
        ),
      ];
    case 'tiers':
      return [
        alone('foot', attachment.foot.parts, topKn, plumbDeg),
        ...attachment.tiers.flatMap((tier, index) => tierRuns(tier, index, bridle)),
      ];
    case 'direct':
    case 'hang':
      return [{ ...alone('attachment', attachment.parts, topKn, plumbDeg), sideAngleDeg: plumbDeg }];
  }
}

const alone = (place: string, parts: readonly PartUsed[], pullKn: number, offVerticalDeg: number | null): Run => ({
  place,
  parts,
  pullKn,
  sideAngleDeg: 0,
  offVerticalDeg,
  legs: 1,
  includedDeg: null,
});

/** Of a ring what gathers its legs; of a spreader the bar at all that it carries, its lines being covered by the document of its use. */
function tierRuns(tier: Tier, index: number, bridle: BridlePulls | null): Run[] {
  const solved = bridle?.tiers?.[index];
  const own: Run = {
    ...alone(`tier${index}`, tier.parts, solved?.pullKn ?? 0, solved?.offVerticalDeg ?? null),
    legs: tier.kind === 'ring' ? tier.legs.length : 1,
    includedDeg: solved?.includedDeg ?? null,
  };
  const legs = (tier.kind === 'ring' ? tier.legs : tier.lines).map(({ parts }, leg) =>
    alone(`tier${index}leg${leg}`, parts, solved?.legs[leg]?.pullKn ?? 0, solved?.legs[leg]?.offVerticalDeg ?? null),
  );
  return [own, ...legs];
}

/** Pull on the top of a leg: along it, with its own parts. */
function legKn(pull: PointPull | undefined): number {
  if (pull === undefined) return 0;
  const { xKn, yKn, downKn } = pull.moving;
  return Math.sqrt(xKn * xKn + yKn * yKn + downKn * downKn);
}
