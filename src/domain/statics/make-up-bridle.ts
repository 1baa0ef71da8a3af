import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { distanceM } from '../foundation/vector.ts';
import type { PositionM } from '../foundation/vector.ts';
import { unitCutLegs } from './bridle-apex.ts';
import type { ApexError } from './bridle-apex.ts';
import { STRAIGHT_DOWN, unitBridle } from './bridle-legs.ts';
import type { Anchor, BridleError } from './bridle-legs.ts';
import { loadFault, underLoad } from './bridle.ts';
import type { Bridle, LoadError } from './bridle.ts';
import { searchMakeUps, USUAL_LIMITS } from './make-up.ts';
import type { MadeLeg, MakeUpError, MakeUpLimits, MakeUps } from './make-up.ts';
import type { Stock } from './make-up-stock.ts';

/** What a leg sees at worst over all settings looked at. */
export type WorstLeg = { readonly id: string; readonly tensionN: number; readonly angleOffVerticalRad: number };
/**
 * The bridle with every leg that has an adjuster also one step long and one step short, in all combinations; the bridle as made is
 * one of them. `refused` tells settings that cannot be: with any there, the worst is not known and nothing may be taken as fitting.
 */
export type OneStepOff = {
  readonly settings: number;
  readonly legs: readonly WorstLeg[];
  readonly apexOffM: number;
  readonly withinTolerance: boolean;
  readonly refused: readonly { readonly steps: readonly number[]; readonly error: ApexError }[];
};
export type BridleMakeUp = {
  readonly legs: readonly MadeLeg[];
  readonly parts: number;
  readonly apex: PositionM;
  /** From the wanted apex to the one that these legs give [m]. */
  readonly offM: number;
  readonly made: Bridle;
  readonly oneStepOff: OneStepOff;
};

/**
 * Make-ups of a bridle from stock: fewest parts that bring the apex within tolerance, nearest first. Each is solved again with the
 * lengths as made, and with each adjuster one step off; demands are to be taken from `oneStepOff`.
 * @param loadN       weight at the apex [N]
 * @param toleranceM  how far the apex may be from the wanted place [m]
 */
export function makeUpBridle(
  loadN: number,
  apex: PositionM,
  anchors: readonly Anchor[],
  toleranceM: number,
  stock: Stock,
  limits: MakeUpLimits = USUAL_LIMITS,
): Result<MakeUps<BridleMakeUp>, BridleError | LoadError | MakeUpError> {
  const fault = loadFault(loadN);
  if (fault !== null) return fail(fault);
  const wanted = unitBridle(apex, anchors, STRAIGHT_DOWN);
  if (!wanted.ok) return wanted;
  const wantedApex = wanted.value.apex;
  const legs = wanted.value.legs.map(({ id, lengthM }) => ({ id, wantedM: lengthM }));

  const found = searchMakeUps(legs, toleranceM, stock, limits, (made) => {
    // A leg's length changes by no more than its apex moves, so the band of the search leaves no answer out.
    const unit = unitCutLegs(cutTo(anchors, made, []));
    if (!unit.ok) return null;
    const offM = distanceM(unit.value.apex, wantedApex);
    return offM <= toleranceM + 1e-9 ? { legs: made, parts: made.reduce((sum, leg) => sum + leg.parts, 0), offM, unit: unit.value } : null;
  });
  if (!found.ok) return found;
  const answers = found.value.answers.map(({ unit, ...answer }): BridleMakeUp => {
    const oneStepOff = withStepsOff(loadN, wantedApex, anchors, answer.legs, toleranceM);
    return { ...answer, apex: unit.apex, made: underLoad(unit, loadN), oneStepOff };
  });
  // Of equal numbers of parts, one that holds in every setting goes before one that does not; otherwise the order stays.
  answers.sort((a, b) => a.parts - b.parts || Math.min(1, a.oneStepOff.refused.length) - Math.min(1, b.oneStepOff.refused.length));
  return ok({ answers, complete: found.value.complete });
}

function withStepsOff(
  loadN: number,
  wantedApex: PositionM,
  anchors: readonly Anchor[],
  legs: readonly MadeLeg[],
  toleranceM: number,
): OneStepOff {
  const settings = legs.reduce<readonly (readonly number[])[]>(
    (sofar, leg) => sofar.flatMap((steps) => (leg.adjuster === null ? [0] : [0, 1, -1]).map((step) => [...steps, step])),
    [[]],
  );
  const worst = legs.map(({ id }) => ({ id, tensionN: 0, angleOffVerticalRad: 0 }));
  const refused: { steps: readonly number[]; error: ApexError }[] = [];
  let apexOffM = 0;
  for (const steps of settings) {
    const unit = unitCutLegs(cutTo(anchors, legs, steps));
    if (!unit.ok) {
      refused.push({ steps, error: unit.error });
      continue;
    }
    apexOffM = Math.max(apexOffM, distanceM(unit.value.apex, wantedApex));
    for (const [index, leg] of unit.value.legs.entries()) {
      const sofar = worst[index];
      if (sofar === undefined) continue;
      sofar.tensionN = Math.max(sofar.tensionN, leg.tension * loadN);
      sofar.angleOffVerticalRad = Math.max(sofar.angleOffVerticalRad, leg.angleOffVerticalRad);
    }
  }
  const withinTolerance = refused.length === 0 && apexOffM <= toleranceM + 1e-9;
  return { settings: settings.length, legs: worst, apexOffM, withinTolerance, refused };
}

/** Each anchor with its leg as made, `steps[k]` adjuster steps longer. */
function cutTo(anchors: readonly Anchor[], legs: readonly MadeLeg[], steps: readonly number[]) {
  return anchors.map((anchor, index) => {
    const leg = legs[index];
    const extraM = (steps[index] ?? 0) * (leg?.adjuster?.stepM ?? 0);
    return { ...anchor, legM: (leg?.madeM ?? 0) + extraM };
  });
}
