import { isInsidePolygon } from '../foundation/polygon.ts';
import type { Limit, RoofPoint } from './structure.ts';

/** The points whose loads a limit sees, each once. */
export function pointsOfLimit(
  limit: Limit,
  points: readonly RoofPoint[],
  onMember: ReadonlyMap<string, readonly { readonly pointId: string }[]>,
): ReadonlySet<string> {
  switch (limit.kind) {
    case 'group':
    case 'count':
      return new Set(limit.pointIds);
    case 'weighted':
      return new Set(limit.weights.map(({ pointId }) => pointId));
    case 'spacing':
    case 'sideways':
    case 'density':
      return new Set(onMember.get(limit.memberId)?.map(({ pointId }) => pointId));
    case 'areaDensity':
      return new Set(points.filter((point) => isInsidePolygon(point, limit.area)).map(({ id }) => id));
  }
}
