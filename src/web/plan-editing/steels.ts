import { madeLengthM } from '../../domain/plan/leg-doubts.ts';
import type { Attachment, EquipmentUsed, Hang, PartUsed, PickUp, Plan } from '../../domain/plan/plan.ts';
import { unitCutLegs, type ApexError } from '../../domain/statics/bridle-apex.ts';
import { unitBridle, STRAIGHT_DOWN, type Anchor } from '../../domain/statics/bridle-legs.ts';
import { makeUpBridle, type BridleMakeUp } from '../../domain/statics/make-up-bridle.ts';
import type { Stock } from '../../domain/statics/make-up-stock.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { withPickUpChange } from './edit-hang.ts';

export type Bridle = Extract<Attachment, { kind: 'bridle' }>;
type PartData = Extract<EquipmentUsed['data'], { kind: 'part' }>;
/** A rigging part of the catalogue, as a plan takes it in. */
export type CataloguePart = { readonly id: string; readonly latest: number; readonly hash: string; readonly data: PartData };

/** The plan with this part among its equipment, under the name that it has there. One and the same version is taken in once. */
export function withPart(plan: Plan, { id, latest, hash, data }: CataloguePart): { plan: Plan; name: string } {
  const known = Object.entries(plan.equipment).find(([, { from }]) => from?.itemId === id && from.version === latest && from.hash === hash);
  if (known !== undefined) return { plan, name: known[0] };
  let name = data.name;
  for (let again = 2; Object.hasOwn(plan.equipment, name); again += 1) name = `${data.name} (${again})`;
  const used: EquipmentUsed = { from: { itemId: id, version: latest, hash }, data };
  return { plan: { ...plan, equipment: { ...plan.equipment, [name]: used } }, name };
}

/** Parts that a leg's length is made of: of wire rope or of chain, of a length that is stated. */
const isSteel = ({ data: { part, lengthM } }: CataloguePart): boolean =>
  (part === 'wireRope' || part === 'chain') && lengthM !== null && lengthM > 0;
export const steelsOf = (parts: readonly CataloguePart[], wllAtLeastKg: number | null): CataloguePart[] =>
  parts.filter((one) => isSteel(one) && (wllAtLeastKg === null || (one.data.wllKg !== null && one.data.wllKg >= wllAtLeastKg)));

/** Where the legs end above; null where a point is not on the roof. Ids by number: two legs may go to one point. */
function anchorsOf({ legs }: Bridle, points: readonly (Anchor & object)[]): Anchor[] | null {
  const found = legs.flatMap(({ pointId }, index) => {
    const point = points.find(({ id }) => id === pointId);
    return point ? [{ id: String(index), xM: point.xM, yM: point.yM, zM: point.zM }] : [];
  });
  return found.length === legs.length ? found : null;
}

/** Each leg's length as it is drawn [m]; null where the bridle cannot hang so. */
export function drawnLegsM(bridle: Bridle, points: readonly Anchor[]): number[] | null {
  const anchors = anchorsOf(bridle, points);
  const drawn = anchors && unitBridle(bridle.apex, anchors, STRAIGHT_DOWN);
  return drawn?.ok ? drawn.value.legs.map(({ lengthM }) => lengthM) : null;
}

export type SteelsOffer = {
  /** Of each leg, the steels and how often. */
  readonly legs: readonly {
    readonly steels: readonly { readonly part: CataloguePart; readonly count: number }[];
    readonly madeM: number;
  }[];
  readonly apex: BridleMakeUp['apex'];
  /** From the apex as drawn to the one that these legs give [m]. */
  readonly offM: number;
};
export type NoSteels = { readonly code: string };

const ANY_PULL_N = 1000; // lengths are wanted; they are the same under every load

/**
 * Ways to make the legs of a bridle from these steels, fewest first. Where a shackle is named, each steel has one of it.
 * @param withinM  how far the apex may come to rest from where it is drawn [m]
 */
export function offeredSteels(
  bridle: Bridle,
  points: readonly Anchor[],
  steels: readonly CataloguePart[],
  shackle: CataloguePart | null,
  withinM: number,
): Result<readonly SteelsOffer[], NoSteels> {
  const anchors = anchorsOf(bridle, points);
  if (anchors === null) return fail({ code: 'point-missing' });
  const byId = new Map(steels.map((steel) => [steel.id, steel]));
  const jointM = shackle?.data.lengthM ?? 0;
  const stock: Stock = {
    pieces: steels.map(({ id, data }) => ({ id, lengthM: data.lengthM ?? 0, available: null })),
    adjusters: [],
    jointM,
    endsM: jointM, // so that there are as many shackles as steels
  };
  const found = makeUpBridle(ANY_PULL_N, bridle.apex, anchors, withinM, stock);
  if (!found.ok) return found;
  return ok(
    found.value.answers.map(({ legs, apex, offM }) => ({
      apex,
      offM,
      legs: legs.map(({ pieces, madeM }) => ({
        madeM,
        steels: pieces.flatMap(({ id, count }) => {
          const part = byId.get(id);
          return part ? [{ part, count }] : [];
        }),
      })),
    })),
  );
}

/** The plan with an offer taken: its parts among the equipment, its steels on the legs, the apex where they bring it. */
export function withSteels(
  plan: Plan,
  hang: Hang,
  pickUp: PickUp,
  bridle: Bridle,
  offer: SteelsOffer,
  shackle: CataloguePart | null,
): Plan {
  let next = plan;
  const used = (part: CataloguePart, count: number): PartUsed => {
    const taken = withPart(next, part);
    next = taken.plan;
    return { equipment: taken.name, count, hitch: 'straight' };
  };
  const legs = bridle.legs.map((leg, index) => {
    const steels = offer.legs[index]?.steels ?? [];
    const count = steels.reduce((sum, one) => sum + one.count, 0);
    return { ...leg, parts: [...steels.map((one) => used(one.part, one.count)), ...(shackle === null ? [] : [used(shackle, count)])] };
  });
  return replaced(next, hang, withApex(hang, pickUp, { ...bridle, legs }, offer.apex));
}

/** Where the steels as they are chosen bring the apex, and the hang with it there. */
export function apexOfSteels(
  plan: Plan,
  hang: Hang,
  pickUp: PickUp,
  bridle: Bridle,
  points: readonly Anchor[],
): Result<Plan, ApexError | NoSteels> {
  const anchors = anchorsOf(bridle, points);
  if (anchors === null) return fail({ code: 'point-missing' });
  const cut = anchors.map((anchor, index) => ({ ...anchor, legM: madeLengthM(plan, bridle.legs[index]?.parts ?? []) }));
  if (cut.some(({ legM }) => legM === null || legM === 0)) return fail({ code: 'leg-length-not-known' });
  const unit = unitCutLegs(cut.map(({ legM, ...anchor }) => ({ ...anchor, legM: legM ?? 0 })));
  return unit.ok ? ok(replaced(plan, hang, withApex(hang, pickUp, bridle, unit.value.apex))) : unit;
}

/** A hang on one pick-up goes where its apex goes; one on several is held by the others too, and its plumb check says what that means. */
function withApex(hang: Hang, pickUp: PickUp, bridle: Bridle, apex: Bridle['apex']): Hang {
  const { xM, yM, zM } = apex;
  const attachment = { ...bridle, apex: { xM, yM, zM } };
  if (hang.pickUps.length > 1) return withPickUpChange(hang, pickUp, { attachment });
  const [dx, dy] = [xM - pickUp.position.xM, yM - pickUp.position.yM];
  const moved = withPickUpChange(hang, pickUp, { attachment, position: { ...pickUp.position, xM, yM } });
  return { ...moved, box: hang.box && { ...hang.box, xM: hang.box.xM + dx, yM: hang.box.yM + dy } };
}

const replaced = (plan: Plan, hang: Hang, next: Hang): Plan => ({
  ...plan,
  hangs: plan.hangs.map((one) => (one.id === hang.id ? next : one)),
});

/** The very parts of a line in place of those before. */
export function withLineParts(hang: Hang, pickUp: PickUp, place: 'line' | 'apex' | number, parts: PartUsed[]): Hang {
  const { attachment } = pickUp;
  if (attachment.kind === 'direct' || attachment.kind === 'hang')
    return withPickUpChange(hang, pickUp, { attachment: { ...attachment, parts } });
  if (attachment.kind !== 'bridle') return hang;
  const legs = attachment.legs.map((leg, index) => (index === place ? { ...leg, parts } : leg));
  return withPickUpChange(hang, pickUp, {
    attachment: { ...attachment, legs, apexParts: place === 'apex' ? parts : attachment.apexParts },
  });
}
