import type { SymmetricBand } from './banded.ts';
import { addToBand, zeroBand, zeros } from './banded.ts';
import type { BeamLoads } from './beam-cut.ts';
import type { Span } from './beam-span.ts';
import { spanBetween } from './beam-span.ts';
import type { LaidTrussFrame, Stop } from './truss-frame-layout.ts';

/** What is assumed of corners and torsion in one solution. */
export type GrillageAssumption = {
  readonly name: 'as-stated' | 'soft' | 'rigid';
  readonly cornerJoint: 'stiff' | 'hinged';
  readonly gjNm2: number;
};

type Term = { readonly unknown: number; readonly factor: number };
/** A piece of a side between two stops. Its end moments are k·(turns - slopes of the loads), sagging positive. */
export type GrillageElement = {
  readonly side: number;
  readonly span: Span;
  /** Turn of each end against its chord, as sums over the unknowns: the way a sagging moment turns it. */
  readonly leftTurn: readonly Term[];
  readonly rightTurn: readonly Term[];
  readonly near: number;
  readonly far: number;
};
/** Twist of a whole side, end against start. */
export type GrillageTwist = { readonly side: number; readonly stiffnessNmPerRad: number; readonly twist: readonly Term[] };
export type Grillage = {
  readonly stiffness: SymmetricBand;
  readonly forces: readonly number[];
  readonly elements: readonly GrillageElement[];
  readonly twists: readonly GrillageTwist[];
  /** Unknown of each hoist's movement, down positive. */
  readonly hoistUnknowns: readonly number[];
  /** The same frame with other loads on its sides and corners. */
  readonly loadedWith: (loads: readonly BeamLoads[], cornerN: number) => GrillageLoad;
};
export type GrillageLoad = Pick<Grillage, 'forces' | 'elements'>;

/**
 * The frame as a grillage: each joint moves down and, at a stiff corner, turns about the x and y axes of the plan; at a hoist along a
 * side it turns with the side alone, because torsion is even from corner to corner; at a hinge or free end each side turns by itself.
 * Loads act on the centre lines.
 * @source displacement method; pieces of even bending and shear stiffness with the load integrals of the simple span
 */
export function buildGrillage(layout: LaidTrussFrame, assumption: GrillageAssumption): Grillage {
  const { sides, eiNm2, shearFlexibilityPerN } = layout;
  const unknowns = numberUnknowns(layout, assumption);
  const elements: GrillageElement[] = [];
  const twists: GrillageTwist[] = [];
  for (const [side, { stops, nodesM, loads, tx, ty, lengthM }] of sides.entries()) {
    for (let index = 1; index < stops.length; index++) {
      const [from, to] = [stops[index - 1], stops[index]];
      if (from === undefined || to === undefined) continue;
      const span = spanBetween(nodesM, loads, from.node, to.node);
      const chord: Term[] = [
        { unknown: unknowns.down(from), factor: 1 / span.lengthM },
        { unknown: unknowns.down(to), factor: -1 / span.lengthM },
      ];
      // Flexibility of the piece: h/3EI + 1/(GA·h) at its own end, h/6EI - 1/(GA·h) from the other; its inverse is the stiffness.
      const own = span.lengthM / (3 * eiNm2) + shearFlexibilityPerN / span.lengthM;
      const other = span.lengthM / (6 * eiNm2) - shearFlexibilityPerN / span.lengthM;
      const determinant = own * own - other * other;
      elements.push({
        side,
        span,
        leftTurn: [...unknowns.slope(side, from), ...chord],
        rightTurn: [...unknowns.slope(side, to), ...chord].map(({ unknown, factor }) => ({ unknown, factor: -factor })),
        near: own / determinant,
        far: -other / determinant,
      });
    }
    const [start, end] = [stops[0], stops.at(-1)];
    if (assumption.gjNm2 === 0 || start === undefined || end === undefined) continue;
    const [a, b] = [unknowns.turns(start), unknowns.turns(end)];
    if (a === null || b === null) continue; // nothing to twist it at a hinge or a free end
    twists.push({
      side,
      stiffnessNmPerRad: assumption.gjNm2 / lengthM,
      twist: [
        { unknown: b.aboutX, factor: tx },
        { unknown: b.aboutY, factor: ty },
        { unknown: a.aboutX, factor: -tx },
        { unknown: a.aboutY, factor: -ty },
      ],
    });
  }
  return {
    stiffness: stiffnessOf(elements, twists, unknowns),
    forces: forcesOf(layout, elements, unknowns, layout.hang.cornerN ?? 0),
    elements,
    twists,
    hoistUnknowns: layout.hoists.map(({ joint }) => unknowns.down({ joint, node: 0 })),
    loadedWith: (loads, cornerN) => {
      const sides = layout.sides.map((laid, side) => ({ ...laid, loads: loads[side] ?? laid.loads }));
      const loaded = elements.map((element) => {
        const { side, span } = element;
        const laid = sides[side];
        return laid === undefined ? element : { ...element, span: spanBetween(laid.nodesM, laid.loads, span.fromNode, span.toNode) };
      });
      return { elements: loaded, forces: forcesOf({ ...layout, sides }, loaded, unknowns, cornerN) };
    },
  };
}

type Unknowns = {
  readonly count: number;
  readonly down: (stop: Stop) => number;
  /** Slope of the side, down positive along its direction. */
  readonly slope: (side: number, stop: Stop) => Term[];
  readonly turns: (stop: Stop) => { aboutX: number; aboutY: number } | null;
};

/** Numbers the unknowns around the frame from both ends at once, so that a closed ring keeps a narrow band. */
function numberUnknowns({ hang, sides, joints }: LaidTrussFrame, { cornerJoint }: GrillageAssumption): Unknowns {
  const corners = hang.corners.length;
  const around: number[] = [];
  for (const { stops } of sides) for (const { joint } of stops.slice(0, -1)) around.push(joint);
  if (!hang.closed) around.push(corners - 1);
  const order: number[] = [];
  for (let [low, high] = [0, around.length - 1]; low <= high; low++, high--) {
    order.push(around[low] ?? 0);
    if (low < high) order.push(around[high] ?? 0);
  }
  const down = zeros(joints);
  const turning = zeros(joints);
  const isFreeEnd = (corner: number) => !hang.closed && (corner === 0 || corner === corners - 1);
  const isStiffCorner = (joint: number) => joint < corners && cornerJoint === 'stiff' && !isFreeEnd(joint);
  let count = 0;
  for (const joint of order) {
    down[joint] = count++;
    turning[joint] = count;
    // A stiff corner turns about x and y, a hinged one in each of its two sides, a free end and a hoist in its one side.
    count += joint < corners && !isFreeEnd(joint) ? 2 : 1;
  }
  return {
    count,
    down: ({ joint }) => down[joint] ?? 0,
    slope: (side, { joint }) => {
      const first = turning[joint] ?? 0;
      const laid = sides[side];
      if (isStiffCorner(joint) && laid !== undefined) {
        // Turning by (θx, θy) moves a place (x, y) off the joint down by θy·x - θx·y.
        return [
          { unknown: first, factor: -laid.ty },
          { unknown: first + 1, factor: laid.tx },
        ];
      }
      const startsHere = laid?.stops[0]?.joint === joint;
      return [{ unknown: joint >= corners || isFreeEnd(joint) || startsHere ? first : first + 1, factor: 1 }];
    },
    turns: ({ joint }) => (isStiffCorner(joint) ? { aboutX: turning[joint] ?? 0, aboutY: (turning[joint] ?? 0) + 1 } : null),
  };
}

function stiffnessOf(elements: readonly GrillageElement[], twists: readonly GrillageTwist[], unknowns: Unknowns): SymmetricBand {
  const reach = (terms: readonly Term[]) => {
    const used = terms.map(({ unknown }) => unknown);
    return Math.max(...used) - Math.min(...used);
  };
  const halfBand = Math.max(
    ...elements.map(({ leftTurn, rightTurn }) => reach([...leftTurn, ...rightTurn])),
    ...twists.map(({ twist }) => reach(twist)),
  );
  const stiffness = zeroBand(unknowns.count, halfBand);
  const addProduct = (a: readonly Term[], b: readonly Term[], weight: number) => {
    // Of a pair and its mirror only one lands in the lower half; a term paired with itself or its equal lands once for each.
    for (const one of a)
      for (const other of b)
        if (other.unknown <= one.unknown) addToBand(stiffness, one.unknown, other.unknown, weight * one.factor * other.factor);
  };
  for (const { leftTurn, rightTurn, near, far } of elements) {
    addProduct(leftTurn, leftTurn, near);
    addProduct(rightTurn, rightTurn, near);
    addProduct(leftTurn, rightTurn, far);
    addProduct(rightTurn, leftTurn, far);
  }
  for (const { twist, stiffnessNmPerRad } of twists) addProduct(twist, twist, stiffnessNmPerRad);
  return stiffness;
}

function forcesOf(
  { eiNm2, sides, hang }: LaidTrussFrame,
  elements: readonly GrillageElement[],
  unknowns: Unknowns,
  cornerN: number,
): number[] {
  const forces = zeros(unknowns.count);
  const add = (unknown: number, force: number) => {
    forces[unknown] = (forces[unknown] ?? 0) + force;
  };
  for (const { span, leftTurn, rightTurn, near, far } of elements) {
    const [leftNm, rightNm] = [near * span.leftSlopeNm2 + far * span.rightSlopeNm2, far * span.leftSlopeNm2 + near * span.rightSlopeNm2];
    for (const { unknown, factor } of leftTurn) add(unknown, (factor * leftNm) / eiNm2);
    for (const { unknown, factor } of rightTurn) add(unknown, (factor * rightNm) / eiNm2);
  }
  let element = 0;
  for (const { stops, loads } of sides) {
    for (const [index, stop] of stops.entries()) {
      add(unknowns.down(stop), loads.pointN[stop.node] ?? 0);
      const before = index > 0 ? elements[element + index - 1] : undefined;
      const after = index < stops.length - 1 ? elements[element + index] : undefined;
      add(unknowns.down(stop), (before?.span.rightShareN ?? 0) + (after?.span.leftShareN ?? 0));
    }
    element += stops.length - 1;
  }
  for (let corner = 0; corner < hang.corners.length; corner++) add(unknowns.down({ joint: corner, node: 0 }), cornerN);
  return forces;
}
