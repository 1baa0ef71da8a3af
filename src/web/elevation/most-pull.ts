import type { PointLoad } from '../../domain/assessment/assessment.ts';

/** The most that these loads pull on a point, at rest or moving; null where none does. */
export function mostPull(loads: readonly PointLoad[], pointId: string): { pullKn: number; isLowerBound: boolean } | null {
  const pulls = loads.filter((load) => load.pointId === pointId && (load.case === 'moving' || load.case === 'resting'));
  if (pulls.length === 0) return null;
  const pullKn = Math.max(...pulls.map(({ xKn, yKn, downKn }) => Math.sqrt(xKn * xKn + yKn * yKn + downKn * downKn)));
  return { pullKn, isLowerBound: pulls.some((pull) => pull.isLowerBound) };
}
