import { lengthOf, between } from '../foundation/vector.ts';
import type { FaultList } from './draft-faults.ts';
import type { Member, RoofNode } from './structure.ts';

/** Nearer than this, two places on a drawing are one place. Also how far rounding may carry a station past a member's end. */
export const SAME_PLACE_M = 0.001;
const LARGEST_KG_PER_M = 100_000;
const LARGEST_FORCE = 1_000_000; // kN or kNm; beyond any roof, so a slip of the unit

/** Length between its nodes [m]; null when a node does not exist. */
export function memberLengthM(member: Member, nodes: ReadonlyMap<string, RoofNode>): number | null {
  const [from, to] = [nodes.get(member.fromNodeId), nodes.get(member.toNodeId)];
  if (from === undefined || to === undefined) return null;
  const lengthM = lengthOf(between(from, to));
  return Number.isFinite(lengthM) ? lengthM : null;
}

export function checkMember(member: Member, nodes: ReadonlyMap<string, RoofNode>, list: FaultList): void {
  const nodeIds = new Set(nodes.keys());
  list.at('fromNodeId').known(member.fromNodeId, nodeIds, 'node');
  list.at('toNodeId').known(member.toNodeId, nodeIds, 'node');
  const lengthM = memberLengthM(member, nodes);
  if (lengthM !== null && lengthM < SAME_PLACE_M) {
    list.add('member-without-length', 'its two nodes are at the same place', { lengthM });
  }
  checkSupports(member, lengthM, list.at('supports'));
  if (member.selfKgPerM !== null) list.at('selfKgPerM').number(member.selfKgPerM, 0, LARGEST_KG_PER_M, 'kg/m');
  if (member.eGpa !== null) list.at('eGpa').numberAbove(member.eGpa, 0, 1000, 'GPa');
  if (member.iCm4 !== null) list.at('iCm4').numberAbove(member.iCm4, 0, 1e10, 'cm⁴');
  for (const [index, load] of member.deadLoads.entries()) {
    const at = list.at('deadLoads', index);
    checkRange(load, lengthM, at);
    at.at('kgPerM').number(load.kgPerM, 0, LARGEST_KG_PER_M, 'kg/m');
  }
  for (const [index, allowable] of member.allowables.entries()) {
    const at = list.at('allowables', index);
    checkRange(allowable, lengthM, at);
    for (const name of ['saggingKnm', 'hoggingKnm', 'shearKn'] as const) {
      const value = allowable[name];
      if (value !== null) at.at(name).number(value, 0, LARGEST_FORCE, name === 'shearKn' ? 'kN' : 'kNm');
    }
    const overlapped = member.allowables.findIndex((other, before) => before < index && rangesOverlap(other, allowable));
    if (overlapped >= 0) at.add('ranges-overlap', 'two ranges of allowables overlap: which one holds?', { other: overlapped });
  }
  if (member.panelPoints !== null) {
    const { atM, toleranceM } = member.panelPoints;
    for (const [index, stationM] of atM.entries()) checkStation(stationM, lengthM, list.at('panelPoints', 'atM', index));
    list.at('panelPoints', 'toleranceM').number(toleranceM, 0, 100, 'm');
  }
  if (member.otherEffectsBasis !== null) list.at('otherEffectsBasis', 'day').day(member.otherEffectsBasis.day);
}

function checkSupports({ supports }: Member, lengthM: number | null, list: FaultList): void {
  for (const [index, support] of supports.entries()) {
    const at = list.at(index);
    checkStation(support.atM, lengthM, at.at('atM'));
    if (support.id.trim() === '') at.at('id').add('id-missing', 'must have an id');
    const before = supports.slice(0, index);
    if (before.some(({ id }) => id === support.id)) at.at('id').add('id-repeated', 'another support has this id', { id: support.id });
    if (before.some(({ atM }) => Math.abs(atM - support.atM) < SAME_PLACE_M)) {
      at.at('atM').add('supports-coincide', 'two supports share one place', { atM: support.atM });
    }
  }
}

/** @returns whether the station lies on the member; one on a member of unknown length is only checked for being a number */
export function checkStation(stationM: number, lengthM: number | null, list: FaultList): boolean {
  if (!list.number(stationM, -SAME_PLACE_M, 100_000, 'm')) return false;
  if (lengthM === null || stationM <= lengthM + SAME_PLACE_M) return true;
  list.add('station-off-member', 'lies beyond the end of the member', { stationM, lengthM });
  return false;
}

/** Ranges that are reversed are told already, and overlap nothing. */
function rangesOverlap(a: { fromM: number; toM: number }, b: { fromM: number; toM: number }): boolean {
  return Math.min(a.toM, b.toM) - Math.max(a.fromM, b.fromM) >= SAME_PLACE_M;
}

/** A stretch of a member; both ends on it, and one before the other. */
export function checkRange({ fromM, toM }: { fromM: number; toM: number }, lengthM: number | null, list: FaultList): void {
  const placed = [checkStation(fromM, lengthM, list.at('fromM')), checkStation(toM, lengthM, list.at('toM'))].every(Boolean);
  if (placed && toM - fromM < SAME_PLACE_M) list.at('toM').add('range-reversed', 'must lie beyond its start', { fromM, toM });
}
