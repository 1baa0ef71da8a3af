import type { Attachment, Hang, LineOffPlumb, OnTier, PickUp, Position, Tier, TierLeg } from './plan.ts';

/** Points of the roof that a way up is made fast to, in the order of its legs. */
export function pointIdsOf(attachment: Attachment): string[] {
  switch (attachment.kind) {
    case 'direct':
      return [attachment.pointId];
    case 'bridle':
      return attachment.legs.map(({ pointId }) => pointId);
    case 'tiers':
      return attachment.tiers.flatMap((tier) => legsOf(tier).flatMap(({ to }) => ('pointId' in to ? [to.pointId] : [])));
    case 'hang':
      return [];
  }
}

/** Points of the roof that a hang uses: its ways up and its lines off plumb. */
export const pointIdsOfHang = ({ pickUps, linesOffPlumb }: Hang): string[] => [
  ...pickUps.flatMap(({ attachment }) => pointIdsOf(attachment)),
  ...(linesOffPlumb ?? []).flatMap(({ to }) => ('pointId' in to ? [to.pointId] : [])),
];

/** The pick-up at whose hook a line off plumb is made fast; the first of a hang whose lines name none. */
export const hookOfLine = ({ pickUps }: Pick<Hang, 'pickUps'>, { pickUpId }: LineOffPlumb): PickUp | undefined =>
  pickUps.find(({ id }) => id === pickUpId) ?? pickUps[0];

export const legsOf = (tier: Tier): readonly TierLeg[] => (tier.kind === 'ring' ? tier.legs : tier.lines);

export const barLengthM = ({ start, end }: Extract<Tier, { kind: 'spreader' }>): number => {
  const [xM, yM, zM] = [end.xM - start.xM, end.yM - start.yM, end.zM - start.zM];
  return Math.sqrt(xM * xM + yM * yM + zM * zM);
};

/** Null for a tier that does not exist, and for a bar without length. */
export function placeOnTier(tiers: readonly Tier[], { tierId, atM }: OnTier): Position | null {
  const tier = tiers.find(({ id }) => id === tierId);
  if (tier === undefined) return null;
  return tier.kind === 'ring' ? tier.apex : alongBar(tier, atM ?? 0);
}

function alongBar(bar: Extract<Tier, { kind: 'spreader' }>, atM: number): Position | null {
  const lengthM = barLengthM(bar);
  if (lengthM === 0) return null;
  const share = atM / lengthM;
  const { start, end } = bar;
  return {
    xM: start.xM + share * (end.xM - start.xM),
    yM: start.yM + share * (end.yM - start.yM),
    zM: start.zM + share * (end.zM - start.zM),
  };
}

/** Places of a way up between hook and points: apex, rings, ends of bars. */
export function placesBetween(attachment: Attachment): Position[] {
  if (attachment.kind === 'bridle') return [attachment.apex];
  if (attachment.kind !== 'tiers') return [];
  return attachment.tiers.flatMap((tier) => (tier.kind === 'ring' ? [tier.apex] : [tier.start, tier.end]));
}

/** One straight piece of a way up: from a place to a point of the roof, or to another place. */
export type WayPiece = { readonly from: Position | PickUp['position']; readonly to: Position | { readonly pointId: string } };

/** Legs, lines and bars above the line from the hook; a direct way up is one piece from the hook itself. */
export function wayPieces({ attachment, position }: Pick<PickUp, 'attachment' | 'position'>): WayPiece[] {
  switch (attachment.kind) {
    case 'direct':
      return [{ from: position, to: { pointId: attachment.pointId } }];
    case 'bridle':
      return attachment.legs.map(({ pointId }) => ({ from: attachment.apex, to: { pointId } }));
    case 'tiers':
      return attachment.tiers.flatMap((tier) => tierPieces(tier, attachment.tiers));
    case 'hang':
      return [];
  }
}

function tierPieces(tier: Tier, tiers: readonly Tier[]): WayPiece[] {
  const pieces: WayPiece[] = tier.kind === 'spreader' ? [{ from: tier.start, to: tier.end }] : [];
  const piece = (from: Position | null, { to }: TierLeg): WayPiece[] => {
    const end = 'pointId' in to ? to : placeOnTier(tiers, to);
    return from === null || end === null ? [] : [{ from, to: end }];
  };
  if (tier.kind === 'ring') return tier.legs.flatMap((leg) => piece(tier.apex, leg));
  return [...pieces, ...tier.lines.flatMap((line) => piece(alongBar(tier, line.atM), line))];
}
