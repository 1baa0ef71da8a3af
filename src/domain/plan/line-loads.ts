import type { HoistLine, LineLoads } from '../statics/hoist-line.ts';
import { hoistLine, lineLoads } from '../statics/hoist-line.ts';
import type { TakeOffItem } from '../statics/hoist-line-take-off.ts';
import { limiterLoad } from '../statics/limiter.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { PartRules } from './part-rules.ts';
import { hoistOf, partOf } from './equipment-used.ts';
import type { HookLoad, HookRules, Reckoned } from './hook-load.ts';
import type { Missing } from './missing.ts';
import { dynamicFactorOf } from './dynamic-factor.ts';
import type { HoistData, PartUsed, PickUp, Plan } from './plan.ts';
import { listedItems } from './take-off-items.ts';

export type LoadRules = HookRules & {
  /** Of a hoist whose maker gives none. */
  readonly limiterFactor: number;
  readonly plumbDeg: number;
  readonly overPeople: boolean;
  readonly parts: PartRules;
};

/** One line from the hook up to where it ends: at the roof point (direct) or at the apex of a bridle. */
export type PickUpLine = {
  readonly hoist: HoistData | null;
  readonly line: HoistLine;
  /**
   * At the top of the line [N]: leg parts of a direct attachment included, those of a bridle not. `buildN`: the most at rest in any stage of
   * its build. `limiterN`: the hang is stuck and the hoist pulls until its limiter trips; null without a hoist or without its WLL.
   * `slackN`: any other line of the hang has gone slack; null where none can.
   */
  readonly top: {
    readonly restingN: number;
    readonly buildN: number;
    readonly movingN: number;
    readonly limiterN: number | null;
    readonly slackN: number | null;
    /** The same for each that can be lost, and for this one lost itself. */
    readonly whenLost: readonly { readonly lost: string; readonly loadN: number }[];
  };
  /**
   * What the hoist's rating carries, without the dynamic factor: the most at rest, while the hang is built, tilted and moved; and with any
   * other line of the hang lost (null where none can be).
   */
  readonly onHoist: { readonly massKg: number; readonly case: 'resting' | 'moving'; readonly slackKg: number | null };
  /** Masses that are not in the loads; what is needed besides for the load while moving; and for the hoist's own rating. */
  readonly missing: readonly Missing[];
  readonly missingForMoving: readonly Missing[];
  readonly missingForRating: readonly Missing[];
  readonly reckonings: readonly Reckoned[];
};

/** Take-off of one line, and what its top end sees at rest and while it moves. A dead hang never moves: both are the same. */
export function pickUpLine(plan: Plan, pickUp: PickUp, hook: HookLoad, rules: LoadRules): PickUpLine {
  const used = pickUp.hoist === null ? null : { hung: pickUp.hoist, ...hoistOf(plan, pickUp.hoist.equipment) };
  const { attachment } = pickUp;
  const items: (TakeOffItem & { place: 'below-hook' | 'above-hoist' | 'leg' })[] = [
    // Where on the line these hang is not stated: below the hook they count for the hoist and move with it, which is never too little.
    ...listedItems(pickUp.lineItems, pickUp.cableShare, 'below-hook', 'line'),
    ...attachmentItems(plan, attachment),
  ];
  const lineHoist =
    used === null
      ? null
      : {
          bodyKg: used.hoist.bodyKg,
          bagKg: used.hung.bag === 'none' ? 0 : used.hoist.bagKg,
          bagAt: used.hung.bag === 'onHang' ? ('hang' as const) : ('body' as const),
          chainKgPerM: used.hoist.chainKgPerM,
          falls: used.hoist.falls ?? 1,
          chainM: used.hung.chainLengthM,
          basis: used.basis,
          wllKg: used.hoist.wllKg,
          wllNetOf: NET_OF[used.hoist.wllIsNetOf ?? 'notStated'],
        };
  const line = hoistLine(
    { hoist: lineHoist, mount: used?.hung.mount === 'bodyUp' ? 'body-up' : 'body-down', paidOutM: null, items },
    rules.contingency,
  );
  if (!line.ok) throw new Error(`a checked plan has a line: ${line.error.code}`);
  const factor = used === null ? null : dynamicFactorOf(used.hoist, rules.dynamic);
  const reaction = { restingN: hook.restingKg * STANDARD_GRAVITY, movingN: hook.movingKg * STANDARD_GRAVITY };
  const loads = lineLoads(line.value, used === null ? { ...reaction, movingN: reaction.restingN } : reaction, factor?.factor ?? 1);
  if (!loads.ok) throw new Error(`a checked plan has line loads: ${loads.error.code}`);
  const ofRating = (fact: Missing) => fact.code === 'rating-terms-missing';
  const missing = [...hook.missing, ...line.value.missing.filter((fact) => !ofRating(fact))];
  if (used !== null && used.hoist.falls === null) missing.push({ code: 'falls-of-chain-not-stated', of: 'hoist' });
  const { restingN, movingN } = loads.value.point;
  const buildN = restingN + (hook.buildKg - hook.restingKg) * STANDARD_GRAVITY;
  return {
    hoist: used?.hoist ?? null,
    line: line.value,
    top: {
      restingN,
      buildN,
      movingN: Math.max(buildN, movingN ?? restingN),
      limiterN: used === null ? null : limiterN(used.hoist, line.value, rules),
      slackN: hook.slackKg === null ? null : restingN + (hook.slackKg - hook.restingKg) * STANDARD_GRAVITY,
      whenLost: hook.whenLost.map(({ lost, massKg }) => ({ lost, loadN: restingN + (massKg - hook.restingKg) * STANDARD_GRAVITY })),
    },
    onHoist: onHoist(loads.value.onHoistN / STANDARD_GRAVITY, hook),
    missing,
    missingForMoving: factor?.missing ?? [],
    missingForRating: line.value.missing.filter(ofRating),
    reckonings: [...hook.reckonings, ...lineReckonings(loads.value, factor)],
  };
}

/** Parts of the way up that hang in the line itself; those of legs and tiers are for whoever solves them. */
function attachmentItems(plan: Plan, attachment: PickUp['attachment']): (TakeOffItem & { place: 'above-hoist' | 'leg' })[] {
  if (attachment.kind === 'bridle') return partItems(plan, attachment.apexParts, 'above-hoist', 'apex');
  if (attachment.kind === 'tiers') return partItems(plan, attachment.foot.parts, 'above-hoist', 'foot');
  return partItems(plan, attachment.parts, 'leg', 'attachment');
}

function onHoist(restingKg: number, hook: HookLoad): PickUpLine['onHoist'] {
  const moreKg = hook.movingKg - hook.restingKg;
  return {
    massKg: restingKg + Math.max(0, moreKg),
    case: moreKg > 0 ? 'moving' : 'resting',
    slackKg: hook.slackKg === null ? null : restingKg + hook.slackKg - hook.restingKg,
  };
}

function limiterN({ wllKg, limiterFactor }: HoistData, line: HoistLine, rules: LoadRules): number | null {
  const load = limiterLoad(line, wllKg, limiterFactor, rules.limiterFactor);
  if (!load.ok) throw new Error(`a checked plan has a limiter load: ${load.error.code}`);
  return load.value === null ? null : load.value.atPointN;
}

const NET_OF = { hook: 'hook', hookPlusBody: 'hook-plus-body', notStated: null } as const;

function lineReckonings(loads: LineLoads, factor: ReturnType<typeof dynamicFactorOf> | null): Reckoned[] {
  const { resting, moving } = loads.reckonings;
  const reckoned: Reckoned[] = [{ result: loads.point.restingN, ...resting }];
  if (factor === null) return reckoned; // dead-hung: nothing moves
  reckoned.push({ result: factor.factor, ...factor.reckoning });
  if (moving !== null && loads.point.movingN !== null) reckoned.push({ result: loads.point.movingN, ...moving });
  return reckoned;
}

export function partItems<P extends TakeOffItem['place']>(
  plan: Plan,
  parts: readonly PartUsed[],
  place: P,
  of: string,
): (TakeOffItem & { readonly place: P })[] {
  return parts.map(({ equipment, count }, index) => {
    const { part, basis } = partOf(plan, equipment);
    return { id: `${of} part ${index}`, kind: 'equipment', place, massKg: part.massKg === null ? null : part.massKg * count, basis };
  });
}
