import { degToRad, radToDeg } from '../foundation/elementary.ts';
import type { Hitch } from '../statics/leg-hitch.ts';
import type { PartFinding as StaticsFinding, PartUsed as StaticsPart } from '../statics/parts.ts';
import { checkPart } from '../statics/parts.ts';
import type { BridlePulls } from './bridle-loads.ts';
import { partOf } from './equipment-used.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { PickUpLine } from './line-loads.ts';
import type { Missing } from './missing.ts';
import type { PartRules } from './part-rules.ts';
import type { PartUsed, PickUp, Plan } from './plan.ts';
import type { PointPull } from './pull.ts';

/** A run of parts one above the other, all of which carry the same pull. */
type Run = {
  readonly place: string;
  readonly parts: readonly PartUsed[];
  readonly pullKn: number;
  readonly sideAngleDeg: number | null;
  /** Legs that come together here, and the widest angle between them. */
  readonly legs: number;
  readonly includedDeg: number | null;
};

/**
 * Every part of a line between hook and roof at the largest pull of its run, moving, with the weight of the run itself: pieces are taken
 * one above the other, which is never too little for any of them.
 */
export function partFindings(
  plan: Plan,
  pickUp: PickUp,
  line: PickUpLine,
  pulls: readonly PointPull[],
  bridle: BridlePulls | null,
  plumbDeg: number | null,
  rules: PartRules,
): HangFinding[] {
  const { attachment } = pickUp;
  const topKn = line.top.movingN / 1000;
  const runs: Run[] =
    attachment.kind === 'bridle'
      ? [
          {
            place: 'apex',
            parts: attachment.apexParts,
            pullKn: topKn,
            sideAngleDeg: 0,
            legs: attachment.legs.length,
            includedDeg: bridle?.widestIncludedDeg ?? null,
          },
          ...attachment.legs.map((leg, index) => ({
            place: `leg ${index}`,
            parts: leg.parts,
            pullKn: legKn(pulls[index]),
            sideAngleDeg: 0,
            legs: 1,
            includedDeg: null,
          })),
        ]
      : [{ place: 'attachment', parts: attachment.parts, pullKn: topKn, sideAngleDeg: plumbDeg, legs: 1, includedDeg: null }];
  const missing = [...line.missing, ...line.missingForMoving];
  const unsolved: Missing[] = bridle !== null && bridle.legs === null ? [{ code: 'bridle-not-solved', of: 'bridle' }] : [];
  return runs.flatMap((run) =>
    run.parts.flatMap((used, index) => {
      const why = run.place === 'apex' ? missing : [...missing, ...unsolved];
      return findingsOf(plan, pickUp.id, run, used, index, why, rules);
    }),
  );
}

/** Pull on the top of a leg: along it, with its own parts. */
function legKn(pull: PointPull | undefined): number {
  if (pull === undefined) return 0;
  const { xKn, yKn, downKn } = pull.moving;
  return Math.sqrt(xKn * xKn + yKn * yKn + downKn * downKn);
}

function findingsOf(
  plan: Plan,
  pickUpId: string,
  run: Run,
  used: PartUsed,
  index: number,
  missing: readonly Missing[],
  rules: PartRules,
): HangFinding[] {
  if (used.count === 0) return [];
  const { part } = partOf(plan, used.equipment);
  const subject = `${pickUpId}:${run.place.replace(' ', '')}:${index}`;
  const about = { ...BLANK_FINDING, kind: 'part', subject, pickUpId, case: 'moving' } as const;
  // A secondary hangs slack beside the load: it carries nothing until the rest fails, and what it can catch is not in its data.
  if (part.part === 'secondary')
    return [{ ...about, hard: false, case: 'slack', state: 'unknown', why: [{ code: 'catch-not-rated', of: subject }] }];
  const hitch = hitchOf(used, part.part, rules);
  if (hitch === null) return [{ ...about, state: 'unknown', why: [{ code: 'hitch-not-stated', of: subject }] }];
  const gathers = run.legs > 1 && !run.parts.some(({ equipment }) => partOf(plan, equipment).part.part === 'ring');
  const statics: StaticsPart = {
    id: subject,
    kind: part.part,
    rating: {
      wllKg: part.wllKg,
      breakingForceN: part.breakingKn === null ? null : part.breakingKn * 1000,
      breakingForceOf: 'part',
      terminationEfficiency: null,
    },
    pullN: run.pullKn * 1000,
    hitch,
    bend: { ratio: null, leastRatio: null },
    sideAngleRad: run.sideAngleDeg === null ? null : degToRad(run.sideAngleDeg),
    markedAngleRad: null,
    shackle:
      part.part !== 'shackle'
        ? null
        : { pin: null, legsOnBow: gathers ? run.legs : 1, includedAngleRad: run.includedDeg === null ? null : degToRad(run.includedDeg) },
    clamp: null,
  };
  const found = checkPart(statics, rules);
  if (!found.ok) return [{ ...about, state: 'unknown', why: [{ code: found.error.code, of: subject }] }];
  return found.value.map((finding) => asHangFinding(finding, { ...about, subject: `${subject}:${finding.rule}` }, missing));
}

const SLINGS: readonly string[] = ['wireRope', 'textile', 'chain'];

/** Only slings take hold in more than one way. How wide a basket opens is not stated in a plan, so it has no known tension. */
function hitchOf({ hitch }: PartUsed, part: string, { chokeFactor }: PartRules): Hitch | null {
  if (!SLINGS.includes(part) || hitch === 'straight') return { kind: 'straight' };
  return hitch === 'choke' ? { kind: 'choke', factor: chokeFactor } : null;
}

type About = Omit<HangFinding, 'state'>;

function asHangFinding(finding: StaticsFinding, about: About, missing: readonly Missing[]): HangFinding {
  if (finding.state === 'forbidden') return { ...about, state: 'forbidden', why: [{ code: finding.reason, of: about.subject }] };
  if (finding.state === 'unknown') return { ...about, state: 'unknown', why: [{ code: finding.reason, of: about.subject }, ...missing] };
  const { demand, capacity, unit } = finding;
  const factor = unit === 'N' ? 1 / 1000 : unit === 'rad' ? radToDeg(1) : 1;
  const asUnit = unit === 'N' ? 'kN' : unit === 'rad' ? 'deg' : unit === 'm' ? 'm' : null;
  const reckonings = [{ ...finding.reckoning, result: demand, unit: unit === 'ratio' ? '1' : unit }];
  return { ...about, state: 'compare', demand: demand * factor, capacity: capacity * factor, unit: asUnit, why: missing, reckonings };
}
