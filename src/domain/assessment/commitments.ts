import type { Assessment, NeighbourLoad, PointLoad } from './assessment.ts';

export type CommitmentRow = Omit<NeighbourLoad, 'ref' | 'status'>;

const NOTHING = { xKn: 0, yKn: 0, downKn: 0 };

/**
 * What an assessed plan puts on the roof, as its neighbours will see it: one row per hang and point, with the pulls of all its lines
 * there added up, at rest in any stage of its build, and moving. A hang that does not move has the same in both.
 */
export function commitmentsOf({ outcome, covers }: Assessment): CommitmentRow[] {
  const rows = new Map<string, CommitmentRow>();
  for (const load of outcome.loads) {
    if (load.case !== 'resting') continue;
    const key = `${load.hangId} ${load.pointId}`;
    const before = rows.get(key);
    const loadIn = (wanted: PointLoad['case']) => outcome.loads.find((other) => other.case === wanted && sameLine(other, load));
    const resting = loadIn('build') ?? load;
    const moving = loadIn('moving') ?? resting;
    rows.set(key, {
      planHash: covers.planHash,
      hangId: load.hangId,
      pointId: load.pointId,
      from: load.during.from,
      to: load.during.to,
      resting: plus(before?.resting ?? NOTHING, resting),
      moving: plus(before?.moving ?? NOTHING, moving),
      isLowerBound: load.isLowerBound || before?.isLowerBound === true,
    });
  }
  return [...rows.keys()].sort().flatMap((key) => rows.get(key) ?? []);
}

const sameLine = (a: PointLoad, b: PointLoad): boolean => a.hangId === b.hangId && a.pickUpId === b.pickUpId && a.pointId === b.pointId;

type Pull = CommitmentRow['resting'];
const plus = (a: Pull, b: Pull): Pull => ({ xKn: a.xKn + b.xKn, yKn: a.yKn + b.yKn, downKn: a.downKn + b.downKn });
