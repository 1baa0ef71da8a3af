import { pointIdsOf, pointIdsOfHang } from '../../domain/plan/attachment-places.ts';
import type { Hang, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';

type Roof = { readonly points: readonly RoofPoint[] };
export type Copied = {
  readonly plan: Plan;
  readonly hangIds: readonly string[];
  /** Ways up that go to another point than they did: each has to be looked at. */
  readonly rebound: number;
};

/**
 * Hangs of another plan put into this one, under ids of their own, at the same places from the datum. On another roof each way up goes to
 * the point that is nearest in plan to where it went up; where this roof has none it keeps its point, which is then unknown here. Times
 * within the other show are left behind.
 * @param from     the plan that they come from, and the roof that it is for
 * @param newId    an id for each hang and pick-up
 */
export function copiedHangs(
  plan: Plan,
  roof: Roof,
  from: { readonly plan: Plan; readonly roof: Roof },
  hangIds: ReadonlySet<string>,
  newId: () => string,
): Copied {
  const chosen = from.plan.hangs.filter(({ id }) => hangIds.has(id));
  const ids = new Map<string, string>();
  for (const { id, pickUps, linesOffPlumb } of chosen)
    for (const one of [id, ...pickUps.map((pickUp) => pickUp.id), ...(linesOffPlumb ?? []).map((line) => line.id)]) ids.set(one, newId());
  const points = pointMap(chosen, roof, from.roof);
  for (const [old, now] of points) ids.set(old, now);
  const { equipment, names } = mergedEquipment(plan, from.plan, namesUsed(chosen));
  const hangs = chosen.map((hang) => ({ ...renamed(hang, ids, names), up: null }));
  return {
    plan: { ...plan, equipment, hangs: [...plan.hangs, ...hangs] },
    hangIds: hangs.map(({ id }) => id),
    rebound: [...points].filter(([old, now]) => old !== now).length,
  };
}

/** Every id and every name of equipment in it, wherever it stands, in the place of the old one. */
function renamed(hang: Hang, ids: ReadonlyMap<string, string>, names: ReadonlyMap<string, string>): Hang {
  const text = JSON.stringify(hang, (key, value: unknown) => {
    if (typeof value !== 'string') return value;
    return (key === 'equipment' ? names.get(value) : ids.get(value)) ?? value;
  });
  return JSON.parse(text) as Hang; // the very same shape: only texts were put in the place of texts
}

function anchorsOf(hang: Hang): { pointId: string; xM: number; yM: number }[] {
  const [first] = hang.pickUps;
  const ofPickUps = hang.pickUps.flatMap(({ attachment, secondary, position: { xM, yM } }) =>
    [...pointIdsOf(attachment), ...(secondary ? [secondary.pointId] : [])].map((pointId) => ({ pointId, xM, yM })),
  );
  if (first === undefined) return ofPickUps;
  const { xM, yM } = first.position;
  return [...ofPickUps, ...pointIdsOfHang(hang).map((pointId) => ({ pointId, xM, yM }))];
}

/** Of each point used, the one to use here. */
function pointMap(hangs: readonly Hang[], roof: Roof, old: Roof): Map<string, string> {
  const here = new Set(roof.points.map(({ id }) => id));
  const places = new Map(old.points.map((point) => [point.id, point]));
  const map = new Map<string, string>();
  for (const anchor of hangs.flatMap(anchorsOf)) {
    if (map.has(anchor.pointId)) continue;
    if (here.has(anchor.pointId)) map.set(anchor.pointId, anchor.pointId);
    else map.set(anchor.pointId, nearest(roof.points, places.get(anchor.pointId) ?? anchor)?.id ?? anchor.pointId);
  }
  return map;
}

function nearest(points: readonly RoofPoint[], { xM, yM }: { xM: number; yM: number }): RoofPoint | null {
  const apart = (point: RoofPoint) => (point.xM - xM) ** 2 + (point.yM - yM) ** 2;
  return points.reduce<RoofPoint | null>((best, point) => (best === null || apart(point) < apart(best) ? point : best), null);
}

function namesUsed(hangs: readonly Hang[]): Set<string> {
  const names = new Set<string>();
  JSON.stringify(hangs, (key, value: unknown) => {
    if (key === 'equipment' && typeof value === 'string') names.add(value);
    return value;
  });
  return names;
}

/** The equipment of both. A name that stands for something else here gets a new one there. */
function mergedEquipment(
  plan: Plan,
  from: Plan,
  used: ReadonlySet<string>,
): { equipment: Plan['equipment']; names: ReadonlyMap<string, string> } {
  const equipment = { ...plan.equipment };
  const names = new Map<string, string>();
  for (const name of used) {
    const wanted = from.equipment[name];
    if (wanted === undefined) continue;
    const isSame = (other: string) => JSON.stringify(equipment[other]) === JSON.stringify(wanted);
    let free = name;
    for (let number = 2; equipment[free] !== undefined && !isSame(free); number += 1) free = `${name} ${number}`;
    equipment[free] = wanted;
    names.set(name, free);
  }
  return { equipment, names };
}
