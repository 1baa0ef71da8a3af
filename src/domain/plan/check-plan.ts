import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { checkPolygon, isConvex } from '../foundation/polygon.ts';
import { pointIdsOf } from './attachment-places.ts';
import { buildFaults } from './check-build.ts';
import { lineFaults } from './check-lines.ts';
import { tiersFaults } from './check-tiers.ts';
import { asInstant } from './instants.ts';
import { escaped, numberFaults } from './number-ranges.ts';
import type { PlanFault } from './plan-fault.ts';
import type { Attachment, ClosedArea, Hang, PartUsed, PickUp, Plan } from './plan.ts';

/** The stay that a plan is for: [from, to), UTC with milliseconds. */
export type ShowInterval = { readonly from: string; readonly to: string };

declare const checkedFor: unique symbol;
/** A plan in which nothing is impossible, for the stay it was checked with. Data may still be missing: those become `unknown` checks. */
export type CheckedPlan = Plan & { readonly [checkedFor]: true };

export type PlanError =
  | { code: 'plan-not-valid'; faults: PlanFault[] }
  /** Nothing is wrong with these hangs; no statics for them is offered. */
  | { code: 'hang-not-computed'; hangIds: string[]; faults: PlanFault[] };

const MOST_HANGS = 2_000;
const MOST_PICK_UPS = 200;
const NOT_COMPUTED = 'hang-not-computed';

/**
 * Everything that is impossible in a plan, all at once. What is merely not stated (`null`) is no fault here, and neither is a point that
 * the roof does not have: points belong to the roof, and a missing one is a check `unknown` of the assessment.
 * @param show  every hang's own interval must lie in it
 * @returns the plan itself, marked as checked, or every fault with its place
 */
export function checkPlan(plan: Plan, show: ShowInterval): Result<CheckedPlan, PlanError> {
  const faults = [
    ...numberFaults(plan.hangs, '/hangs'),
    ...numberFaults(plan.equipment, '/equipment'),
    ...numberFaults(plan.closedAreas ?? [], '/closedAreas'),
    ...(plan.closedAreas ?? []).flatMap((area, index) => closedAreaFaults(area, `/closedAreas/${index}`)),
    ...idFaults(plan),
    ...plan.hangs.flatMap((hang, index) => hangFaults(hang, plan, show, `/hangs/${index}`)),
  ];
  if (plan.hangs.length > MOST_HANGS) faults.push(fault('/hangs', 'too-many', `at most ${MOST_HANGS} hangs`));
  if (nothingIn(plan, faults)) return ok(plan);
  const impossible = faults.filter(({ code }) => code !== NOT_COMPUTED);
  if (impossible.length > 0) return fail({ code: 'plan-not-valid', faults });
  const hangIds = plan.hangs.filter((_, index) => faults.some(({ pointer }) => pointer.startsWith(`/hangs/${index}/`))).map(({ id }) => id);
  return fail({ code: NOT_COMPUTED, hangIds: hangIds.sort(), faults });
}

const nothingIn = (plan: Plan, faults: readonly PlanFault[]): plan is CheckedPlan => plan.format === 1 && faults.length === 0;

const fault = (pointer: string, code: string, message: string): PlanFault => ({ pointer, code, message });

function closedAreaFaults({ corners, from, to }: ClosedArea, at: string): PlanFault[] {
  const faults: PlanFault[] = [];
  const polygon = checkPolygon(corners);
  if (!polygon.ok) faults.push(fault(`${at}/corners`, polygon.error.code, 'the corners enclose no one area'));
  else if (!isConvex(corners)) faults.push(fault(`${at}/corners`, 'area-not-convex', 'enter an area with a recess as several without'));
  const [begins, ends] = [asInstant(from), asInstant(to)];
  if (begins === null) faults.push(fault(`${at}/from`, 'not-an-instant', 'must be an RFC 3339 time with an offset'));
  if (ends === null) faults.push(fault(`${at}/to`, 'not-an-instant', 'must be an RFC 3339 time with an offset'));
  if (begins !== null && ends !== null && begins >= ends) faults.push(fault(at, 'interval-reversed', 'must end after it begins'));
  return faults;
}

function idFaults(plan: Plan): PlanFault[] {
  const seen = new Map<string, string>();
  const faults: PlanFault[] = [];
  const take = (id: string, pointer: string) => {
    const earlier = seen.get(id);
    if (earlier !== undefined) faults.push(fault(pointer, 'id-twice', `the same id as ${earlier}`));
    seen.set(id, pointer);
  };
  for (const [h, hang] of plan.hangs.entries()) {
    take(hang.id, `/hangs/${h}/id`);
    for (const [l, line] of (hang.linesOffPlumb ?? []).entries()) take(line.id, `/hangs/${h}/linesOffPlumb/${l}/id`);
    for (const [p, pickUp] of hang.pickUps.entries()) take(pickUp.id, `/hangs/${h}/pickUps/${p}/id`);
  }
  return faults;
}

function hangFaults(hang: Hang, plan: Plan, show: ShowInterval, at: string): PlanFault[] {
  return [
    ...intervalFaults(hang, show, at),
    ...boxFaults(hang, at),
    ...pickUpCountFaults(hang, at),
    ...hang.pickUps.flatMap((pickUp, index) => pickUpFaults(pickUp, plan, `${at}/pickUps/${index}`)),
    ...kindFaults(hang, at),
    ...buildFaults(hang, at),
    ...lineFaults(hang, NOT_COMPUTED, at),
    ...(hang.linesOffPlumb ?? []).flatMap(({ parts }, index) => partFaults(plan, parts, `${at}/linesOffPlumb/${index}/parts`)),
  ];
}

function intervalFaults({ up }: Hang, show: ShowInterval, at: string): PlanFault[] {
  if (up === null) return [];
  const [from, to] = [asInstant(up.from), asInstant(up.to)];
  const faults: PlanFault[] = [];
  if (from === null) faults.push(fault(`${at}/up/from`, 'not-an-instant', 'must be an RFC 3339 time with an offset'));
  if (to === null) faults.push(fault(`${at}/up/to`, 'not-an-instant', 'must be an RFC 3339 time with an offset'));
  if (from === null || to === null) return faults;
  if (from >= to) faults.push(fault(`${at}/up`, 'interval-reversed', 'must end after it begins'));
  if (from < show.from) faults.push(fault(`${at}/up/from`, 'outside-show', `the show begins at ${show.from}`));
  if (to > show.to) faults.push(fault(`${at}/up/to`, 'outside-show', `the show ends at ${show.to}`));
  return faults;
}

function boxFaults({ box }: Hang, at: string): PlanFault[] {
  if (box === null) return [];
  const faults: PlanFault[] = [];
  if (box.alongM <= 0) faults.push(fault(`${at}/box/alongM`, 'not-positive', 'must be more than 0'));
  if (box.acrossM <= 0) faults.push(fault(`${at}/box/acrossM`, 'not-positive', 'must be more than 0'));
  if (box.topZM < box.bottomZM) faults.push(fault(`${at}/box/topZM`, 'box-upside-down', 'the top must not lie below the bottom'));
  return faults;
}

function pickUpCountFaults(hang: Hang, at: string): PlanFault[] {
  if (hang.pickUps.length > MOST_PICK_UPS) return [fault(`${at}/pickUps`, 'too-many', `at most ${MOST_PICK_UPS} pick-ups`)];
  const given = hang.pickUps.filter(({ givenLoad }) => givenLoad !== null).length;
  // Half given and half worked out would count some of the load twice or not at all.
  if (given > 0 && given < hang.pickUps.length)
    return [fault(`${at}/pickUps`, 'given-load-not-for-all', 'give the load of every pick-up of the hang, or of none')];
  const simple = hang.kind === 'single' || hang.kind === 'cablePick';
  if (simple && given === 0 && hang.pickUps.length > 1)
    return [fault(`${at}/pickUps`, 'one-pick-up-only', 'this kind of hang has one pick-up, unless the load of each is given')];
  return [];
}

function pickUpFaults(pickUp: PickUp, plan: Plan, at: string): PlanFault[] {
  const faults: PlanFault[] = [];
  if (pickUp.hoist !== null) faults.push(...equipmentFaults(plan, pickUp.hoist.equipment, 'hoist', `${at}/hoist/equipment`));
  faults.push(...attachmentFaults(pickUp.attachment, plan, `${at}/attachment`));
  const { secondary } = pickUp;
  if (secondary === null || secondary === undefined) return faults;
  faults.push(...partFaults(plan, secondary.parts, `${at}/secondary/parts`));
  if (pointIdsOf(pickUp.attachment).includes(secondary.pointId))
    faults.push(fault(`${at}/secondary/pointId`, 'point-twice', 'a secondary needs a point of its own'));
  return faults;
}

function attachmentFaults(attachment: Attachment, plan: Plan, at: string): PlanFault[] {
  if (attachment.kind === 'direct') return partFaults(plan, attachment.parts, `${at}/parts`);
  if (attachment.kind === 'hang') {
    const faults = partFaults(plan, attachment.parts, `${at}/parts`);
    const known = plan.hangs.some(({ id }) => id === attachment.hangId);
    if (!known) return [...faults, fault(`${at}/hangId`, 'no-such-hang', 'is no hang of this plan')];
    return [...faults, fault(at, NOT_COMPUTED, 'a pick-up on another hang is not computed: enter what hangs there as a load of that hang')];
  }
  if (attachment.kind === 'tiers') {
    const faults = [...partFaults(plan, attachment.foot.parts, `${at}/foot/parts`), ...tiersFaults(attachment, at)];
    for (const [index, tier] of attachment.tiers.entries()) {
      faults.push(...partFaults(plan, tier.parts, `${at}/tiers/${index}/parts`));
      const [legs, named] = tier.kind === 'ring' ? [tier.legs, 'legs'] : [tier.lines, 'lines'];
      for (const [leg, { parts }] of legs.entries()) faults.push(...partFaults(plan, parts, `${at}/tiers/${index}/${named}/${leg}/parts`));
    }
    return faults;
  }
  const faults = partFaults(plan, attachment.apexParts, `${at}/apexParts`);
  const { legs } = attachment;
  if (legs.length < 2) faults.push(fault(`${at}/legs`, 'too-few-legs', 'a bridle has two or three legs'));
  if (legs.length > 3)
    faults.push(
      fault(
        `${at}/legs`,
        'indeterminate',
        'the split between four legs or more cannot be known: use two or three, or tiers of two-leg bridles and spreaders',
      ),
    );
  for (const [index, leg] of legs.entries()) {
    faults.push(...partFaults(plan, leg.parts, `${at}/legs/${index}/parts`));
    if (legs.findIndex(({ pointId }) => pointId === leg.pointId) < index)
      faults.push(fault(`${at}/legs/${index}/pointId`, 'point-twice', 'two legs of a bridle must go to two points'));
  }
  return faults;
}

const partFaults = (plan: Plan, parts: readonly PartUsed[], at: string): PlanFault[] =>
  parts.flatMap(({ equipment }, index) => equipmentFaults(plan, equipment, 'part', `${at}/${index}/equipment`));

function equipmentFaults(plan: Plan, key: string, kind: 'hoist' | 'part', pointer: string): PlanFault[] {
  // A key such as `constructor` must not be found on the prototype.
  const used = Object.hasOwn(plan.equipment, key) ? plan.equipment[key] : undefined;
  if (used === undefined) return [fault(pointer, 'no-such-equipment', `/equipment/${escaped(key)} does not exist`)];
  if (used.data.kind !== kind) return [fault(pointer, 'wrong-equipment', `/equipment/${escaped(key)} is not a ${kind}`)];
  return [];
}

/** An array on more than two chains shares them by what cannot be known. */
function kindFaults(hang: Hang, at: string): PlanFault[] {
  const given = hang.pickUps.length > 0 && hang.pickUps.every(({ givenLoad }) => givenLoad !== null);
  if (given || hang.kind !== 'array' || hang.pickUps.length <= 2) return [];
  return [fault(`${at}/pickUps`, NOT_COMPUTED, 'an array is computed on one or two pick-ups: give the load of each')];
}
