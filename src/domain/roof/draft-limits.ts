import { checkPolygon } from '../foundation/polygon.ts';
import type { Polygon } from '../foundation/polygon.ts';
import type { FaultList } from './draft-faults.ts';
import { checkRange } from './draft-members.ts';
import { checkTerms, FARTHEST_M, LARGEST_MASS_KG } from './draft-points.ts';
import type { KeepOut, Limit, StandingLoad } from './structure.ts';

/** What limits, keep-outs and standing loads may refer to. A member whose length is not known has null. */
export type Referable = { pointIds: ReadonlySet<string>; memberLengths: ReadonlyMap<string, number | null> };

export function checkLimit(limit: Limit, known: Referable, list: FaultList): void {
  checkTerms(limit.terms, list.at('terms'));
  switch (limit.kind) {
    case 'group':
      checkSet(limit.pointIds, known, list.at('pointIds'));
      checkBounds(limit, list);
      return;
    case 'weighted':
      checkWeights(limit.weights, known, list.at('weights'));
      checkBounds(limit, list);
      return;
    case 'count':
      checkSet(limit.pointIds, known, list.at('pointIds'));
      if (!Number.isInteger(limit.maxLoaded) || limit.maxLoaded < 0 || limit.maxLoaded > 100_000) {
        list.at('maxLoaded').add('number-out-of-range', 'must be a whole number of points, 0 or more');
      }
      return;
    case 'spacing':
      list.at('memberId').known(limit.memberId, new Set(known.memberLengths.keys()), 'member');
      list.at('minSpacingM').numberAbove(limit.minSpacingM, 0, FARTHEST_M, 'm');
      if (limit.reducedKg !== null) list.at('reducedKg').number(limit.reducedKg, 0, LARGEST_MASS_KG, 'kg');
      return;
    case 'sideways':
      list.at('memberId').known(limit.memberId, new Set(known.memberLengths.keys()), 'member');
      if (limit.acrossKn === null && limit.alongKn === null) list.add('value-missing', 'must state a force across or along the member');
      if (limit.acrossKn !== null) list.at('acrossKn').number(limit.acrossKn, 0, 100_000, 'kN');
      if (limit.alongKn !== null) list.at('alongKn').number(limit.alongKn, 0, 100_000, 'kN');
      return;
    case 'density':
      list.at('memberId').known(limit.memberId, new Set(known.memberLengths.keys()), 'member');
      list.at('windowM').numberAbove(limit.windowM, 0, FARTHEST_M, 'm');
      list.at('maxKg').number(limit.maxKg, 0, LARGEST_MASS_KG, 'kg');
      return;
    case 'areaDensity':
      checkArea(limit.area, list.at('area'));
      list.at('maxKgPerM2').number(limit.maxKgPerM2, 0, LARGEST_MASS_KG, 'kg/m²');
      return;
  }
}

function checkBounds({ maxKg, minKg }: { maxKg: number; minKg: number | null }, list: FaultList): void {
  const possible = list.at('maxKg').number(maxKg, 0, 10 * LARGEST_MASS_KG, 'kg');
  if (minKg === null) return;
  const alsoPossible = list.at('minKg').number(minKg, -10 * LARGEST_MASS_KG, 10 * LARGEST_MASS_KG, 'kg');
  if (possible && alsoPossible && minKg > maxKg)
    list.at('minKg').add('range-reversed', 'must not be above the upper bound', { minKg, maxKg });
}

function checkSet(pointIds: readonly string[], known: Referable, list: FaultList): void {
  if (pointIds.length === 0) list.add('set-empty', 'must name at least one point');
  const seen = new Set<string>();
  for (const [index, pointId] of pointIds.entries()) {
    list.at(index).known(pointId, known.pointIds, 'point');
    if (seen.has(pointId)) list.at(index).add('id-repeated', 'the point is already in the set', { id: pointId });
    seen.add(pointId);
  }
}

function checkWeights(weights: readonly { pointId: string; factor: number }[], known: Referable, list: FaultList): void {
  if (weights.length === 0) list.add('set-empty', 'must name at least one point');
  const seen = new Set<string>();
  for (const [index, { pointId, factor }] of weights.entries()) {
    list.at(index, 'pointId').known(pointId, known.pointIds, 'point');
    if (seen.has(pointId)) list.at(index, 'pointId').add('id-repeated', 'the point already has a factor', { id: pointId });
    seen.add(pointId);
    list.at(index, 'factor').number(factor, -1000, 1000, '(a factor)');
  }
}

export function checkKeepOut(keepOut: KeepOut, list: FaultList): void {
  list.days(keepOut);
  checkArea(keepOut.area, list.at('area'));
  const placed = [
    list.at('fromZM').number(keepOut.fromZM, -FARTHEST_M, FARTHEST_M, 'm'),
    list.at('toZM').number(keepOut.toZM, -FARTHEST_M, FARTHEST_M, 'm'),
  ].every(Boolean);
  if (placed && keepOut.toZM <= keepOut.fromZM) {
    list.at('toZM').add('range-reversed', 'must be above its lower height', { fromZM: keepOut.fromZM, toZM: keepOut.toZM });
  }
}

function checkArea(area: Polygon, list: FaultList): void {
  for (const [index, { xM, yM }] of area.entries()) {
    list.at(index, 'xM').number(xM, -FARTHEST_M, FARTHEST_M, 'm');
    list.at(index, 'yM').number(yM, -FARTHEST_M, FARTHEST_M, 'm');
  }
  const found = checkPolygon(area);
  if (found.ok || found.error.code === 'not-finite') return; // the corners above have told it already
  const { code, ...facts } = found.error;
  const said = 'edges' in facts ? { edges: facts.edges.join(' and ') } : facts;
  list.add('polygon-not-valid', POLYGON_WORDS[code], { why: code, ...said });
}

const POLYGON_WORDS = {
  'polygon-too-few-corners': 'an area needs at least three corners',
  'polygon-corner-repeated': 'two corners in a row are at the same place',
  'polygon-crosses-itself': 'the outline crosses or touches itself',
  'polygon-has-no-area': 'the corners lie on one line',
} as const;

export function checkStandingLoad(load: StandingLoad, known: Referable, list: FaultList): void {
  list.days(load);
  for (const [index, { pointId, massKg }] of load.points.entries()) {
    list.at('points', index, 'pointId').known(pointId, known.pointIds, 'point');
    list.at('points', index, 'massKg').number(massKg, 0, LARGEST_MASS_KG, 'kg');
  }
  for (const [index, spread] of load.memberLoads.entries()) {
    const at = list.at('memberLoads', index);
    const memberKnown = at.at('memberId').known(spread.memberId, new Set(known.memberLengths.keys()), 'member');
    checkRange(spread, memberKnown ? (known.memberLengths.get(spread.memberId) ?? null) : null, at);
    at.at('kgPerM').number(spread.kgPerM, 0, 100_000, 'kg/m');
  }
}
