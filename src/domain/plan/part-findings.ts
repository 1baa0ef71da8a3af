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
  /** How far off vertical the run pulls: what a clamp at its top sees, which is made fast to the steel and cannot follow. */
  readonly offVerticalDeg: number | null;
  /** Legs that come together here, and the widest angle between them. */
  readonly legs: number;
  readonly includedDeg: number | null;
  /** Of a secondary: the catch. */
  readonly accidental?: true;
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
            offVerticalDeg: plumbDeg,
            legs: attachment.legs.length,
            includedDeg: bridle?.widestIncludedDeg ?? null,
          },
          ...attachment.legs.map((leg, index) => ({
            place: `leg ${index}`,
            parts: leg.parts,
            pullKn: legKn(pulls[index]),
            sideAngleDeg: 0,
            offVerticalDeg: bridle?.legs?.[index]?.angleOffVerticalDeg ?? null,
            legs: 1,
            includedDeg: null,
          })),
        ]
      : [
          {
            place: 'attachment',
            parts: attachment.parts,
            pullKn: topKn,
            sideAngleDeg: plumbDeg,
            offVerticalDeg: plumbDeg,
            legs: 1,
            includedDeg: null,
          },
        ];
  const missing = [...line.missing, ...line.missingForMoving];
  const unsolved: Missing[] = bridle !== null && bridle.legs === null ? [{ code: 'bridle-not-solved', of: 'bridle' }] : [];
  return runs.flatMap((run) =>
    run.parts.flatMap((used, index) => {
      const why = run.place === 'apex' ? missing : [...missing, ...unsolved];
      return findingsOf(plan, pickUp.id, run, used, index, why, rules);
    }),
  );
}

/** Parts of a secondary at the force of its catch. The secondary itself is held to what its document rates it for. */
export function secondaryPartFindings(
  plan: Plan,
  pickUp: PickUp,
  peakKn: number | null,
  offVerticalDeg: number | null,
  rules: PartRules,
): HangFinding[] {
  const parts = pickUp.secondary?.parts ?? [];
  const run: Run = {
    place: 'secondary',
    parts,
    pullKn: peakKn ?? 0,
    sideAngleDeg: 0,
    offVerticalDeg,
    legs: 1,
    includedDeg: null,
    accidental: true,
  };
  const why = peakKn === null ? [{ code: 'no-rated-catch', of: 'secondary' }] : [];
  return parts.flatMap((used, index) =>
    partOf(plan, used.equipment).part.part === 'secondary' ? [] : findingsOf(plan, pickUp.id, run, used, index, why, rules),
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
  const about: About = { ...BLANK_FINDING, kind: 'part', subject, pickUpId, case: 'moving', ...(run.accidental ? ACCIDENTAL : {}) };
  // A secondary hangs slack beside the load: it carries nothing until the rest fails, and what it can catch is not in its data.
  if (part.part === 'secondary')
    return [{ ...about, hard: false, case: 'slack', state: 'unknown', why: [{ code: 'catch-not-rated', of: subject }] }];
  const wrong = used.hitch !== null && SLINGS.includes(part.part) && part.hitches?.includes(used.hitch) === false;
  if (wrong) return [{ ...about, state: 'forbidden', why: [{ code: 'hitch-not-permitted', of: subject }] }];
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
    bend: { ratio: used.bendRatio ?? null, leastRatio: part.leastBendRatio ?? null },
    sideAngleRad: radOrNull(part.part === 'clamp' ? run.offVerticalDeg : run.sideAngleDeg),
    markedAngleRad: radOrNull(part.sideAngleDeg ?? null),
    shackle:
      part.part !== 'shackle'
        ? null
        : { pin: part.pin ?? null, legsOnBow: gathers ? run.legs : 1, includedAngleRad: radOrNull(run.includedDeg) },
    clamp: part.part === 'clamp' ? { flangeM: used.flangeM ?? null, fromM: part.flangeFromM ?? null, toM: part.flangeToM ?? null } : null,
  };
  const found = checkPart(statics, rules);
  if (!found.ok) return [{ ...about, state: 'unknown', why: [{ code: found.error.code, of: subject }] }];
  return found.value.map((finding) => asHangFinding(finding, { ...about, subject: `${subject}:${finding.rule}` }, missing));
}

const ACCIDENTAL = { case: 'accidental', hard: false } as const;
const SLINGS: readonly string[] = ['wireRope', 'textile', 'chain'];

/** Only slings take hold in more than one way. A basket of which nobody says how wide it opens has no known tension. */
function hitchOf({ hitch, basketDeg }: PartUsed, part: string, { chokeFactor }: PartRules): Hitch | null {
  if (!SLINGS.includes(part) || hitch === 'straight') return { kind: 'straight' };
  if (hitch === 'choke') return { kind: 'choke', factor: chokeFactor };
  const includedAngleRad = radOrNull(basketDeg ?? null);
  return hitch === null || includedAngleRad === null ? null : { kind: 'basket', includedAngleRad };
}

const radOrNull = (angleDeg: number | null): number | null => (angleDeg === null ? null : degToRad(angleDeg));

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
