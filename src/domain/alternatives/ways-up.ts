import { atan, radToDeg } from '../foundation/elementary.ts';
import type { Attachment, PartUsed, PickUp } from '../plan/plan.ts';
import { PLANE_TOLERANCE_M } from '../statics/bridle-legs.ts';
import type { LineLoad } from './candidate-assessor.ts';
import { leastDemandKg, type PointRoom } from './point-room.ts';

/** A way from a pick-up to the roof. `least` is a bound: no assessment finds its utilisation lower. */
export type WayUp = { readonly attachment: Attachment; readonly legs: number; readonly least: number };

export type WayRules = {
  /** Tangents: of the flattest leg that is offered, of the flattest that the policy lets, and of its tolerance of plumb. */
  readonly wanted: number;
  readonly flattest: number;
  readonly plumb: number;
  readonly legOverDeg: number;
  /** Least height of an apex above the hook: the hoist has to fit below it. */
  readonly apexAboveM: number;
  readonly legParts: PartUsed[];
  readonly apexParts: PartUsed[];
};

const LEAST_DROP_M = 0.01;
/** As the assessor compares. */
const ROUNDING = 1 + 2e-9;
const BUCKETS = 512;

/** From rooms around one hook: arrays, since the triples of two hundred points are more than a million. */
export class WaysUp {
  readonly #rooms: readonly PointRoom[];
  readonly #hook: { readonly xM: number; readonly yM: number; readonly zM: number };
  readonly #line: LineLoad;
  readonly #rules: WayRules;
  considered = 0;

  /** @param rooms  those near the hook; a hook of unknown height has no ways */
  constructor(pickUp: PickUp, rooms: readonly PointRoom[], line: LineLoad, rules: WayRules) {
    const { xM, yM, zM } = pickUp.position;
    this.#hook = { xM, yM, zM: zM ?? Infinity };
    this.#rooms = rooms;
    this.#line = line;
    this.#rules = rules;
  }

  /** Straight up, to points within the tolerance of plumb. */
  direct(): WayUp[] {
    return this.#rooms.flatMap((room): WayUp[] => {
      this.considered += 1;
      const heightM = room.point.zM - this.#hook.zM;
      const offM = this.#offM(room);
      if (!(heightM > LEAST_DROP_M) || offM > heightM * this.#rules.plumb * ROUNDING) return [];
      const demandKg = room.othersKg + leastDemandKg(room, this.#line, 1);
      if (demandKg > room.capacityKg * ROUNDING) return [];
      const attachment: Attachment = { kind: 'direct', pointId: room.point.id, parts: this.#rules.apexParts };
      return [{ attachment, legs: 1, least: shareOf(demandKg, room.capacityKg) }];
    });
  }

  /** Two legs that hold the hook in their plane, between them. */
  twoLegs(): WayUp[] {
    const ways: WayUp[] = [];
    for (const [index, one] of this.#rooms.entries()) {
      for (const other of this.#rooms.slice(index + 1)) {
        this.considered += 1;
        const [ax, ay, bx, by] = [...this.#to(one), ...this.#to(other)];
        const [spanX, spanY] = [bx - ax, by - ay];
        const spanM = Math.sqrt(spanX * spanX + spanY * spanY);
        if (spanM < LEAST_DROP_M || Math.abs(ax * by - bx * ay) > spanM * PLANE_TOLERANCE_M) continue;
        const along = -(ax * spanX + ay * spanY) / (spanM * spanM);
        if (along <= 1e-6 || along >= 1 - 1e-6) continue;
        const way = this.#way([one, other], [1 - along, along]);
        if (way !== null) ways.push(way);
      }
    }
    return ways.sort((a, b) => a.least - b.least);
  }

  /**
   * Three legs around the hook, in ascending order of their bound as far as anybody asks.
   * @param isOver  asked now and then; once it says so no more are found
   */
  *threeLegs(isOver: () => boolean): Generator<WayUp> {
    const rooms = this.#rooms;
    const count = rooms.length;
    const buckets: number[][] = Array.from({ length: BUCKETS + 1 }, () => []);
    const [xs, ys] = [new Float64Array(count), new Float64Array(count)];
    for (const [n, room] of rooms.entries()) [xs[n], ys[n]] = this.#to(room);
    for (let i = 0; i < count - 2; i += 1) {
      if (isOver()) break;
      const [ax, ay] = [xs[i] ?? 0, ys[i] ?? 0];
      for (let j = i + 1; j < count - 1; j += 1) {
        const [bx, by] = [xs[j] ?? 0, ys[j] ?? 0];
        const w = ax * by - bx * ay;
        this.considered += count - j - 1;
        if (w === 0) continue;
        for (let k = j + 1; k < count; k += 1) {
          const [cx, cy] = [xs[k] ?? 0, ys[k] ?? 0];
          const [u, v] = [bx * cy - cx * by, cx * ay - ax * cy];
          if (!((w > 0 && u > 0 && v > 0) || (w < 0 && u < 0 && v < 0))) continue;
          const sum = u + v + w;
          const least = this.#least([i, j, k], [u / sum, v / sum, w / sum]);
          if (least !== null) buckets[Math.min(BUCKETS, Math.floor(least * BUCKETS))]?.push((i * count + j) * count + k);
        }
      }
    }
    for (const bucket of buckets) {
      const ways = bucket.map((packed) => {
        const [i, j, k] = [Math.floor(packed / (count * count)), Math.floor(packed / count) % count, packed % count];
        const [u, v, w] = [cross(xs, ys, j, k), cross(xs, ys, k, i), cross(xs, ys, i, j)];
        const sum = u + v + w;
        return { places: [i, j, k], shares: [u / sum, v / sum, w / sum], least: this.#least([i, j, k], [u / sum, v / sum, w / sum]) ?? 1 };
      });
      ways.sort((a, b) => a.least - b.least);
      for (const { places, shares } of ways) {
        const way = this.#way(
          places.flatMap((place) => rooms[place] ?? []),
          shares,
        );
        if (way !== null) yield way;
      }
    }
  }

  #to = ({ point }: PointRoom): [number, number] => [point.xM - this.#hook.xM, point.yM - this.#hook.yM];

  #offM(room: PointRoom): number {
    const [dx, dy] = this.#to(room);
    return Math.sqrt(dx * dx + dy * dy);
  }

  #least(places: readonly [number, number, number], shares: readonly number[]): number | null {
    const [a, b, c] = [this.#rooms[places[0]], this.#rooms[places[1]], this.#rooms[places[2]]];
    if (a === undefined || b === undefined || c === undefined) return null;
    return this.#bound([a, b, c], shares, this.#apexZM([a, b, c]));
  }

  /** As high as the legs may be flat, and never so high that the hoist does not fit. */
  #apexZM(rooms: readonly PointRoom[]): number {
    let zM = Infinity;
    for (const room of rooms) zM = Math.min(zM, room.point.zM - this.#offM(room) / Math.min(this.#rules.wanted, room.widest));
    return Math.max(zM, this.#hook.zM + this.#rules.apexAboveM);
  }

  /**
   * Null where a leg cannot be, or asks more of its point than it has. In plan the apex is Σ shares · place; a leg's part of the load is
   * its share times its drop, over the sum of those: equilibrium of the apex along each axis.
   */
  #bound(rooms: readonly PointRoom[], shares: readonly number[], apexZM: number): number | null {
    let drops = 0;
    for (let n = 0; n < rooms.length; n += 1) drops += (shares[n] ?? 0) * ((rooms[n]?.point.zM ?? 0) - apexZM);
    let least = 0;
    for (let n = 0; n < rooms.length; n += 1) {
      const room = rooms[n];
      if (room === undefined) return null;
      const dropM = room.point.zM - apexZM;
      if (!(dropM > LEAST_DROP_M)) return null;
      const slope = this.#offM(room) / dropM;
      if (slope > room.widest || slope > this.#rules.flattest) return null;
      const ownKg = leastDemandKg(room, this.#line, ((shares[n] ?? 0) * dropM) / drops);
      const asideKg = ownKg * slope;
      if (asideKg > room.mostSidewaysKg) return null;
      const angleDeg = radToDeg(atan(slope));
      least = Math.max(least, angleDeg / this.#rules.legOverDeg);
      // What parts a leg has pull straight down, so its pull is steeper than the leg.
      if (room.point.maxAngleDeg !== null && this.#rules.legParts.length === 0)
        least = Math.max(least, shareOf(angleDeg, room.point.maxAngleDeg));
      const downKg = room.othersKg + ownKg;
      const demandKg = Math.sqrt(downKg * downKg + asideKg * asideKg);
      if (demandKg > room.capacityKg * ROUNDING) return null;
      least = Math.max(least, shareOf(demandKg, room.capacityKg));
    }
    return least;
  }

  #way(rooms: readonly PointRoom[], shares: readonly number[]): WayUp | null {
    const apexZM = this.#apexZM(rooms);
    const least = this.#bound(rooms, shares, apexZM);
    if (least === null || this.#groupIsFull(rooms, shares, apexZM)) return null;
    const legs = [...rooms].map(({ point }) => ({ pointId: point.id, parts: this.#rules.legParts }));
    const apex = { xM: this.#hook.xM, yM: this.#hook.yM, zM: apexZM };
    return { attachment: { kind: 'bridle', apex, legs, apexParts: this.#rules.apexParts }, legs: rooms.length, least };
  }

  #groupIsFull(rooms: readonly PointRoom[], shares: readonly number[], apexZM: number): boolean {
    const drops = rooms.reduce((sum, { point }, n) => sum + (shares[n] ?? 0) * (point.zM - apexZM), 0);
    const added = new Map<string, number>();
    return rooms.some((room, n) =>
      room.groups.some(({ id, leftKg }) => {
        const kg = (added.get(id) ?? 0) + (this.#line.restingKg * (shares[n] ?? 0) * (room.point.zM - apexZM)) / drops;
        added.set(id, kg);
        return kg > leftKg * ROUNDING + 1e-6;
      }),
    );
  }
}

const shareOf = (demandKg: number, capacityKg: number): number => (capacityKg > 0 ? demandKg / capacityKg : 0);
const cross = (xs: Float64Array, ys: Float64Array, a: number, b: number): number =>
  (xs[a] ?? 0) * (ys[b] ?? 0) - (xs[b] ?? 0) * (ys[a] ?? 0);
