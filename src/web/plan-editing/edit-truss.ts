import { atan2, cos, degToRad, radToDeg, sin } from '../../domain/foundation/elementary.ts';
import type { TrussSectionData } from '../../domain/plan/equipment-data.ts';
import type { Hang, PickUp, Plan, TrussBuild, TrussSection } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { pickUpAt } from './new-hang.ts';

export type TrussHang = Extract<Hang, { kind: 'truss' }> & { build: TrussBuild };
export const isBuiltTruss = (hang: Hang): hang is TrussHang => hang.kind === 'truss' && hang.build !== null;

type Across = { readonly xM: number; readonly yM: number };
const SAME_PLACE_M = 0.001; // closer than this, two places are one point on any drawing that we can receive

const alongOf = ({ azimuthDeg }: TrussBuild): Across => ({ xM: cos(degToRad(azimuthDeg)), yM: sin(degToRad(azimuthDeg)) });
const stationOf = ({ build }: TrussHang, pickUpId: string): number | null =>
  build.pickUps.find((one) => one.pickUpId === pickUpId)?.atM ?? null;

/** Place in plan of a station, to the side by `asideM`. */
export function trussPlace(build: TrussBuild, atM: number, asideM = 0): Across {
  const along = alongOf(build);
  return { xM: build.start.xM + atM * along.xM - asideM * along.yM, yM: build.start.yM + atM * along.yM + asideM * along.xM };
}

/** Every hoist where its station, the height of the truss and its own level say. */
function placed(hang: TrussHang): TrussHang {
  const { build } = hang;
  const pickUps = hang.pickUps.map((pickUp): PickUp => {
    const on = build.pickUps.find(({ pickUpId }) => pickUpId === pickUp.id);
    if (on === undefined) return pickUp;
    return { ...pickUp, position: { ...trussPlace(build, on.atM), zM: build.start.zM + (build.pickUpsAboveM ?? 0) + on.levelMm / 1000 } };
  });
  return { ...hang, pickUps };
}

export const withTruss = (hang: TrussHang, change: Partial<TrussBuild>): TrussHang =>
  placed({ ...hang, build: { ...hang.build, ...change } });

/**
 * The truss goes where one of its hoists went. Its two outermost hoists say where it lies; those in between stay at their stations, and
 * what their lines are then off plumb is checked. It is made as long as its hoists are apart at least.
 */
export function followedBy(before: TrussHang, after: Hang, pickUpId: string): Hang {
  if (!isBuiltTruss(after)) return after;
  const { build } = after;
  const moved = after.pickUps.find(({ id }) => id === pickUpId);
  const was = before.pickUps.find(({ id }) => id === pickUpId);
  const atM = stationOf(after, pickUpId);
  if (!moved || atM === null || (was && apartM(was.position, moved.position) === 0)) return after;
  const others = after.pickUps.flatMap((pickUp) => {
    const stationM = stationOf(after, pickUp.id);
    return stationM === null || pickUp.id === pickUpId ? [] : [{ position: pickUp.position, atM: stationM }];
  });
  const [first] = others;
  if (first === undefined) return placed({ ...after, build: { ...build, start: startFor(build, atM, moved.position) } });
  const nearer = others.filter((other) => other.atM < atM);
  if (nearer.length > 0 && nearer.length < others.length) {
    const along = alongOf(build);
    const nowM = (moved.position.xM - build.start.xM) * along.xM + (moved.position.yM - build.start.yM) * along.yM;
    return placed(reaching(withStations(after, { [pickUpId]: nowM })));
  }
  // An outermost one: the truss turns about the hoist at its other end.
  const isLast = nearer.length > 0;
  const end = others.reduce((best, other) => ((isLast ? other.atM < best.atM : other.atM > best.atM) ? other : best), first);
  const spanM = apartM(end.position, moved.position);
  if (spanM < SAME_PLACE_M) return placed(after); // two hoists at one place: which way the truss lies stays as it was
  const [from, to] = isLast ? [end.position, moved.position] : [moved.position, end.position];
  const azimuthDeg = radToDeg(atan2(to.yM - from.yM, to.xM - from.xM));
  const turned = { ...build, azimuthDeg };
  const start = startFor(turned, end.atM, end.position);
  const nowM = isLast ? end.atM + spanM : end.atM - spanM;
  return placed(reaching(withStations({ ...after, build: { ...turned, start } }, { [pickUpId]: nowM })));
}

const apartM = (a: Across, b: Across): number => Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2);

/** Where the truss starts so that this station comes to lie there. */
function startFor(build: TrussBuild, atM: number, there: Across): TrussBuild['start'] {
  const along = alongOf(build);
  return { ...build.start, xM: there.xM - atM * along.xM, yM: there.yM - atM * along.yM };
}

function withStations(hang: TrussHang, stations: Readonly<Record<string, number>>): TrussHang {
  const pickUps = hang.build.pickUps.map((one) => ({ ...one, atM: stations[one.pickUpId] ?? one.atM }));
  return { ...hang, build: { ...hang.build, pickUps } };
}

/** Long enough for its hoists, at either end; what hangs on it stays where it is. */
function reaching(hang: TrussHang): TrussHang {
  const { build } = hang;
  const stations = build.pickUps.map(({ atM }) => atM);
  const shortM = Math.max(0, -Math.min(0, ...stations));
  const lengthM = Math.max(build.lengthM, ...stations) + shortM;
  if (shortM === 0) return { ...hang, build: { ...build, lengthM } };
  return {
    ...hang,
    build: {
      ...build,
      lengthM,
      start: { ...build.start, ...trussPlace(build, -shortM) },
      pickUps: build.pickUps.map((one) => ({ ...one, atM: one.atM + shortM })),
      pointLoads: build.pointLoads.map((load) => ({ ...load, atM: load.atM + shortM })),
      spreadLoads: build.spreadLoads.map((load) => ({ ...load, fromM: load.fromM + shortM, toM: load.toM + shortM })),
    },
  };
}

/** One more hoist under a point. The second says which way the truss lies, and it overhangs there as it does at the first. */
export function withTrussHoist(plan: Plan, hang: TrussHang, point: RoofPoint, newId: () => string): TrussHang {
  const [first] = hang.pickUps;
  const hoist = first?.hoist ?? null;
  const chalk = `${hang.label}-${hang.pickUps.length + 1}`;
  const made = { ...pickUpAt(plan, point, hoist?.equipment ?? '', newId(), chalk), hoist };
  const { build } = hang;
  const overhangM = (first && stationOf(hang, first.id)) ?? 0;
  const isSecond = hang.pickUps.length === 1;
  const along = alongOf(build);
  const onLineM = (point.xM - build.start.xM) * along.xM + (point.yM - build.start.yM) * along.yM;
  const atM = isSecond && first ? overhangM + apartM(first.position, point) : onLineM;
  const added: TrussHang = {
    ...hang,
    pickUps: [...hang.pickUps, made],
    build: { ...build, pickUps: [...build.pickUps, { pickUpId: made.id, atM, levelMm: 0 }] },
  };
  if (!isSecond || !first) return placed(reaching(added));
  const apart = apartM(first.position, point);
  if (apart < SAME_PLACE_M) return placed(added);
  const azimuthDeg = radToDeg(atan2(point.yM - first.position.yM, point.xM - first.position.xM));
  const turned = { ...added.build, azimuthDeg, lengthM: Math.max(build.lengthM, atM + overhangM) };
  return placed({ ...added, build: { ...turned, start: startFor(turned, overhangM, first.position) } });
}

/** Without one of its hoists; the truss stays where it is. */
export function withoutTrussHoist(hang: TrussHang, pickUpId: string): TrussHang {
  return {
    ...hang,
    pickUps: hang.pickUps.filter(({ id }) => id !== pickUpId),
    build: { ...hang.build, pickUps: hang.build.pickUps.filter((one) => one.pickUpId !== pickUpId) },
  };
}

/** A hoist elsewhere along the truss: it is drawn there, and its line goes up to the point that it had. */
export const withStation = (hang: TrussHang, pickUpId: string, atM: number): TrussHang => placed(withStations(hang, { [pickUpId]: atM }));

export const withLevel = (hang: TrussHang, pickUpId: string, levelMm: number): TrussHang =>
  withTruss(hang, { pickUps: hang.build.pickUps.map((one) => (one.pickUpId === pickUpId ? { ...one, levelMm } : one)) });

/** How far the truss goes beyond its first hoist [m]; null without one. */
export const startOverhangM = ({ build }: TrussHang): number | null =>
  build.pickUps.length === 0 ? null : Math.min(...build.pickUps.map(({ atM }) => atM));

/** The truss is pushed through under its hoists, which stay where they are; what hangs on it goes with it. */
export function withStartOverhang(hang: TrussHang, overhangM: number): TrussHang {
  const byM = overhangM - (startOverhangM(hang) ?? overhangM);
  const { build } = hang;
  return withTruss(hang, {
    start: { ...build.start, ...trussPlace(build, -byM) },
    pickUps: build.pickUps.map((one) => ({ ...one, atM: one.atM + byM })),
  });
}

/** The truss as high as brings its pick-ups to this height. */
export const withPickUpsAt = (hang: TrussHang, zM: number): TrussHang =>
  withTruss(hang, { start: { ...hang.build.start, zM: zM - (hang.build.pickUpsAboveM ?? 0) } });

/** How far the pick-ups are above the axis: they stay at their height, and the axis is set below them. */
export function withPickUpsAbove(hang: TrussHang, pickUpsAboveM: number | null): TrussHang {
  const { start, pickUpsAboveM: before = 0 } = hang.build;
  return withTruss(hang, { pickUpsAboveM, start: { ...start, zM: start.zM + (before ?? 0) - (pickUpsAboveM ?? 0) } });
}

/** What the statics read of a section of the catalogue: the plan keeps its own copy. */
export function sectionOf(data: TrussSectionData): TrussSection {
  const { selfKgPerM, basis, eiKnm2, gaKn, gjKnm2, saggingKnm, hoggingKnm, shearKn, nodeSpacingM, allowablesBasis, spanTable } = data;
  return {
    selfKgPerM,
    selfBasis: basis,
    eiKnm2,
    gaKn,
    gjKnm2,
    saggingKnm,
    hoggingKnm,
    shearKn,
    nodeSpacingM,
    allowablesBasis,
    spanTable,
  };
}

/** Whether something on it lies beyond one of its ends. */
export function isBeyondItsEnds({ lengthM, pickUps, pointLoads, spreadLoads }: TrussBuild): boolean {
  const stations = [...pickUps, ...pointLoads].map(({ atM }) => atM);
  return [...stations, ...spreadLoads.flatMap(({ fromM, toM }) => [fromM, toM])].some((atM) => atM < -1e-9 || atM > lengthM + 1e-9);
}
