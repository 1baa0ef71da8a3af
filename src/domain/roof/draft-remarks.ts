import type { CapacityTerms, Member, RoofDraft, RoofPoint } from './structure.ts';

/** Something not stated. The roof can be published, but the checks that need it will be `unknown`. */
export type DraftRemark = { pointer: string; code: DraftRemarkCode; message: string };

type DraftRemarkCode =
  | 'basis-not-stated'
  | 'format-not-stated'
  | 'dynamic-not-stated'
  | 'must-include-not-stated'
  | 'others-loaded-not-stated'
  | 'holds-alone-only'
  | 'rating-not-stated'
  | 'inspection-not-stated'
  | 'state-reason-not-stated'
  | 'not-on-a-member'
  | 'supports-not-stated'
  | 'allowables-not-stated'
  | 'allowables-have-gaps'
  | 'allowable-terms-not-stated'
  | 'self-weight-not-stated'
  | 'other-effects-not-covered'
  | 'standing-load-empty';

type Add = (pointer: string, code: DraftRemarkCode, message: string) => void;

export function remarksOn(draft: RoofDraft): DraftRemark[] {
  const remarks: DraftRemark[] = [];
  const add: Add = (pointer, code, message) => remarks.push({ pointer, code, message });
  for (const [index, member] of draft.members.entries()) remarkMember(member, `/members/${index}`, add);
  for (const [index, point] of draft.points.entries()) remarkPoint(point, `/points/${index}`, add);
  for (const [index, limit] of draft.limits.entries()) remarkTerms(limit.terms, `/limits/${index}/terms`, add);
  for (const [index, load] of draft.standingLoads.entries()) {
    if (load.points.length + load.memberLoads.length === 0) {
      add(`/standingLoads/${index}`, 'standing-load-empty', 'weighs on no point and no member');
    }
  }
  return remarks;
}

function remarkPoint(point: RoofPoint, at: string, add: Add): void {
  if (point.wllKg === null) add(`${at}/wllKg`, 'rating-not-stated', 'no rating: nothing can be found to fit here');
  if (point.inspectionDueDay === null) add(`${at}/inspectionDueDay`, 'inspection-not-stated', 'no day on which its inspection is due');
  if (point.state !== 'inService' && (point.stateReason ?? '').trim() === '') {
    add(`${at}/stateReason`, 'state-reason-not-stated', 'restricted or out of service without a reason');
  }
  if (point.on.length === 0) add(`${at}/on`, 'not-on-a-member', 'on no member: member checks cannot count its load');
  remarkTerms(point.terms, `${at}/terms`, add);
}

function remarkMember(member: Member, at: string, add: Add): void {
  if (member.supports.length < 2) add(`${at}/supports`, 'supports-not-stated', 'fewer than two supports: its forces cannot be found');
  if (member.selfKgPerM === null) add(`${at}/selfKgPerM`, 'self-weight-not-stated', 'its own weight is not stated');
  if (member.allowableIs === null) add(`${at}/allowableIs`, 'allowable-terms-not-stated', 'whether its own weight is already taken off');
  if (member.otherEffectsBasis === null) {
    add(`${at}/otherEffectsBasis`, 'other-effects-not-covered', 'nothing covers sideways force, torsion, flange bending and buckling');
  }
  const stated = member.allowables.filter(
    ({ saggingKnm, hoggingKnm, shearKn }) => saggingKnm !== null && hoggingKnm !== null && shearKn !== null,
  );
  if (stated.length === 0) add(`${at}/allowables`, 'allowables-not-stated', 'no full set of allowable forces');
  else if (stated.length < member.allowables.length) {
    add(`${at}/allowables`, 'allowables-have-gaps', 'some ranges lack an allowable force');
  }
  remarkTerms(member.terms, `${at}/terms`, add);
}

function remarkTerms(terms: CapacityTerms, at: string, add: Add): void {
  if (terms.basis === null) add(`${at}/basis`, 'basis-not-stated', 'where the capacity comes from');
  if (terms.format === null) add(`${at}/format`, 'format-not-stated', 'whether to compare with the load itself or the load times factors');
  if (terms.dynamic === null) add(`${at}/dynamic`, 'dynamic-not-stated', 'whether lifting is already allowed for');
  if (terms.mustInclude === null) add(`${at}/mustInclude`, 'must-include-not-stated', 'what the load must include');
  if (terms.holdsWithOthersLoaded === null) {
    add(`${at}/holdsWithOthersLoaded`, 'others-loaded-not-stated', 'whether it holds with every other point loaded');
  } else if (!terms.holdsWithOthersLoaded) {
    add(`${at}/holdsWithOthersLoaded`, 'holds-alone-only', 'does not hold with every other point loaded: checks will be unknown');
  }
}
