import { atan2, degToRad } from '../foundation/elementary.ts';
import { fail, ok } from '../foundation/result.ts';
import type { Result } from '../foundation/result.ts';
import { between, dot, lengthOf } from '../foundation/vector.ts';
import type { PositionM, Vec3 } from '../foundation/vector.ts';
import { PLANE_TOLERANCE_M } from './bridle-legs.ts';

/** A force on the bar [N], `atM` from its first end [m]. */
export type BarForce = { readonly atM: number; readonly forceN: Vec3 };
export type BarLine = { readonly id: string; readonly atM: number; /** its upper end */ readonly top: PositionM };
export type SolvedLine = {
  readonly id: string;
  readonly lengthM: number;
  readonly tensionN: number;
  readonly angleOffVerticalRad: number;
  readonly slack: boolean;
  /** What the line does to what it hangs from [N]. */
  readonly pullN: Vec3;
};
export type SolvedSpreader = {
  readonly lines: readonly [SolvedLine, SolvedLine];
  /** Largest push along the bar [N], 0 when it is nowhere pushed. Its bending is the maker's to rate. */
  readonly compressionN: number;
};
export type SpreaderError =
  | { readonly code: 'spreader-lines-coincide' }
  | { readonly code: 'line-too-flat'; readonly line: string }
  | { readonly code: 'leg-in-compression'; readonly legs: readonly string[] }
  /** Free to swing, the bar would come to rest this far from where it is drawn. */
  | { readonly code: 'spreader-out-of-plumb'; readonly offM: number };

const LEAST_APART_M = 0.001;
const SLACK_SHARE = 1e-9;
const FLAT_RAD = degToRad(85);
/** Sine of the angle between line and bar, about: below it the line runs along the bar and lifts nothing. */
const LEAST_LIFT = 0.01;

/**
 * A straight rigid bar that hangs on two lines and carries forces along its axis line: weights, and legs from below.
 * The two tensions follow from vertical forces and from moments in the bar's own vertical plane. What is left over sideways would make
 * the bar swing; up to 5 mm of swing is inaccuracy of a drawing, more is refused unless `swingM` allows it.
 * @source equilibrium of a rigid body
 */
export function solveSpreader(
  ends: readonly [PositionM, PositionM],
  forces: readonly BarForce[],
  lines: readonly [BarLine, BarLine],
  swingM = PLANE_TOLERANCE_M,
): Result<SolvedSpreader, SpreaderError> {
  const bar = between(ends[0], ends[1]);
  const barM = lengthOf(bar);
  const planM = Math.sqrt(bar.x * bar.x + bar.y * bar.y);
  if (!(planM >= LEAST_APART_M)) return fail({ code: 'spreader-lines-coincide' }); // no length, or upright
  const first = hung(placeOn(ends, lines[0].atM / barM), lines[0]);
  const second = hung(placeOn(ends, lines[1].atM / barM), lines[1]);
  const apartPlanM = ((second.atM - first.atM) * planM) / barM;
  if (Math.abs(apartPlanM) < LEAST_APART_M) return fail({ code: 'spreader-lines-coincide' });
  for (const line of [first, second]) {
    if (line.heightM < LEAST_APART_M || line.angleOffVerticalRad >= FLAT_RAD) return fail({ code: 'line-too-flat', line: line.id });
  }

  // In the bar's vertical plane: `along` horizontal from first end to last, z up. `slope` is rise per metre of plan.
  const along: Vec3 = { x: bar.x / planM, y: bar.y / planM, z: 0 };
  const across: Vec3 = { x: -along.y, y: along.x, z: 0 };
  const slope = bar.z / planM;
  const fromFirst = (atM: number): number => ((atM - first.atM) * planM) / barM;
  let [downN, alongN, momentNm] = [0, 0, 0];
  for (const { atM, forceN } of forces) {
    downN -= forceN.z;
    alongN += dot(forceN, along);
    momentNm += fromFirst(atM) * (slope * dot(forceN, along) - forceN.z); // about the first line's place, turning the far end down
  }
  const lift = second.up.z - slope * dot(second.up, along);
  if (!(lift > LEAST_LIFT)) return fail({ code: 'line-too-flat', line: second.id });
  const secondN = momentNm / (apartPlanM * lift);
  const firstN = (downN - secondN * second.up.z) / first.up.z;
  const tensions = [firstN, secondN] as const;
  const pushing = [first, second].filter((_, index) => !((tensions[index] ?? NaN) >= -SLACK_SHARE * downN));
  if (pushing.length > 0) return fail({ code: 'leg-in-compression', legs: pushing.map(({ id }) => id) });

  // Swing along the bar: both ends move together. Swing across it: each end by itself.
  const swingAlongM = swing(alongN + firstN * dot(first.up, along) + secondN * dot(second.up, along), [
    [firstN * first.up.z, first.heightM],
    [secondN * second.up.z, second.heightM],
  ]);
  let [acrossFirstN, acrossSecondN] = [firstN * dot(first.up, across), secondN * dot(second.up, across)];
  for (const { atM, forceN } of forces) {
    const share = fromFirst(atM) / apartPlanM;
    acrossFirstN += (1 - share) * dot(forceN, across);
    acrossSecondN += share * dot(forceN, across);
  }
  const offM = Math.max(
    swingAlongM,
    swing(acrossFirstN, [[firstN * first.up.z, first.heightM]], downN),
    swing(acrossSecondN, [[secondN * second.up.z, second.heightM]], downN),
  );
  if (offM > swingM + 1e-9) return fail({ code: 'spreader-out-of-plumb', offM });

  const hangs: [SolvedLine, SolvedLine] = [solved(first, firstN, downN), solved(second, secondN, downN)];
  const fromLines = hangs.map(({ pullN }, index) => ({ atM: index === 0 ? first.atM : second.atM, forceN: opposite(pullN) }));
  return ok({ lines: hangs, compressionN: largestPush([...forces, ...fromLines], bar, barM) });
}

type Hung = BarLine & { readonly up: Vec3; readonly lengthM: number; readonly heightM: number; readonly angleOffVerticalRad: number };

function hung(place: PositionM, line: BarLine): Hung {
  const way = between(place, line.top);
  const lengthM = lengthOf(way);
  const up = { x: way.x / lengthM, y: way.y / lengthM, z: way.z / lengthM };
  return { ...line, up, lengthM, heightM: way.z, angleOffVerticalRad: atan2(Math.sqrt(way.x * way.x + way.y * way.y), way.z) };
}

/** How far a sideways force moves what hangs on these lines, each [upward force, height] [m]; a line without force holds nothing back. */
function swing(sidewaysN: number, hanging: readonly (readonly [number, number])[], loadN = 0): number {
  const stiffness = hanging.reduce((sum, [upN, heightM]) => sum + Math.max(0, upN) / heightM, 0);
  if (Math.abs(sidewaysN) <= SLACK_SHARE * loadN) return 0;
  return stiffness > 0 ? Math.min(Math.abs(sidewaysN) / stiffness, 1e6) : sidewaysN === 0 ? 0 : 1e6;
}

function solved(line: Hung, foundN: number, loadN: number): SolvedLine {
  const slack = foundN < SLACK_SHARE * loadN;
  const tensionN = slack ? 0 : foundN;
  const { id, lengthM, angleOffVerticalRad, up } = line;
  const pullN = { x: 0 - tensionN * up.x, y: 0 - tensionN * up.y, z: 0 - tensionN * up.z };
  return { id, lengthM, tensionN, angleOffVerticalRad, slack, pullN };
}

/** Forces along the bar summed up from its first end: what is left of a cut pushes what is right of it. */
function largestPush(forces: readonly BarForce[], bar: Vec3, barM: number): number {
  let [pushN, largestN] = [0, 0];
  const sorted = forces.toSorted((a, b) => a.atM - b.atM);
  for (const [index, { atM, forceN }] of sorted.entries()) {
    pushN += dot(forceN, bar) / barM;
    if (sorted[index + 1]?.atM !== atM) largestN = Math.max(largestN, pushN); // forces at one place are one force
  }
  return largestN;
}

const opposite = ({ x, y, z }: Vec3): Vec3 => ({ x: -x, y: -y, z: -z });

/** The place at a share of the way from one end of a bar to the other. */
export function placeOn([first, last]: readonly [PositionM, PositionM], share: number): PositionM {
  return {
    xM: first.xM + share * (last.xM - first.xM),
    yM: first.yM + share * (last.yM - first.yM),
    zM: first.zM + share * (last.zM - first.zM),
  };
}
