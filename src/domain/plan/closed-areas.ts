import type { PlanPoint } from '../foundation/polygon.ts';
import { isInsidePolygon } from '../foundation/polygon.ts';
import { pointIdsOf, placesBetween } from './attachment-places.ts';
import { boxCorners } from './hang-box.ts';
import { asInstant } from './instants.ts';
import type { Hang, PickUp, Plan } from './plan.ts';
import type { Anchors } from './pull.ts';

/**
 * Everything is over people unless the plan names an area that is closed to them all the while that the hang is up, and the hang's box at
 * trim and all its lines and legs lie in it. A hang without a box may be anywhere. Areas are convex, so what has its ends inside is inside.
 * @param during  the hang's own time, UTC
 */
export function isOverPeople(
  { closedAreas }: Pick<Plan, 'closedAreas'>,
  { box, pickUps, linesOffPlumb }: Hang,
  during: { from: string; to: string },
  anchors: Anchors,
): boolean {
  if (box === null || closedAreas === undefined) return true;
  const ends = (linesOffPlumb ?? []).map(({ to }) => ('pointId' in to ? anchors(to.pointId) : to.place));
  const lines = [...pickUps.map((pickUp) => placesOf(pickUp, anchors)), ...ends.map((end) => (end === null ? null : [end]))];
  const places = [boxCorners(box), ...lines.filter((line) => line !== null)].flat();
  if (lines.includes(null)) return true;
  return !closedAreas.some(({ corners: area, from, to }) => {
    const [closedFrom, closedTo] = [asInstant(from), asInstant(to)];
    if (closedFrom === null || closedTo === null || closedFrom > during.from || closedTo < during.to) return false;
    return places.every((place) => isInsidePolygon(place, area));
  });
}

/** Hook, apex and points of one line; null where the roof lacks a point, or the line goes on to another hang. */
function placesOf({ position, attachment, secondary }: PickUp, anchors: Anchors): PlanPoint[] | null {
  if (attachment.kind === 'hang') return null;
  const ids = pointIdsOf(attachment);
  if (secondary !== null && secondary !== undefined) ids.push(secondary.pointId);
  const points = ids.map(anchors);
  if (points.includes(null)) return null;
  return [position, ...placesBetween(attachment), ...points.filter((point) => point !== null)];
}
