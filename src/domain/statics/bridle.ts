import { atan2 } from '../foundation/elementary.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { cross, dot, lengthOf } from '../foundation/vector.ts';
import type { PositionM } from '../foundation/vector.ts';
import { STRAIGHT_DOWN, unitBridle } from './bridle-legs.ts';
import type { Anchor, BridleError, NumberFault, UnitBridle, UnitLeg } from './bridle-legs.ts';

/** What the roof sees of one leg [N]: x, y in space axes, towards the apex; down positive. */
export type PullOnRoof = { readonly xN: number; readonly yN: number; readonly downN: number };
export type BridleLeg = {
  readonly id: string;
  readonly lengthM: number;
  readonly tensionN: number;
  readonly angleOffVerticalRad: number;
  /** Carries less than 1e-9 of any load on the apex; its tension is then 0. */
  readonly slack: boolean;
  readonly atAnchor: PullOnRoof;
};
export type IncludedAngle = { readonly between: readonly [string, string]; readonly angleRad: number };
/** Two legs hold their apex in the anchors' plane: a drawing that puts it up to 5 mm beside is solved as it will hang. */
export type BridleCaution = { readonly code: 'apex-moved-into-plane'; readonly movedM: number; readonly apex: PositionM };
export type Bridle = {
  readonly legs: readonly BridleLeg[];
  /** In space, between each two legs, in the order 1-2, 1-3, 2-3. */
  readonly includedAngles: readonly IncludedAngle[];
  readonly cautions: readonly BridleCaution[];
};
export type LoadError = NumberFault | { readonly code: 'load-negative'; readonly loadN: number };

const HEAVIEST_N = 1e15; // far above any load; keeps every product finite
const WORTH_TELLING_M = 1e-6;

/**
 * Tensions and pulls on the roof of a two- or three-leg bridle that carries a load straight down at its apex. Legs are weightless and
 * straight; the mass of each leg's parts sits on its anchor and is added there by the caller.
 * @param loadN    weight at the apex [N], not negative; 0 gives the geometry with all tensions 0
 * @param apex     where the legs meet [m]; for two legs within 5 mm of the vertical plane of their anchors
 * @param anchors  two or three [m], at least 1 mm above the apex
 * @returns forces [N] and angles [rad] in the order of the anchors, or why no answer can be trusted
 * @source equilibrium of a point
 */
export function solveBridle(loadN: number, apex: PositionM, anchors: readonly Anchor[]): Result<Bridle, BridleError | LoadError> {
  const fault = loadFault(loadN);
  if (fault !== null) return fail(fault);
  const unit = unitBridle(apex, anchors, STRAIGHT_DOWN);
  return unit.ok ? ok(underLoad(unit.value, loadN)) : unit;
}

/** Forces of a solved bridle under a pull of this size. */
export function underLoad(unit: UnitBridle, pullN: number): Bridle {
  const cautions: BridleCaution[] =
    unit.movedM > WORTH_TELLING_M ? [{ code: 'apex-moved-into-plane', movedM: unit.movedM, apex: unit.apex }] : [];
  return { legs: unit.legs.map((leg) => legUnderLoad(leg, pullN)), includedAngles: includedAngles(unit.legs), cautions };
}

function legUnderLoad({ id, way, lengthM, angleOffVerticalRad, tension, slack }: UnitLeg, pullN: number): BridleLeg {
  const tensionN = tension * pullN;
  const densityNPerM = tensionN / lengthM;
  // `0 -` instead of a minus sign: a plumb or slack leg pulls with 0 to the side, not with -0.
  const atAnchor = { xN: 0 - densityNPerM * way.x, yN: 0 - densityNPerM * way.y, downN: densityNPerM * way.z };
  return { id, lengthM, tensionN, angleOffVerticalRad, slack, atAnchor };
}

function includedAngles(legs: readonly UnitLeg[]): IncludedAngle[] {
  const angles: IncludedAngle[] = [];
  for (const [index, leg] of legs.entries()) {
    for (const other of legs.slice(index + 1)) {
      // The arc tangent keeps its digits where the arc cosine loses half of them: near 0° and near 180°.
      const angleRad = atan2(lengthOf(cross(leg.way, other.way)), dot(leg.way, other.way));
      angles.push({ between: [leg.id, other.id], angleRad });
    }
  }
  return angles;
}

export function loadFault(loadN: number): LoadError | null {
  if (!Number.isFinite(loadN)) return { code: 'not-finite', what: 'load' };
  if (loadN < 0) return { code: 'load-negative', loadN };
  return loadN > HEAVIEST_N ? { code: 'out-of-range', what: 'load', limit: HEAVIEST_N } : null;
}
