import { kgToKn, STANDARD_GRAVITY } from '../foundation/units.ts';
import type { Contingency, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import { checkSecondary } from '../statics/parts-hoist.ts';
import { partOf } from './equipment-used.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { PickUpLine } from './line-loads.ts';
import { partItems } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { PickUp, Plan } from './plan.ts';
import type { PointPull } from './pull.ts';
import { reckonedKg, takeOffRows } from './take-off-items.ts';

export type SecondaryLoads = {
  /** On its own point: its parts while it is slack, and the force of the catch. */
  readonly pull: PointPull;
  readonly takeOff: readonly TakeOffRow[];
  readonly findings: readonly HangFinding[];
  /** Force of the catch [kN]; null = not rated. */
  readonly peakKn: number | null;
};

/**
 * A secondary that hangs slack from its own point until the line beside it fails. What a catch does follows from stiffness that nobody
 * knows: only what its document rates it for counts.
 */
export function secondaryLoads(plan: Plan, pickUp: PickUp, line: PickUpLine, contingency: Contingency): SecondaryLoads | null {
  const { secondary } = pickUp;
  if (secondary === null || secondary === undefined) return null;
  const rows = takeOffRows(partItems(plan, secondary.parts, 'leg', 'secondary'), contingency);
  const ownKn = kgToKn(reckonedKg(rows));
  const slack = { xKn: 0, yKn: 0, downKn: ownKn };
  const caught = catchOf(plan, pickUp, line);
  const pull: PointPull = {
    role: 'secondary',
    pointId: secondary.pointId,
    resting: slack,
    build: slack,
    moving: slack,
    limiter: null,
    slack: null,
    whenLost: [],
    accidental: caught.peakKn === null ? null : { xKn: 0, yKn: 0, downKn: caught.peakKn + ownKn },
    missing: missingMasses(rows),
    missingSideways: [],
  };
  return { pull, takeOff: rows, ...caught };
}

/** What would fall is all that the line carries, its hoist with it. */
function catchOf(plan: Plan, pickUp: PickUp, line: PickUpLine): Pick<SecondaryLoads, 'findings' | 'peakKn'> {
  const about = {
    ...BLANK_FINDING,
    kind: 'part',
    subject: `${pickUp.id}:secondary`,
    pickUpId: pickUp.id,
    hard: false,
    case: 'accidental',
  } as const;
  const unknown = (code: string) => ({
    findings: [{ ...about, state: 'unknown' as const, why: [{ code, of: 'secondary' }] }],
    peakKn: null,
  });
  const { parts, slackMm } = pickUp.secondary ?? { parts: [], slackMm: null };
  const [part, ...more] = parts.flatMap(({ equipment, count }) => {
    const found = partOf(plan, equipment).part;
    return count > 0 && found.part === 'secondary' ? [found] : [];
  });
  if (part === undefined || more.length > 0) return unknown('no-rated-catch');
  if (slackMm === null) return unknown('slack-not-stated');
  const { catchesKg = null, catchFallM = null, catchPeakKn = null } = part;
  const loadKg = line.top.buildN / STANDARD_GRAVITY;
  const found = checkSecondary(
    { catchesKg, fallM: catchFallM, peakN: catchPeakKn === null ? null : catchPeakKn * 1000 },
    loadKg,
    slackMm / 1000,
  );
  if (!found.ok) throw new Error(`a checked plan has a secondary: ${found.error.code}`);
  if (found.value.state === 'unknown') return unknown(found.value.reason);
  const { mass, fall, peakN } = found.value;
  const why: readonly Missing[] = line.missing;
  const compared = (rule: 'mass' | 'fall', values: typeof mass, unit: 'kg' | 'm', formula: string): HangFinding => ({
    ...about,
    subject: `${about.subject}:${rule}`,
    state: 'compare',
    ...values,
    unit,
    why: rule === 'mass' ? why : [],
    reckonings: [{ formula, numbers: { slackMm }, unit, source: 'document of the secondary', result: values.demand }],
  });
  return {
    findings: [compared('mass', mass, 'kg', 'all that the line carries ≤ rated mass'), compared('fall', fall, 'm', 'slack ≤ rated fall')],
    peakKn: peakN / 1000,
  };
}
