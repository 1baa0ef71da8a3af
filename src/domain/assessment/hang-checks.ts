import { compensatedSum } from '../foundation/sum.ts';
import { legsOf } from '../plan/attachment-places.ts';
import type { HangLoads, PickUpLoads } from '../plan/hang-loads.ts';
import { partOf } from '../plan/equipment-used.ts';
import type { PartUsed, Plan } from '../plan/plan.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { Policy, PublishedRoof } from '../roof/structure.ts';
import { utilisationOf, verdictOf } from '../roof/verdict.ts';
import type { Check } from './assessment.ts';
import type { Why } from './check.ts';
import { checkOf, numbersText, printed, reasonOf, whysMissing } from './check.ts';
import { findingChecks } from './finding-checks.ts';
import type { Interval } from './load-units.ts';

/** What is asked of one hang and its lines, whatever they hang from. */
export function hangChecks(loads: HangLoads, during: Interval, plan: Plan, roof: PublishedRoof): Check[] {
  const { policy } = roof.policy;
  const checks = [massCheck(loads, during), ...windChecks(loads, during, roof), ...findingChecks(loads, during, policy)];
  for (const pickUp of loads.pickUps) {
    checks.push(...hoistChecks(loads, pickUp, during, policy), plumbCheck(loads, pickUp, during, policy));
    checks.push(...bridleChecks(loads, pickUp, during, policy), ...allowedChecks(loads, pickUp, during, plan, policy));
  }
  return checks;
}

/** Everything that hangs has a stated mass, and the loads given for it do not contradict the list. */
function massCheck({ hang, takeOff, missing }: HangLoads, during: Interval): Check {
  const whys = whysMissing(missing);
  const massKg = compensatedSum(takeOff.map((row) => row.massKg ?? 0));
  const reckonedKg = compensatedSum(takeOff.map((row) => row.reckonedKg ?? 0));
  const reckoning = [
    {
      formula: 'Σ massKg · (1 + contingency)',
      numbers: numbersText({ rows: takeOff.length, massKg }),
      result: `${reckonedKg} kg`,
      source: 'take-off of the hang with its hoists and parts',
    },
  ];
  return checkOf('mass', [hang.id], {
    hangId: hang.id,
    during,
    verdict: whys.length === 0 ? 'fits' : 'unknown',
    reason: reasonOf(whys),
    reckoning,
  });
}

/** Not indoors, every hang needs its wind actions. What wind does to the split between several pick-ups, or several legs, is not computed. */
function windChecks({ hang }: HangLoads, during: Interval, { exposure }: PublishedRoof): Check[] {
  if (exposure === 'indoor') return [];
  const about = { hangId: hang.id, during };
  if (hang.wind === null) {
    const reason = { code: 'wind-not-stated', text: 'the space is not indoors and no wind actions are stated' };
    return [checkOf('wind', [hang.id], { ...about, verdict: 'unknown', reason })];
  }
  if ((hang.linesOffPlumb ?? []).length > 0) {
    const reason = { code: 'wind-on-lines-off-plumb', text: 'how wind shifts the load between lines off plumb is not computed' };
    return [checkOf('wind', [hang.id], { ...about, verdict: 'unknown', reason })];
  }
  if (hang.pickUps.some(({ attachment }) => attachment.kind !== 'direct')) {
    const reason = { code: 'wind-on-bridle', text: 'how wind shifts the load between the legs of a bridle is not computed' };
    return [checkOf('wind', [hang.id], { ...about, verdict: 'unknown', reason })];
  }
  if (hang.pickUps.length > 1) {
    const reason = { code: 'wind-on-several-pick-ups', text: 'how wind shifts the load between several pick-ups is not computed' };
    return [checkOf('wind', [hang.id], { ...about, verdict: 'unknown', reason })];
  }
  const { inServiceKn, outOfServiceKn, comesDownAtMPerS } = hang.wind;
  const reckoning = [
    {
      formula: 'max(inServiceKn, outOfServiceKn), from any side, on the point',
      numbers: numbersText({ inServiceKn, outOfServiceKn, comesDownAtMPerS }),
      result: `${Math.max(inServiceKn, outOfServiceKn)} kN sideways`,
      source: 'wind actions entered with the hang',
    },
  ];
  return [checkOf('wind', [hang.id], { ...about, verdict: 'fits', reckoning })];
}

function hoistChecks(loads: HangLoads, { pickUp, line, secondary }: PickUpLoads, during: Interval, policy: Policy): Check[] {
  const { hoist } = line;
  if (hoist === null) return [];
  const subjects = [loads.hang.id, pickUp.id];
  const about = { hangId: loads.hang.id, pickUpId: pickUp.id, during };
  const whys: Why[] = whysMissing([...line.missing, ...line.missingForRating]);
  const { massKg, slackKg } = line.onHoist;
  if (hoist.wllKg === null) whys.unshift({ code: 'hoist-wll-not-stated', text: 'the WLL of the hoist is not stated' });
  const reason = reasonOf(whys);
  const rated = (demand: number) => ({
    demand,
    capacity: hoist.wllKg,
    unit: 'kg' as const,
    utilisation: utilisationOf(demand, hoist.wllKg),
    verdict: verdictOf(demand, hoist.wllKg, policy.closeFrom, whys.length > 0),
    reason,
    hangId: about.hangId,
    pickUpId: about.pickUpId,
    during,
  });
  const reckoning = [...line.reckonings.slice(0, 1).map(printed), ratingReckoning(line, massKg)];
  const checks = [checkOf('hoist', [...subjects, 'rating'], rated(massKg), { case: line.onHoist.case, reckoning })];
  if (slackKg !== null) {
    const lost = { hard: policy.secondaryCasesHard, case: 'slack' as const, reckoning: [ratingReckoning(line, slackKg)] };
    checks.push(checkOf('hoist', [...subjects, 'rating', 'slack'], rated(slackKg), lost));
  }
  if (!loads.overPeople) return checks;
  checks.push(overPeopleCheck(loads, pickUp, hoist, secondary, during), moveOverPeopleCheck(subjects, about, hoist.mayMoveOverPeople));
  return checks;
}

const ratingReckoning = ({ line, hoist }: PickUpLoads['line'], massKg: number): Check['reckoning'][number] => ({
  formula: 'hook load + what the WLL has still to carry of the hoist itself ≤ WLL',
  numbers: numbersText(
    hoist === null || hoist.wllKg === null
      ? { ofTheHoistKg: line.countsAgainstHoistKg }
      : { ofTheHoistKg: line.countsAgainstHoistKg, wllKg: hoist.wllKg },
  ),
  result: `${massKg} kg`,
  source: "maker's WLL",
});

/** May this hoist hold a load over people, and with what beside it? */
function overPeopleCheck(
  loads: HangLoads,
  pickUp: PickUpLoads['pickUp'],
  hoist: NonNullable<PickUpLoads['line']['hoist']>,
  secondary: PickUpLoads['secondary'],
  during: Interval,
): Check {
  const overs: Why[] = [];
  const unknowns: Why[] = [];
  if (hoist.mayHoldOverPeople === false)
    overs.push({ code: 'may-not-hold-over-people', text: 'this hoist may not hold a load over people' });
  if (hoist.mayHoldOverPeople === null)
    unknowns.push({ code: 'over-people-not-stated', text: 'whether this hoist may hold a load over people is not stated' });
  if (hoist.needsSecondary === true && secondary === null)
    overs.push({ code: 'secondary-missing', text: 'this hoist needs a secondary from a point of its own and none is entered' });
  if (hoist.needsSecondary === true && secondary !== null && secondary.peakKn === null)
    unknowns.push({ code: 'no-rated-catch', text: 'this hoist needs a secondary, and what the one entered can catch is not stated' });
  if (hoist.needsSecondary === true && secondary?.findings.some(({ demand, capacity }) => (demand ?? 0) > (capacity ?? Infinity)) === true)
    overs.push({
      code: 'secondary-too-weak',
      text: 'this hoist needs a secondary, and the one entered is not rated for this mass or fall',
    });
  if (hoist.needsSecondary === null)
    unknowns.push({ code: 'secondary-not-stated', text: 'whether this hoist needs a secondary is not stated' });
  return checkOf('hoist', [loads.hang.id, pickUp.id, 'overPeople'], {
    hangId: loads.hang.id,
    pickUpId: pickUp.id,
    during,
    verdict: overs.length > 0 ? 'over' : unknowns.length > 0 ? 'unknown' : 'fits',
    reason: reasonOf([...overs, ...unknowns]),
  });
}

/** A hoist that may only hold can still be agreed to: the floor below is then closed while it moves. So this advises. */
function moveOverPeopleCheck(subjects: readonly string[], about: Partial<Check>, mayMove: boolean | null): Check {
  const reason =
    mayMove === true
      ? null
      : mayMove === false
        ? { code: 'may-not-move-over-people', text: 'this hoist may not move a load over people: close the floor below while it moves' }
        : { code: 'moving-over-people-not-stated', text: 'whether this hoist may move a load over people is not stated' };
  const verdict = mayMove === true ? 'fits' : mayMove === false ? 'over' : 'unknown';
  return checkOf('hoist', [...subjects, 'moveOverPeople'], { hard: false, case: 'moving', verdict, reason }, about);
}

function plumbCheck(loads: HangLoads, { pickUp, plumb }: PickUpLoads, during: Interval, { plumbDeg, closeFrom }: Policy): Check {
  const whys = whysMissing(plumb.missing);
  const numbers: Record<string, number> = {};
  if (plumb.offset !== null) Object.assign(numbers, { offsetXM: plumb.offset.xM, offsetYM: plumb.offset.yM });
  if (plumb.heightM !== null) numbers.heightM = plumb.heightM;
  if (plumb.heldAtDeg !== undefined) numbers.heldAtDeg = plumb.heldAtDeg;
  return checkOf('plumb', [loads.hang.id, pickUp.id], {
    hangId: loads.hang.id,
    pickUpId: pickUp.id,
    during,
    demand: plumb.angleDeg,
    capacity: plumbDeg,
    unit: 'deg',
    utilisation: utilisationOf(plumb.angleDeg, plumbDeg),
    verdict: verdictOf(plumb.angleDeg, plumbDeg, closeFrom, whys.length > 0),
    reason: reasonOf(whys),
    reckoning: [
      {
        formula:
          plumb.heldAtDeg === undefined
            ? 'atan(offset / height) at trim'
            : 'angle at trim between the line as drawn and where its lines off plumb hold it',
        numbers: numbersText(numbers),
        result: plumb.angleDeg === null ? '' : `${plumb.angleDeg} deg`,
        source: 'tolerance of the policy',
      },
    ],
  });
}

function bridleChecks(loads: HangLoads, { pickUp, line, bridle }: PickUpLoads, during: Interval, policy: Policy): Check[] {
  if (bridle === null) return [];
  const subjects = [loads.hang.id, pickUp.id];
  const about = { hangId: loads.hang.id, pickUpId: pickUp.id, during };
  if (bridle.refusal !== null) {
    if (pickUp.attachment.kind === 'tiers') return [tiersRefused(subjects, about, line, bridle)];
    const reason = { code: bridle.refusal.code, text: 'the bridle cannot hang as drawn' };
    return [checkOf('leg', subjects, { ...about, verdict: 'over', reason })];
  }
  if (bridle.legs === null || bridle.widestIncludedDeg === null) {
    const reason = { code: 'point-missing', text: 'the bridle ends at a point that the roof does not have' };
    return [checkOf('leg', subjects, { ...about, verdict: 'unknown', reason })];
  }
  const closeFrom = policy.legOverDeg === 0 ? 1 : policy.legCloseDeg / policy.legOverDeg;
  const angle = (what: string, formula: string, demand: number, capacity: number): Check =>
    checkOf('leg', [...subjects, what], {
      ...about,
      demand,
      capacity,
      unit: 'deg',
      utilisation: utilisationOf(demand, capacity),
      verdict: verdictOf(demand, capacity, closeFrom),
      reckoning: [
        { formula, numbers: numbersText({ closeFromDeg: closeFrom * capacity }), result: `${demand} deg`, source: 'angles of the policy' },
      ],
    });
  const steepest = bridle.legs.reduce((widest, { angleOffVerticalDeg }) => Math.max(widest, angleOffVerticalDeg), 0);
  const checks = [
    angle('offVertical', 'widest angle of a leg off vertical', steepest, policy.legOverDeg),
    angle('included', 'widest angle between two legs', bridle.widestIncludedDeg, 2 * policy.legOverDeg),
  ];
  if (bridle.legs.some(({ slack }) => slack)) {
    const reason = { code: 'leg-slack', text: 'a leg carries nothing: the load hangs on the others alone' };
    checks.push(checkOf('leg', [...subjects, 'slack'], { ...about, verdict: 'close', reason }));
  }
  return checks;
}

/** How tiers lean follows from what hangs on them: with a mass missing nobody can tell that they cannot hang so. */
function tiersRefused(
  subjects: readonly string[],
  about: Partial<Check>,
  line: PickUpLoads['line'],
  { refusal, takeOff }: NonNullable<PickUpLoads['bridle']>,
): Check {
  if (refusal === null) throw new Error('these tiers are refused');
  const doubts = whysMissing([...line.missing, ...missingMasses(takeOff)]);
  const off = 'offM' in refusal ? `, ${Math.ceil(refusal.offM * 1000)} mm from where it would come to rest` : '';
  const where = 'tier' in refusal ? `: ${refusal.tier}${off}` : '';
  const whys: Why[] = [{ code: refusal.code, text: `the tiers cannot hang as drawn${where}` }, ...doubts];
  return checkOf('leg', subjects, { ...about, verdict: doubts.length > 0 ? 'unknown' : 'over', reason: reasonOf(whys) });
}

/** What the policy does not allow at all. */
function allowedChecks(loads: HangLoads, { pickUp }: PickUpLoads, during: Interval, plan: Plan, { allow }: Policy): Check[] {
  const about = { hangId: loads.hang.id, pickUpId: pickUp.id, during, verdict: 'over' as const };
  const subjects = [loads.hang.id, pickUp.id];
  const checks: Check[] = [];
  const { attachment } = pickUp;
  const hasBridle = attachment.kind === 'bridle' || (attachment.kind === 'tiers' && attachment.tiers.some(({ kind }) => kind === 'ring'));
  if (!allow.bridles && hasBridle)
    checks.push(
      checkOf('policy', [...subjects, 'bridles'], {
        ...about,
        reason: { code: 'bridles-not-allowed', text: 'the venue does not allow bridles' },
      }),
    );
  const spreader =
    (attachment.kind === 'tiers' && attachment.tiers.some(({ kind }) => kind === 'spreader')) ||
    partsOf(pickUp).some(({ equipment }) => partOf(plan, equipment).part.part === 'spreader');
  if (!allow.spreaders && spreader)
    checks.push(
      checkOf('policy', [...subjects, 'spreaders'], {
        ...about,
        reason: { code: 'spreaders-not-allowed', text: 'the venue does not allow spreaders' },
      }),
    );
  return checks;
}

function partsOf({ attachment }: PickUpLoads['pickUp']): PartUsed[] {
  if (attachment.kind === 'bridle') return [...attachment.apexParts, ...attachment.legs.flatMap(({ parts }) => parts)];
  if (attachment.kind !== 'tiers') return attachment.parts;
  const ofTiers = attachment.tiers.flatMap((tier) => [...tier.parts, ...legsOf(tier).flatMap(({ parts }) => parts)]);
  return [...attachment.foot.parts, ...ofTiers];
}
