import type { FaultList } from './draft-faults.ts';
import { checkStation } from './draft-members.ts';
import type { CapacityTerms, RoofPoint } from './structure.ts';

export const LARGEST_MASS_KG = 1_000_000;
/** Farther from the datum than any venue reaches: a millimetre taken for a metre. */
export const FARTHEST_M = 2000;

export function checkPlace({ xM, yM, zM }: { xM: number; yM: number; zM: number }, list: FaultList): void {
  list.at('xM').number(xM, -FARTHEST_M, FARTHEST_M, 'm');
  list.at('yM').number(yM, -FARTHEST_M, FARTHEST_M, 'm');
  list.at('zM').number(zM, -FARTHEST_M, FARTHEST_M, 'm');
}

/** @param memberLengths  by member id; null = the member exists, its length does not */
export function checkPoint(point: RoofPoint, memberLengths: ReadonlyMap<string, number | null>, list: FaultList): void {
  checkPlace(point, list);
  checkPlaceOnMembers(point, memberLengths, list.at('on'));
  if (point.wllKg !== null) list.at('wllKg').number(point.wllKg, 0, LARGEST_MASS_KG, 'kg');
  for (const [index, reduction] of point.reductions.entries()) {
    const at = list.at('reductions', index);
    at.days(reduction);
    const possible = at.at('wllKg').number(reduction.wllKg, 0, LARGEST_MASS_KG, 'kg');
    if (possible && point.wllKg !== null && reduction.wllKg > point.wllKg) {
      at.at('wllKg').add('reduction-not-lower', 'a reduced rating must not be above the rating itself', { wllKg: point.wllKg });
    }
  }
  if (point.maxAngleDeg !== null) list.at('maxAngleDeg').number(point.maxAngleDeg, 0, 90, 'deg');
  if (point.maxSidewaysKn !== null) list.at('maxSidewaysKn').number(point.maxSidewaysKn, 0, 100_000, 'kN');
  if (point.stiffnessKnPerM !== null) list.at('stiffnessKnPerM').numberAbove(point.stiffnessKnPerM, 0, 1e9, 'kN/m');
  for (const [index, period] of point.outOfService.entries()) list.at('outOfService', index).days(period);
  list.at('inspectionDueDay').day(point.inspectionDueDay);
  checkTerms(point.terms, list.at('terms'));
}

/** A point hung between members puts a share of its load on each; the shares make up the whole load. */
const SHARE_TOLERANCE = 1e-6;

function checkPlaceOnMembers({ on }: RoofPoint, memberLengths: ReadonlyMap<string, number | null>, list: FaultList): void {
  let sum = 0;
  let possible = true;
  for (const [index, { memberId, stationM, share }] of on.entries()) {
    const at = list.at(index);
    const known = at.at('memberId').known(memberId, new Set(memberLengths.keys()), 'member');
    checkStation(stationM, known ? (memberLengths.get(memberId) ?? null) : null, at.at('stationM'));
    possible = at.at('share').numberAbove(share, 0, 1, 'of the load') && possible;
    sum += share;
  }
  if (on.length > 0 && possible && Math.abs(sum - 1) > SHARE_TOLERANCE) {
    list.add('shares-not-whole', 'the shares of the members must add up to 1', { sum });
  }
}

/** What is stated must be possible; what is not stated makes checks `unknown` and is a remark, not a fault. */
export function checkTerms(terms: CapacityTerms, list: FaultList): void {
  if (terms.basis !== null) list.at('basis', 'day').day(terms.basis.day);
  if (terms.format?.kind === 'design') {
    list.at('format', 'permanentFactor').number(terms.format.permanentFactor, 1, 10, '(a factor)');
    list.at('format', 'imposedFactor').number(terms.format.imposedFactor, 1, 10, '(a factor)');
  }
  if (terms.dynamic?.kind === 'included') list.at('dynamic', 'factor').number(terms.dynamic.factor, 1, 10, '(a factor)');
}
