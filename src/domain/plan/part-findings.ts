import { degToRad, radToDeg } from '../foundation/elementary.ts';
import type { Hitch } from '../statics/leg-hitch.ts';
import type { PartFinding as StaticsFinding, PartUsed as StaticsPart } from '../statics/parts.ts';
import { checkPart } from '../statics/parts.ts';
import type { BridlePulls } from './bridle-loads.ts';
import { partOf } from './equipment-used.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { PickUpLine } from './line-loads.ts';
import type { LinePulls } from './lines-off-plumb.ts';
import type { Missing } from './missing.ts';
import type { PartRules } from './part-rules.ts';
import type { Run } from './part-runs.ts';
import { runsOf } from './part-runs.ts';
import type { Hang, PartUsed, PickUp, Plan } from './plan.ts';
import type { PointPull } from './pull.ts';

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
  const runs = runsOf(pickUp, line, pulls, bridle, plumbDeg);
  const missing = [...line.missing, ...line.missingForMoving];
  const unsolved: Missing[] = bridle !== null && bridle.legs === null ? [{ code: 'bridle-not-solved', of: 'bridle' }] : [];
  const findings: HangFinding[] = [];
  for (const run of runs) {
    const why = run.place === 'apex' || run.place === 'foot' ? missing : [...missing, ...unsolved];
    for (const [index, used] of run.parts.entries()) findings.push(...findingsOf(plan, pickUp.id, run, used, index, why, rules));
  }
  findings.push(...spreaderFindings(pickUp, bridle));
  return findings;
}

/** The WLL of a bar says nothing of where lines and loads may sit on it, or at what angle: only a document does. */
function spreaderFindings({ id, attachment }: PickUp, bridle: BridlePulls | null): HangFinding[] {
  if (attachment.kind !== 'tiers') return [];
  return attachment.tiers.flatMap((tier, index): HangFinding[] => {
    if (tier.kind !== 'spreader') return [];
    const about = { ...BLANK_FINDING, kind: 'part', subject: `${id}:tier${index}:use`, pickUpId: id, case: 'moving' } as const;
    if (tier.useBasis === null) return [{ ...about, state: 'unknown', why: [{ code: 'spreader-use-not-covered', of: 'spreader' }] }];
    const compressionKn = bridle?.tiers?.[index]?.compressionKn;
    if (compressionKn === undefined) return [{ ...about, state: 'unknown', why: [{ code: 'bridle-not-solved', of: 'bridle' }] }];
    const reckoning = { formula: 'largest push along the bar', numbers: {}, unit: 'kN', source: tier.useBasis, result: compressionKn };
    return [{ ...about, state: 'told', reckonings: [reckoning] }];
  });
}

/**
 * Parts of lines off plumb, each at what it pulls while the hang moves.
 * @param first  of its pick-ups: where a line goes that names none
 */
export function linePartFindings(
  plan: Plan,
  { linesOffPlumb }: Hang,
  first: PickUp,
  pulls: LinePulls,
  missing: readonly Missing[],
  rules: PartRules,
): HangFinding[] {
  return (linesOffPlumb ?? []).flatMap(({ parts, pickUpId }, index) => {
    const solved = pulls?.[index];
    const run: Run = {
      place: `aside${index}`,
      parts,
      pullKn: solved?.pullKn ?? 0,
      sideAngleDeg: 0,
      offVerticalDeg: solved?.offVerticalDeg ?? null,
      legs: 1,
      includedDeg: null,
    };
    return parts.flatMap((used, part) => findingsOf(plan, pickUpId ?? first.id, run, used, part, missing, rules));
  });
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
  const reckonings = [{ result: demand, ...finding.reckoning, unit: unit === 'ratio' ? '1' : unit }];
  return { ...about, state: 'compare', demand: demand * factor, capacity: capacity * factor, unit: asUnit, why: missing, reckonings };
}
