/** A place in space axes [m]: x to house right, y upstage, z up from the finished floor. */
export type PositionM = { readonly xM: number; readonly yM: number; readonly zM: number };

/** A direction or a force; the unit is in the name that carries it. */
export type Vec3 = { readonly x: number; readonly y: number; readonly z: number };

export const dot = (a: Vec3, b: Vec3): number => a.x * b.x + a.y * b.y + a.z * b.z;
export const cross = (a: Vec3, b: Vec3): Vec3 => ({ x: a.y * b.z - a.z * b.y, y: a.z * b.x - a.x * b.z, z: a.x * b.y - a.y * b.x });
export const lengthOf = (a: Vec3): number => Math.sqrt(dot(a, a));

/** The way from one place to another [m]. */
export const between = (from: PositionM, to: PositionM): Vec3 => ({ x: to.xM - from.xM, y: to.yM - from.yM, z: to.zM - from.zM });
export const distanceM = (from: PositionM, to: PositionM): number => lengthOf(between(from, to));
export const isFinitePosition = (p: PositionM): boolean => Number.isFinite(p.xM) && Number.isFinite(p.yM) && Number.isFinite(p.zM);
