import { compensatedSum } from '../foundation/sum.ts';
import type { Contingency, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { HangFinding, HookLoad, HookLoads, HookRules, Reckoned } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { GivenLoad, Hang } from './plan.ts';
import { cableKg, itemKg, knownKg, listedItems, reckonedKg, takeOffRows } from './take-off-items.ts';

/** A single or cable pick: all that is listed hangs on its one hook. */
export function listedHookLoads(hang: Hang, contingency: Contingency): HookLoads {
  const rows = takeOffRows(listedItems(hang.items, hang.cables, 'below-hook', 'hang'), contingency);
  const missing: Missing[] = missingMasses(rows);
  if (rows.length === 0) missing.push({ code: 'no-load-listed', of: 'hang' });
  const [only] = hang.pickUps;
  const nothing = { takeOff: rows, findings: [], places: [], cautions: [] };
  if (only === undefined) return { ...nothing, hooks: [], missing: [...missing, { code: 'no-pick-up', of: 'hang' }] };
  const totalKg = reckonedKg(rows);
  const reckoning: Reckoned = {
    formula: 'Σ massKg · (1 + contingency)',
    numbers: { massKg: knownKg(rows), contingencyKg: totalKg - knownKg(rows) },
    unit: 'kg',
    source: 'take-off of the hang; contingency of the policy',
    result: totalKg,
  };
  const hook = {
    pickUpId: only.id,
    restingKg: totalKg,
    buildKg: totalKg,
    movingKg: totalKg,
    slackKg: null,
    whenLost: [],
    missing,
    reckonings: [reckoning],
  };
  return { ...nothing, hooks: [hook], missing };
}

type Given = { readonly id: string; readonly givenLoad: GivenLoad };

/** Loads that somebody else worked out, in place of our statics. */
export function givenHookLoads(hang: Hang, given: readonly Given[], { contingency, levelMovingM }: HookRules): HookLoads {
  const rows = takeOffRows(
    given.map(({ id, givenLoad }) => ({ id, kind: 'equipment', place: 'below-hook', massKg: givenLoad.massKg, basis: givenLoad.basis })),
    contingency,
  );
  const missing = [...shortOfTheList(hang, rows), ...levelsNotCovered(given, levelMovingM), ...buildNotCovered(given)];
  const hooks = rows.map(({ id, massKg, contingency: share, reckonedKg: kg }): HookLoad => {
    const loadKg = kg ?? 0;
    const reckoning: Reckoned = {
      formula: 'massKg · (1 + contingency)',
      numbers: { massKg: massKg ?? 0, contingency: share },
      unit: 'kg',
      source: 'load given for this pick-up; contingency of the policy',
      result: loadKg,
    };
    return {
      pickUpId: id,
      restingKg: loadKg,
      buildKg: loadKg,
      movingKg: loadKg,
      slackKg: null,
      whenLost: [],
      missing,
      reckonings: [reckoning],
    };
  });
  return { hooks, takeOff: rows, missing, findings: lostNotGiven(given), places: [], cautions: buildCautions(given) };
}

/**
 * Three hoists or more share a load by their levels. What is given for level ones says nothing of hoists that are not, unless whoever
 * gave it has looked at that too.
 */
function levelsNotCovered(given: readonly Given[], levelMovingM: number): Missing[] {
  if (given.length < 3) return [];
  const covered = given.every(({ givenLoad }) => (givenLoad.levelWithinMm ?? 0) >= levelMovingM * 1000);
  return covered ? [] : [{ code: 'level-envelope-not-given', of: 'hang' }];
}

/**
 * A load that is not there yet relieves no hoist. On three hoists or more any load may relieve one; on two only a load beyond a hoist
 * does, so that what is not stated is told to the reader there. On one nothing can.
 */
function buildNotCovered(given: readonly Given[]): Missing[] {
  const isDenied = given.some(({ givenLoad }) => givenLoad.coversBuild === false);
  const matters = given.length > 2 ? !isBuildCovered(given) : given.length === 2 && isDenied;
  return matters ? [{ code: 'build-stages-not-given', of: 'hang' }] : [];
}

const BUILD_NOT_STATED =
  'Given loads of some hangs on two hoists are not said to hold while some of what hangs is not there yet: a load beyond one hoist relieves the other only once it hangs.';

const buildCautions = (given: readonly Given[]): string[] =>
  given.length === 2 && !isBuildCovered(given) && buildNotCovered(given).length === 0 ? [BUILD_NOT_STATED] : [];

const isBuildCovered = (given: readonly Given[]): boolean => given.every(({ givenLoad }) => givenLoad.coversBuild === true);

/** What the others carry once one of three hoists or more is lost does not follow from what each carries now. */
function lostNotGiven(given: readonly Given[]): HangFinding[] {
  if (given.length < 3) return [];
  const why = [{ code: 'lost-hoist-not-given', of: 'hang' }];
  return [{ ...BLANK_FINDING, kind: 'configuration', subject: 'lostHoist', hard: false, case: 'slack', state: 'unknown', why }];
}

/** Given loads are stated in whole kilograms as a rule, so that their sum may fall short of the list by half a kilogram each. */
const ROUNDING_PER_PICK_UP_KG = 0.5;

/** Loads that add up to less than what is listed as hanging there contradict the list: neither can be trusted. */
function shortOfTheList(hang: Hang, given: readonly TakeOffRow[]): Missing[] {
  const listed = [...hang.items.map(itemKg), ...hang.cables.map(cableKg)].map((massKg) => massKg ?? 0);
  const allowanceKg = ROUNDING_PER_PICK_UP_KG * given.length;
  const short = reckonedKg(given) + allowanceKg < compensatedSum(listed);
  return short ? [{ code: 'given-loads-short-of-list', of: 'hang' }] : [];
}
