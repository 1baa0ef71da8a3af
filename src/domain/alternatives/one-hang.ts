import { degToRad, tan } from '../foundation/elementary.ts';
import type { Verdict } from '../assessment/assessment.ts';
import type { Attachment, Hang, PartUsed, PickUp, Plan } from '../plan/plan.ts';
import { CandidateAssessor, type Change, type LineLoad } from './candidate-assessor.ts';
import { holeSwaps, movedHang, withAttachments, type Shift } from './moved-hang.ts';
import { NearbyPoints } from './nearby-points.ts';
import { pointRooms, type PointRoom } from './point-room.ts';
import { better, type Alternative, type Budget, type Found, type HangQuestion } from './question.ts';
import { WaysUp, type WayRules, type WayUp } from './ways-up.ts';

/** Between places in the box that the hang may be moved in, beside those straight below points and in the planes of pairs of points. */
const STEP_M = 0.5;
/** Of several pick-ups: ways of each that are combined with those of the others. */
const MOST_PER_PICK_UP = 4;
const MOST_COMBINATIONS = 256;

/**
 * Ways to hang one hang of a plan within stated bounds, best first: straight up, on bridles of two and three legs, moved, and in other
 * holes of its frame. A way that a necessary condition rules out is not assessed; each that is offered was, in the whole plan on the roof
 * as loaded then. For a hang on one line the best of each number of legs are the best there are, unless it says that it stopped early:
 * ways come in ascending order of a bound, and the search ends where that bound is no better than what was found. A bridle is offered
 * without its steels, so its verdict is `unknown` until they are chosen. Same question, same answer, as long as `isOver` never says so.
 */
export function alternativesFor(question: HangQuestion, budget: Budget): Found {
  const hang = question.plan.hangs.find(({ id }) => id === question.hangId);
  if (hang === undefined) throw new Error('alternatives are asked for a hang of the plan');
  return new Search(question, budget, hang).run();
}

class Search {
  readonly #question: HangQuestion;
  readonly #budget: Budget;
  readonly #hang: Hang;
  readonly #assessor: CandidateAssessor;
  readonly #nearby: NearbyPoints;
  readonly #kept = new Map<number, Alternative[]>();
  readonly #stopped = new Set<Found['stoppedEarly'][number]>();
  #rooms: ReadonlyMap<string, PointRoom> = new Map();
  #considered = 0;

  constructor(question: HangQuestion, budget: Budget, hang: Hang) {
    this.#question = question;
    this.#budget = budget;
    this.#hang = hang;
    this.#assessor = new CandidateAssessor(question);
    this.#nearby = new NearbyPoints(question.roof.points);
  }

  run(): Found {
    const { bounds, roof, plan } = this.#question;
    const variants = holeSwaps(this.#hang);
    const radiusM = bounds.withinM + Math.sqrt(bounds.shift.xM * bounds.shift.xM + bounds.shift.yM * bounds.shift.yM);
    const near = variants.flatMap(({ pickUps }) => pickUps.flatMap(({ position }) => this.#nearby.within(position, radiusM)));
    const points = [...new Map(near.map(({ point }) => [point.id, point])).values()];
    const without = this.#assessor.withoutHang(points.map(({ id }) => id));
    if (without !== null) this.#rooms = pointRooms(points, without, roof, plan);
    for (const variant of variants) {
      const [firstPoint] = this.#rooms.keys();
      if (firstPoint === undefined) break;
      const lines = this.#assessor.lineLoads(variant, firstPoint);
      if (variant.pickUps.length === 1) this.#onOneLine(variant, lines);
      else this.#onSeveral(variant, lines);
    }
    const alternatives = [...this.#kept.values()].flat().sort(better);
    const { assessed } = this.#assessor;
    return {
      alternatives,
      considered: this.#considered,
      ruledOut: Math.max(0, this.#considered - assessed),
      assessed,
      stoppedEarly: [...this.#stopped].sort(),
    };
  }

  #onOneLine(variant: Hang, lines: ReadonlyMap<string, LineLoad>): void {
    const { mostLegs } = this.#question.bounds;
    const [pickUp] = variant.pickUps;
    if (pickUp === undefined || pickUp.attachment.kind === 'hang' || pickUp.position.zM === null) return;
    const here: Shift = { xM: 0, yM: 0 };
    const grid = this.#gridShifts();
    for (let legs = 1; legs <= mostLegs; legs += 1) {
      const shifts = inOrder([here, ...(legs === 1 ? this.#belowPoints(pickUp) : legs === 2 ? this.#inPlanes(pickUp) : []), ...grid]);
      for (const shift of shifts) {
        if (this.#isFull(legs, sizeOf(shift), 0) || this.#isOver()) break;
        const moved = movedHang(variant, shift);
        for (const way of this.#waysOf(moved.pickUps[0] ?? pickUp, lines, legs)) {
          if (this.#isFull(legs, sizeOf(shift), way.least) || this.#isOver()) break;
          this.#take(withAttachments(moved, [way.attachment]), this.#changeTo(variant, shift));
        }
      }
    }
  }

  #onSeveral(variant: Hang, lines: ReadonlyMap<string, LineLoad>): void {
    const { mostLegs } = this.#question.bounds;
    if (variant.pickUps.some(({ attachment, position }) => attachment.kind === 'hang' || position.zM === null)) return;
    for (const shift of inOrder([{ xM: 0, yM: 0 }, ...variant.pickUps.flatMap((each) => this.#belowPoints(each)), ...this.#gridShifts()])) {
      const levels = Array.from({ length: mostLegs }, (_, n) => n + 1);
      if (levels.every((legs) => this.#isFull(legs, sizeOf(shift), 1)) || this.#isOver()) break;
      const moved = movedHang(variant, shift);
      const choices = moved.pickUps.map((pickUp) => levels.flatMap((legs) => firstOf(this.#waysOf(pickUp, lines, legs), MOST_PER_PICK_UP)));
      const total = choices.reduce((product, { length }) => product * length, 1);
      if (total > 0) this.#stopped.add('combinations');
      for (const ways of combinations(choices).slice(0, MOST_COMBINATIONS)) {
        const legs = ways.reduce((most, way) => Math.max(most, way.legs), 1);
        if (
          this.#isFull(
            legs,
            sizeOf(shift),
            ways.reduce((least, way) => Math.max(least, way.least), 0),
          )
        )
          continue;
        if (this.#isOver()) break;
        this.#take(
          withAttachments(
            moved,
            ways.map(({ attachment }) => attachment),
          ),
          this.#changeTo(variant, shift),
        );
      }
    }
  }

  *#waysOf(pickUp: PickUp, lines: ReadonlyMap<string, LineLoad>, legs: number): Generator<WayUp> {
    const near = this.#nearby.within(pickUp.position, this.#question.bounds.withinM);
    const rooms = near.flatMap(({ point }) => this.#rooms.get(point.id) ?? []);
    const ways = new WaysUp(pickUp, rooms, lines.get(pickUp.id) ?? NO_LOAD, this.#rulesFor(pickUp));
    const before = () => (this.#considered += ways.considered);
    if (legs === 3) {
      const found = ways.threeLegs(() => this.#isOver());
      const first = found.next();
      before();
      if (first.done === true) return;
      yield first.value;
      yield* found;
    } else {
      const found = legs === 1 ? ways.direct() : ways.twoLegs();
      before();
      yield* found;
    }
  }

  #rulesFor({ attachment, hoist }: PickUp): WayRules {
    const { policy } = this.#question.roof.policy;
    const { bounds, plan } = this.#question;
    const parts = partsOf(attachment);
    return {
      wanted: tan(degToRad(Math.min(bounds.legAngleDeg, policy.legOverDeg))),
      flattest: tan(degToRad(policy.legOverDeg)),
      plumb: tan(degToRad(policy.plumbDeg)),
      legOverDeg: policy.legOverDeg,
      apexAboveM: hoist === null ? 0 : hookToHookM(plan, hoist.equipment),
      ...parts,
    };
  }

  #take(hang: Hang, change: Change): void {
    const alternative = this.#assessor.assess(hang, change);
    if (alternative === null) return;
    const kept = this.#kept.get(alternative.mostLegs) ?? [];
    kept.push(alternative);
    kept.sort(better);
    this.#kept.set(alternative.mostLegs, kept.slice(0, this.#question.bounds.most));
  }

  /** Nothing that comes later, moved at least as far and used at least as much, can be better than the last that is kept. */
  #isFull(legs: number, displacementM: number, least: number): boolean {
    const kept = this.#kept.get(legs) ?? [];
    const last = kept[this.#question.bounds.most - 1];
    if (last?.verdict !== bestVerdict(legs)) return false;
    if (displacementM !== last.displacementM) return displacementM > last.displacementM;
    return least >= (last.utilisation ?? 0) * (1 - SAME);
  }

  #isOver(): boolean {
    if (this.#assessor.assessed >= this.#budget.mostAssessed) this.#stopped.add('assessments');
    else if (this.#budget.isOver({ assessed: this.#assessor.assessed, hang: 1, ofHangs: 1 })) this.#stopped.add('time');
    return this.#stopped.has('assessments') || this.#stopped.has('time');
  }

  #changeTo(variant: Hang, shift: Shift): Change {
    return { displacementM: sizeOf(shift), moved: shift, holesSwapped: variant !== this.#hang };
  }

  #isInBox = ({ xM, yM }: Shift): boolean =>
    Math.abs(xM) <= this.#question.bounds.shift.xM && Math.abs(yM) <= this.#question.bounds.shift.yM;

  #boxRadiusM(): number {
    return sizeOf(this.#question.bounds.shift);
  }

  #belowPoints({ position }: PickUp): Shift[] {
    const near = this.#nearby.within(position, this.#boxRadiusM());
    return near.map(({ point }) => ({ xM: point.xM - position.xM, yM: point.yM - position.yM })).filter(this.#isInBox);
  }

  /** To the nearest place in the plane of each pair of points. */
  #inPlanes({ position }: PickUp): Shift[] {
    if (this.#boxRadiusM() === 0) return [];
    const points = this.#nearby.within(position, this.#question.bounds.withinM).map(({ point }) => point);
    return points.flatMap((one, index) =>
      points.slice(index + 1).flatMap((other): Shift[] => {
        const [spanX, spanY] = [other.xM - one.xM, other.yM - one.yM];
        const square = spanX * spanX + spanY * spanY;
        if (square === 0) return [];
        const along = ((position.xM - one.xM) * spanX + (position.yM - one.yM) * spanY) / square;
        const shift = { xM: one.xM + along * spanX - position.xM, yM: one.yM + along * spanY - position.yM };
        return along > 0 && along < 1 && this.#isInBox(shift) ? [shift] : [];
      }),
    );
  }

  #gridShifts(): Shift[] {
    const { shift } = this.#question.bounds;
    const [columns, rows] = [Math.floor(shift.xM / STEP_M), Math.floor(shift.yM / STEP_M)];
    const shifts: Shift[] = [];
    for (let i = -columns; i <= columns; i += 1) for (let j = -rows; j <= rows; j += 1) shifts.push({ xM: i * STEP_M, yM: j * STEP_M });
    return shifts;
  }
}

const SAME = 1e-9;
const NO_LOAD: LineLoad = { restingKg: 0, movingKg: 0 };

const sizeOf = ({ xM, yM }: Shift): number => Math.sqrt(xM * xM + yM * yM);

/** Shortest first, each place once: places that differ by less than a drawing tells are one. */
function inOrder(shifts: readonly Shift[]): Shift[] {
  const places = new Map<string, Shift>();
  for (const shift of shifts) {
    const key = `${Math.round(shift.xM * 1000)} ${Math.round(shift.yM * 1000)}`;
    if (!places.has(key)) places.set(key, shift);
  }
  return [...places.values()].sort((a, b) => sizeOf(a) - sizeOf(b) || a.xM - b.xM || a.yM - b.yM);
}

function firstOf(ways: Iterable<WayUp>, most: number): WayUp[] {
  const found: WayUp[] = [];
  for (const way of ways) {
    found.push(way);
    if (found.length >= most) break;
  }
  return found;
}

/** All of them, fewest pieces first, then the least used. */
function combinations(choices: readonly (readonly WayUp[])[]): WayUp[][] {
  let all: WayUp[][] = [[]];
  for (const options of choices) all = cut(all.flatMap((some) => options.map((way) => [...some, way])));
  return all;
}
const cut = (ways: WayUp[][]): WayUp[][] =>
  ways.sort((a, b) => piecesOf(a) - piecesOf(b) || leastOf(a) - leastOf(b)).slice(0, 4 * MOST_COMBINATIONS);
const piecesOf = (ways: readonly WayUp[]): number => ways.reduce((sum, { legs }) => sum + legs, 0);
const leastOf = (ways: readonly WayUp[]): number => ways.reduce((most, { least }) => Math.max(most, least), 0);

/** Steels follow from the lengths of the legs, and are chosen afterwards. */
const partsOf = (attachment: Attachment): { legParts: PartUsed[]; apexParts: PartUsed[] } => ({
  legParts: [],
  apexParts: attachment.kind === 'bridle' ? attachment.apexParts : attachment.kind === 'tiers' ? attachment.foot.parts : attachment.parts,
});

/** Without its steels a bridle is never known to fit. */
const bestVerdict = (legs: number): Verdict => (legs > 1 ? 'unknown' : 'fits');

function hookToHookM({ equipment }: Plan, key: string): number {
  const data = Object.hasOwn(equipment, key) ? equipment[key]?.data : undefined;
  return data?.kind === 'hoist' ? (data.shortestHookToHookM ?? 0) : 0;
}
