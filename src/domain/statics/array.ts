import { PI, atan2, cos, sin } from '../foundation/elementary.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import type { ArrayAssembly, ArrayBuild, AssemblyError, FrameHole, MassMoment, SidePoint } from './array-assembly.ts';
import { LARGEST_ANGLE_RAD, assembleArray, centreOfGravity } from './array-assembly.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

/** On two plumb chains at a wanted frame pitch, or on one chain at the pitch it finds by itself. Positive pitch is nose up. */
export type ArrayHanging =
  | { readonly on: 'two-holes'; readonly frontHole: string; readonly rearHole: string; readonly framePitchRad: number }
  | { readonly on: 'one-hole'; readonly hole: string };

export type PitchRange = { readonly fromRad: number; readonly toRad: number };
export type HoleReaction = { readonly hole: string; readonly forceN: number; readonly massKg: number };

export type HoldError =
  | { code: 'holes-coincide'; holes: [string, string] }
  | { code: 'cg-above-holes'; aboveM: number }
  | { code: 'cg-at-hole'; hole: string }
  | { code: 'chain-would-push'; hole: string; massKg: number; framePitchRad: number; holdable: PitchRange };
export type ArrayError =
  AssemblyError | HoldError | { code: 'no-such-hole'; hole: string } | { code: 'stacks-do-not-add-up'; stacked: number; elements: number };

export type ArrayStage = {
  /** Elements pinned so far. */
  readonly elements: number;
  readonly at: 'level' | 'final';
  /** Frame pitch of this stage: what was wanted, or on one hole what it finds. Null when nothing there has mass yet. */
  readonly framePitchRad: number | null;
  /** Null = this stage cannot be held so; `refusal` says why. */
  readonly reactions: readonly HoleReaction[] | null;
  readonly refusal: HoldError | null;
};

/** All places are in level axes [m] from the front (or only) hole: u forward, v up. */
export type ArrayStatics = {
  readonly totalMassKg: number;
  readonly cg: SidePoint;
  readonly framePitchRad: number;
  readonly reactions: readonly HoleReaction[];
  /** One hole: equals framePitchRad. Two holes: null. */
  readonly freeHangRad: number | null;
  readonly holdable: PitchRange | null;
  readonly holes: readonly FrameHole[];
  readonly elements: readonly { readonly pitchRad: number; readonly top: SidePoint }[];
  readonly lowest: SidePoint & { readonly element: 'frame' | number };
  readonly heightM: number;
  readonly depthM: number;
  /** Elements whose corners are not given: with any of these the lowest corner is not known for sure. */
  readonly withoutCorners: readonly number[];
  readonly stages: readonly ArrayStage[];
  readonly cautions: readonly string[];
  readonly reckoning: Reckoning;
};

const MIN_HOLE_SPACING_M = 0.001; // closer than this, two holes are one on any drawing we can receive
const ON_LINE_M = 1e-9; // a CG this near the line through the holes counts as on it
const ROUNDING_SHARE = 1e-9; // share of the weight below which a reaction is zero, not a push

/**
 * An array on one or two plumb chains: reactions, geometry and build stages.
 * Not computed: forces in links, pins and frame holes; wind; whether the maker permits this configuration.
 * @param stackSizes  elements pinned at each step of the build; empty = the build is not looked at
 * The sum runs down the array, so equal input gives equal bytes.
 * @returns masses [kg], forces [N, up positive on the frame], places [m], angles [rad]; or a typed refusal
 * @source R_front = W·(u_cg - u_rear)/(u_front - u_rear), R_rear = W - R_front, distances level after turning
 */
export function solveArray(build: ArrayBuild, hanging: ArrayHanging, stackSizes: readonly number[] = []): Result<ArrayStatics, ArrayError> {
  const assembled = assembleArray(build);
  if (!assembled.ok) return assembled;
  const array = assembled.value;
  const stages = stageCounts(stackSizes, build.elements.length);
  if (!stages.ok) return stages;
  const holder = holderOf(array, hanging);
  if (!holder.ok) return holder;
  const whole = array.upTo[array.upTo.length - 1];
  if (whole === undefined) throw new Error('an assembly has at least its frame');
  const held = holder.value.hold(whole, 'final');
  if (!held.ok) return held;
  return ok(describe(array, hanging, held.value, holder.value, stages.value));
}

/** Where an array's holes and elements are at one frame pitch, in level axes from its front hole [m]. */
export type ArrayAtPitch = Pick<ArrayStatics, 'framePitchRad' | 'holes' | 'elements'>;
export type TwoHoles = Extract<ArrayHanging, { on: 'two-holes' }>;

/**
 * A pinned array at one pitch on two holes, as it is built: the sum of what hangs already is all that differs between its stages.
 * @returns places, and for frame and first elements the reactions, both 0 while nothing there has mass, or why they cannot be held so
 */
export function arrayWhileBuilt(
  array: ArrayAssembly,
  hanging: TwoHoles,
): Result<ArrayAtPitch & { readonly upTo: (elements: number) => Result<readonly HoleReaction[], HoldError> }, ArrayError> {
  const holder = holderOf(array, hanging);
  if (!holder.ok) return holder;
  return ok({
    ...placesAt(array, holder.value.origin, hanging.framePitchRad),
    upTo: (elements) => {
      const mass = array.upTo[elements];
      if (mass === undefined) throw new Error('a stage has no more elements than the array');
      const held = holder.value.hold(mass, 'final');
      return held.ok ? ok(held.value.reactions) : held;
    },
  });
}

/** Loads on both holes over the pitches they can hold, ends included: `steps` + 1 rows from nose down to nose up. */
export function arrayLoadCurve(
  build: ArrayBuild,
  holes: { readonly frontHole: string; readonly rearHole: string },
  steps: number,
): Result<{ pitchRad: number; reactions: readonly HoleReaction[] }[], ArrayError> {
  const assembled = assembleArray(build);
  if (!assembled.ok) return assembled;
  const pair = pairOf(assembled.value, holes.frontHole, holes.rearHole);
  if (!pair.ok) return pair;
  const whole = assembled.value.upTo[assembled.value.upTo.length - 1];
  const range = whole === undefined ? null : holdableRange(pair.value, whole);
  if (whole === undefined || range === null) throw new Error('an assembly has mass');
  if (!range.ok) return range;
  const { fromRad, toRad } = range.value.range;
  const rows: { pitchRad: number; reactions: readonly HoleReaction[] }[] = [];
  for (let step = 0; step <= steps; step += 1) {
    const pitchRad = step === steps ? toRad : fromRad + ((toRad - fromRad) * step) / steps;
    const held = holdOnTwo(pair.value, whole, pitchRad);
    if (!held.ok) return held;
    rows.push({ pitchRad, reactions: held.value.reactions });
  }
  return ok(rows);
}

type Held = {
  readonly framePitchRad: number;
  readonly reactions: readonly HoleReaction[];
  readonly holdable: PitchRange | null;
  /** The CG is on the line through both holes: nothing holds the array upright across that line. */
  readonly rollsFreely: boolean;
};
type Holdable = { readonly range: PitchRange; readonly rollsFreely: boolean };
type Holder = {
  readonly origin: FrameHole;
  readonly holes: readonly FrameHole[];
  hold(mass: MassMoment, at: 'level' | 'final'): Result<Held, HoldError>;
};
/** `reversed`: the hole called front lies behind the other one. */
type HolePair = { readonly front: FrameHole; readonly rear: FrameHole; readonly reversed: boolean };

function holderOf(array: ArrayAssembly, hanging: ArrayHanging): Result<Holder, ArrayError> {
  if (hanging.on === 'two-holes') {
    const { framePitchRad } = hanging;
    if (!Number.isFinite(framePitchRad)) return fail({ code: 'not-finite', what: 'frame pitch' });
    if (Math.abs(framePitchRad) > LARGEST_ANGLE_RAD)
      return fail({ code: 'angle-beyond-a-turn', what: 'frame pitch', angleRad: framePitchRad });
    const pair = pairOf(array, hanging.frontHole, hanging.rearHole);
    if (!pair.ok) return pair;
    const { front, rear } = pair.value;
    return ok({ origin: front, holes: [front, rear], hold: (mass, at) => holdOnTwo(pair.value, mass, at === 'level' ? 0 : framePitchRad) });
  }
  const hole = array.holes.find(({ id }) => id === hanging.hole);
  if (hole === undefined) return fail({ code: 'no-such-hole', hole: hanging.hole });
  return ok({ origin: hole, holes: [hole], hold: (mass) => hangFree(hole, mass) });
}

function pairOf(array: ArrayAssembly, frontHole: string, rearHole: string): Result<HolePair, ArrayError> {
  const front = array.holes.find(({ id }) => id === frontHole);
  if (front === undefined) return fail({ code: 'no-such-hole', hole: frontHole });
  const rear = array.holes.find(({ id }) => id === rearHole);
  if (rear === undefined) return fail({ code: 'no-such-hole', hole: rearHole });
  const [aheadM, aboveM] = [front.uM - rear.uM, front.vM - rear.vM];
  if (Math.sqrt(aheadM * aheadM + aboveM * aboveM) < MIN_HOLE_SPACING_M)
    return fail({ code: 'holes-coincide', holes: [frontHole, rearHole] });
  return ok({ front, rear, reversed: aheadM < 0 });
}

/** One chain: the array swings until its CG is under the hole. */
function hangFree(hole: FrameHole, mass: MassMoment): Result<Held, HoldError> {
  const cg = centreOfGravity(mass);
  const weightless = { framePitchRad: 0, reactions: [{ hole: hole.id, forceN: 0, massKg: 0 }], holdable: null, rollsFreely: false };
  if (cg === null) return ok(weightless);
  const [uM, vM] = [cg.uM - hole.uM, cg.vM - hole.vM];
  if (Math.sqrt(uM * uM + vM * vM) < ON_LINE_M) return fail({ code: 'cg-at-hole', hole: hole.id });
  return ok({ ...weightless, framePitchRad: plumbPitch(uM, vM), reactions: [reaction(hole, mass.massKg)] });
}

/** Pitch [rad] that brings a point of the frame straight under the hole it is measured from. */
const plumbPitch = (uM: number, vM: number): number => atan2(-uM, -vM);

/**
 * The pitches at which both chains pull, from all weight on the rear hole (nose down) to all weight on the front one.
 * The CG must lie below the line through the holes: above it the array rolls over sideways, whatever the pitch.
 */
function holdableRange(pair: HolePair, mass: MassMoment): Result<Holdable, HoldError> {
  const cg = centreOfGravity(mass);
  if (cg === null) return ok({ range: { fromRad: -PI / 2, toRad: PI / 2 }, rollsFreely: false });
  const [ahead, behind] = pair.reversed ? [pair.rear, pair.front] : [pair.front, pair.rear];
  const [du, dv] = [ahead.uM - behind.uM, ahead.vM - behind.vM];
  const aboveM = (du * (cg.vM - behind.vM) - dv * (cg.uM - behind.uM)) / Math.sqrt(du * du + dv * dv);
  if (aboveM > ON_LINE_M) return fail({ code: 'cg-above-holes', aboveM });
  const fromRad = plumbPitch(cg.uM - behind.uM, cg.vM - behind.vM);
  const toRad = plumbPitch(cg.uM - ahead.uM, cg.vM - ahead.vM);
  return ok({ range: { fromRad, toRad: toRad < fromRad ? toRad + 2 * PI : toRad }, rollsFreely: aboveM > -ON_LINE_M });
}

function holdOnTwo(pair: HolePair, mass: MassMoment, framePitchRad: number): Result<Held, HoldError> {
  const possible = holdableRange(pair, mass);
  if (!possible.ok) return possible;
  const { range: holdable, rollsFreely } = possible.value;
  const { front, rear } = pair;
  const cg = centreOfGravity(mass);
  if (cg === null) return ok({ framePitchRad, reactions: [reaction(front, 0), reaction(rear, 0)], holdable, rollsFreely });
  const [c, s] = [cos(framePitchRad), sin(framePitchRad)];
  const levelM = (to: SidePoint) => (to.uM - rear.uM) * c - (to.vM - rear.vM) * s;
  const apartM = levelM(front);
  // Upside down the formula would balance too; nothing hangs so.
  const aheadM = pair.reversed ? -apartM : apartM;
  if (Math.abs(apartM) < MIN_HOLE_SPACING_M) return fail({ code: 'holes-coincide', holes: [front.id, rear.id] });
  const shareFront = levelM(cg) / apartM;
  if (aheadM < 0 || shareFront < -ROUNDING_SHARE || shareFront > 1 + ROUNDING_SHARE) {
    const [hole, share] = shareFront < 0.5 ? [front.id, shareFront] : [rear.id, 1 - shareFront];
    return fail({ code: 'chain-would-push', hole, massKg: mass.massKg * share, framePitchRad, holdable });
  }
  const frontKg = mass.massKg * Math.min(1, Math.max(0, shareFront));
  return ok({ framePitchRad, reactions: [reaction(front, frontKg), reaction(rear, mass.massKg - frontKg)], holdable, rollsFreely });
}

const reaction = (hole: FrameHole, massKg: number): HoleReaction => ({ hole: hole.id, forceN: massKg * STANDARD_GRAVITY, massKg });

/** Elements pinned after each step: none (frame alone), then stack by stack. */
function stageCounts(stackSizes: readonly number[], elements: number): Result<number[], ArrayError> {
  if (stackSizes.length === 0) return ok([]);
  const counts = [0];
  let stacked = 0;
  for (const size of stackSizes) {
    if (!Number.isInteger(size) || size < 1)
      return fail({ code: 'stacks-do-not-add-up', stacked: Number.isFinite(size) ? size : 0, elements });
    stacked += size;
    counts.push(stacked);
  }
  return stacked === elements ? ok(counts) : fail({ code: 'stacks-do-not-add-up', stacked, elements });
}

function describe(array: ArrayAssembly, hanging: ArrayHanging, held: Held, holder: Holder, stageList: readonly number[]): ArrayStatics {
  const { framePitchRad } = held;
  const level = levelFrom(holder.origin, framePitchRad);
  const whole = array.upTo[array.upTo.length - 1];
  const cgInFrame = whole === undefined ? null : centreOfGravity(whole);
  if (whole === undefined || cgInFrame === null) throw new Error('an assembly has mass');
  const extent = extentOf(array, level);
  const stages = stagesOf(array, hanging, holder, stageList);
  const cg = level(cgInFrame);
  return {
    totalMassKg: whole.massKg,
    cg,
    reactions: held.reactions,
    freeHangRad: hanging.on === 'one-hole' ? framePitchRad : null,
    holdable: held.holdable,
    ...placesAt(array, holder.origin, framePitchRad),
    ...extent,
    withoutCorners: array.withoutCorners,
    stages,
    cautions: cautionsOf(array, hanging, held, holder, stages),
    reckoning: reckon(hanging, held, whole, cg, holder.holes.map(level)),
  };
}

/** From the frame's axes to level ones from one of its holes. */
function levelFrom(origin: SidePoint, framePitchRad: number): (point: SidePoint) => SidePoint {
  const [c, s] = [cos(framePitchRad), sin(framePitchRad)];
  return ({ uM, vM }) => {
    const [du, dv] = [uM - origin.uM, vM - origin.vM];
    return { uM: du * c - dv * s, vM: du * s + dv * c };
  };
}

function placesAt(array: ArrayAssembly, origin: SidePoint, framePitchRad: number): ArrayAtPitch {
  const level = levelFrom(origin, framePitchRad);
  return {
    framePitchRad,
    holes: array.holes.map((hole) => ({ id: hole.id, ...level(hole) })),
    elements: array.tops.map((top, index) => ({ pitchRad: framePitchRad + (array.turnsRad[index] ?? 0), top: level(top) })),
  };
}

function extentOf(array: ArrayAssembly, level: (point: SidePoint) => SidePoint): Pick<ArrayStatics, 'lowest' | 'heightM' | 'depthM'> {
  let [lowM, lowestU, highM, foreM, aftM] = [Infinity, 0, -Infinity, -Infinity, Infinity];
  let element: 'frame' | number = 'frame';
  for (const point of array.outline) {
    const { uM, vM } = level(point);
    if (vM < lowM) {
      [lowM, lowestU] = [vM, uM];
      element = point.of;
    }
    highM = Math.max(highM, vM);
    foreM = Math.max(foreM, uM);
    aftM = Math.min(aftM, uM);
  }
  return { lowest: { uM: lowestU, vM: lowM, element }, heightM: highM - lowM, depthM: foreM - aftM };
}

/** Two holes: each stage level and at the final frame pitch. One hole: each stage at the pitch that it finds. */
function stagesOf(array: ArrayAssembly, hanging: ArrayHanging, holder: Holder, counts: readonly number[]): ArrayStage[] {
  const stages: ArrayStage[] = [];
  for (const elements of counts) {
    const mass = array.upTo[elements];
    if (mass === undefined) throw new Error('a stage has no more elements than the array');
    for (const at of hanging.on === 'two-holes' ? (['level', 'final'] as const) : (['final'] as const)) {
      const held = holder.hold(mass, at);
      stages.push(
        held.ok
          ? { elements, at, framePitchRad: held.value.framePitchRad, reactions: held.value.reactions, refusal: null }
          : { elements, at, framePitchRad: null, reactions: null, refusal: held.error },
      );
    }
  }
  return stages;
}

function cautionsOf(array: ArrayAssembly, hanging: ArrayHanging, held: Held, holder: Holder, stages: readonly ArrayStage[]): string[] {
  const cautions = [
    'Forces in links, pins and frame holes are not computed; count, pitch, splays, hole and wind must be permitted by the maker’s document.',
  ];
  const [front, rear] = holder.holes;
  if (front !== undefined && rear !== undefined) {
    if (front.uM < rear.uM) cautions.push(`Hole ${front.id} is called the front one but lies behind hole ${rear.id}.`);
    if (held.rollsFreely)
      cautions.push('The centre of gravity is on the line through the holes: nothing keeps the array from rolling sideways.');
    const slack = held.reactions.find(({ massKg }) => massKg === 0);
    if (slack !== undefined)
      cautions.push(`The chain at hole ${slack.hole} carries nothing: this pitch is at the end of what can be held.`);
  }
  if (Math.abs(held.framePitchRad) > PI / 2) cautions.push('The frame hangs upside down.');
  if (array.withoutCorners.length > 0) {
    cautions.push(
      `No corners are given for ${array.withoutCorners.length} of ${array.tops.length} elements: lowest, height and depth count their pivots only.`,
    );
  }
  if (stages.length === 0) cautions.push('Build stages are not looked at: no stack sizes are given.');
  for (const { elements, at, refusal } of stages) {
    if (refusal === null) continue;
    const what = elements === 0 ? 'The frame alone' : `The stage with ${elements} elements`;
    const where = hanging.on === 'one-hole' ? 'on this hole' : at === 'level' ? 'level' : 'at the final pitch';
    cautions.push(`${what} cannot be held ${where}: ${WHY[refusal.code]}.`);
  }
  return cautions;
}

const WHY = {
  'holes-coincide': 'both holes are on one plumb line',
  'cg-above-holes': 'its centre of gravity is above the line through the holes',
  'cg-at-hole': 'its centre of gravity is at the hole, so any pitch may come',
  'chain-would-push': 'one chain would have to push',
} as const satisfies Record<HoldError['code'], string>;

function reckon(hanging: ArrayHanging, held: Held, whole: MassMoment, cg: SidePoint, holesM: readonly SidePoint[]): Reckoning {
  if (hanging.on === 'one-hole') {
    const numbers = { massKg: whole.massKg, freeHangRad: held.framePitchRad, cgBelowHoleM: -cg.vM };
    return { formula: 'the centre of gravity hangs under the hole', numbers, unit: 'kg', source: 'equilibrium of moments about the hole' };
  }
  const numbers = {
    massKg: whole.massKg,
    framePitchRad: held.framePitchRad,
    cgM: cg.uM,
    frontM: holesM[0]?.uM ?? 0,
    rearM: holesM[1]?.uM ?? 0,
  };
  return {
    formula: 'front = massKg · (cgM - rearM) / (frontM - rearM); rear = massKg - front',
    numbers,
    unit: 'kg',
    source: 'equilibrium of moments about the rear hole, then of vertical forces; distances level after turning',
  };
}
