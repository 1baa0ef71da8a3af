import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { BuildStages } from '../statics/build-stages.ts';
import type { StagedHang, StageSide } from '../statics/staged-hang.ts';
import { buildStages } from '../statics/build-stages.ts';
import type { HangFinding, HookRules, Reckoned } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { TrussStrength } from './truss-strength.ts';

/** What its hoists are called, in their order, and whether none of them can move. */
type BuiltHang = { readonly ids: readonly string[]; readonly isDead: boolean };

/** What each hoist carries at most in any stage of the build, without the dynamic factor [N], in the order of the hoists. */
export type TrussBuildLoads = {
  readonly restingN: readonly number[];
  /** Over the level tolerance of moving hoists; of a hang without hoists as at rest. */
  readonly movingN: readonly number[];
  /** Why a stage is not known. */
  readonly missing: readonly Missing[];
  readonly findings: readonly HangFinding[];
  readonly cautions: readonly string[];
};

const BOUNDED =
  'Trusses whose hoists may go slack while they are built, with more loads than can all be combined: what is told of their build is more than any set of the loads can bring about, and may be a little too much.';

/**
 * A truss or truss frame while its loads come and go. A load that is not there yet relieves no hoist: a counter-load beyond a hoist, or one
 * in the next span. One that tips in some stage is over, as one that tips when all hangs: to say that it comes up whole is to trust that
 * nobody takes a load down from it.
 * @param staged  the same hang under each assumption about what is not stated, the one known best first
 */
export function trussBuild(
  hang: BuiltHang,
  staged: readonly StagedHang[],
  rules: Pick<HookRules, 'levelRestM' | 'levelMovingM'>,
  strength: TrussStrength,
  seeTorsion: (sides: readonly StageSide[]) => void = () => undefined,
): TrussBuildLoads {
  const { isDead } = hang;
  const movingM = isDead ? rules.levelRestM : Math.max(rules.levelRestM, rules.levelMovingM);
  const restingN: number[] = [];
  const movingN: number[] = [];
  const cautions = new Set<string>();
  const missing: Missing[] = [];
  for (const one of staged) {
    const moving = buildStages(one, movingM, strength.shares, (sides) => {
      strength.seeStage(one, sides);
      seeTorsion(sides);
    });
    const resting = isDead || moving.tips ? moving : buildStages(one, rules.levelRestM, null, null);
    const fault = faultOf(hang, moving) ?? faultOf(hang, resting);
    if (fault !== null) return { restingN: [], movingN: [], cautions: [], ...fault };
    if (moving.tips || resting.tips) throw new Error('a hang that tips has a fault');
    takeMost(restingN, resting.mostN);
    takeMost(movingN, moving.mostN);
    strength.seeStageBounds(moving.insideBounds);
    if (moving.insideBounds.length > 0) cautions.add(BOUNDED);
    if (moving.isBound && resting.isBound) continue;
    if (missing.length === 0) missing.push({ code: 'stages-not-all-solved', of: 'truss' }); // what was found is a lower bound
  }
  return { restingN, movingN, missing, findings: [], cautions: [...cautions] };
}

/** Told where a stage of the build puts more on a hoist than all of the hang does. */
export function buildReckoning(restingN: number, buildN: number, isBound: boolean): Reckoned[] {
  if (!(buildN > restingN)) return [];
  const formula = 'largest reaction while any of its loads is not there yet or is down again';
  const source = isBound ? 'what no set of its loads can go beyond' : 'adverse set of its loads';
  return [{ formula, numbers: {}, unit: 'kg', source, result: buildN / STANDARD_GRAVITY }];
}

function takeMost(most: number[], valuesN: readonly number[]): void {
  for (const [hoist, valueN] of valuesN.entries()) most[hoist] = Math.max(most[hoist] ?? 0, valueN);
}

function faultOf({ ids }: BuiltHang, stages: BuildStages): Pick<TrussBuildLoads, 'missing' | 'findings'> | null {
  const about = { ...BLANK_FINDING, kind: 'truss', subject: 'build', case: 'build' } as const;
  if (stages.tips) {
    const why = { code: 'tips-while-built', of: 'truss' };
    const [only] = stages.about.length === 1 ? stages.about : [];
    const reckonings: Reckoned[] = [
      {
        formula: 'own moment - Σ moments of the loads beyond it ≥ 0, about the outermost hoists',
        numbers: {},
        unit: 'kg·m',
        source: 'equilibrium, with the loads alone that tip it',
        result: stages.rightingNm / STANDARD_GRAVITY,
      },
    ];
    const pickUpId = only === undefined ? null : (ids[only] ?? null);
    return { missing: [why], findings: [{ ...about, pickUpId, state: 'forbidden', why: [why], reckonings }] };
  }
  if (stages.unheld === 0) return null;
  const why = { code: 'stage-not-solved', of: 'truss' };
  return { missing: [why], findings: [{ ...about, state: 'unknown', why: [why] }] };
}
