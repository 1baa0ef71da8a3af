import { cos, degToRad, sin } from '../../domain/foundation/elementary.ts';
import { hookOfLine, pointIdsOfHang } from '../../domain/plan/attachment-places.ts';
import type { ArrayBuild, Hang, LineOffPlumb, PickUp, Position, SidePoint } from '../../domain/plan/plan.ts';
import { lineTopOf } from '../../domain/plan/plumb.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { followedBy, isBuiltTruss } from './edit-truss.ts';

type Across = { readonly xM: number; readonly yM: number };
type End = LineOffPlumb['to'];

export const linesOf = ({ linesOffPlumb }: Hang): readonly LineOffPlumb[] => linesOffPlumb ?? [];
/** Where statics are offered for such lines, and where there are some already: none is hidden. */
export const mayHaveLines = (hang: Hang): boolean => hang.kind !== 'trussFrame' || linesOf(hang).length > 0;

// Where a new line begins, to be set right by whoever plans.
const ASIDE_M = 0.5;
const PLACE_AWAY_M = 5;

/** The lowest corner at the rear of a cabinet; of a frame its rearmost hole. */
export function rearOf(build: ArrayBuild, on: 'frame' | number): SidePoint {
  const spots = on === 'frame' ? build.frame.holes : (build.elements[on]?.corners ?? []);
  const [first = { uM: 0, vM: 0 }, ...rest] = spots;
  const { uM, vM } = rest.reduce((best, one) => (one.uM < best.uM || (one.uM === best.uM && one.vM < best.vM) ? one : best), first);
  return { uM, vM };
}

/** At the foot of an array, else at the hook. */
const madeFast = (hang: Hang): LineOffPlumb['at'] => {
  if (hang.kind !== 'array') return null;
  const lowest = hang.build === null ? -1 : hang.build.elements.length - 1;
  if (hang.build === null || lowest < 0) return { on: 'frame', uM: 0, vM: 0 };
  return { on: lowest, ...rearOf(hang.build, lowest) };
};

/** Beside the hook and as high; behind an array, in its side plane; across a truss. What holds there nobody has said yet. */
export function placeBeside(hang: Hang, pickUpId?: string | null): End {
  const { xM = 0, yM = 0, zM = 0 } = (hang.pickUps.find(({ id }) => id === pickUpId) ?? hang.pickUps[0])?.position ?? {};
  const turn = degToRad(
    hang.kind === 'array' ? (hang.build?.azimuthDeg ?? 0) : hang.kind === 'truss' ? -(hang.build?.azimuthDeg ?? 0) : 90,
  );
  const place = { xM: tidy(xM + PLACE_AWAY_M * sin(turn)), yM: tidy(yM + PLACE_AWAY_M * cos(turn)), zM: zM ?? 0 };
  return { place, holdsKn: null, basis: null };
}

/** The nearest point to where the line ends now that the hang does not use yet; null where there is none. */
export function pointBeside(hang: Hang, line: LineOffPlumb, points: readonly RoofPoint[]): End | null {
  const [end, taken] = [endOf(line, points) ?? hang.pickUps[0]?.position, pointIdsOfHang(hang)];
  if (end === undefined) return null;
  const apart = (point: Across) => (point.xM - end.xM) ** 2 + (point.yM - end.yM) ** 2;
  const free = points.filter(({ id }) => !taken.includes(id));
  const nearest = free.reduce<RoofPoint | null>((best, one) => (best === null || apart(one) < apart(best) ? one : best), null);
  return nearest && { pointId: nearest.id };
}

const tidy = (lengthM: number): number => Math.round(lengthM * 1e6) / 1e6;

/**
 * One more line, on a truss at the hook that is nearest to where it ends. A single pick that hung plumb is drawn a little aside by it: else
 * the line would carry nothing.
 */
export function withLine(hang: Hang, to: End, points: readonly RoofPoint[], newId: () => string): Hang {
  const kind = hang.kind === 'array' ? 'pullBack' : 'breastline';
  const line: LineOffPlumb = { id: newId(), kind, at: madeFast(hang), to, parts: [], pretensionKn: null };
  const end = endOf(line, points);
  const apart = ({ position }: PickUp) => (end === null ? 0 : (position.xM - end.xM) ** 2 + (position.yM - end.yM) ** 2);
  const hook = hang.pickUps.reduce<PickUp | undefined>((best, one) => (best && apart(best) <= apart(one) ? best : one), undefined);
  const isAtHook = hang.kind === 'truss' && hook !== undefined;
  const added: Hang = { ...hang, linesOffPlumb: [...linesOf(hang), isAtHook ? { ...line, pickUpId: hook.id } : line] };
  const [before, aim] = [offPlumb(hook, points), hook ? aimOf(added, hook, points) : null];
  const isPlumb = before !== null && sizeM(before) < 0.001;
  if (hook === undefined || hang.kind === 'array' || hang.kind === 'truss' || aim === null || !isPlumb) return added;
  return withAside(added, hook.id, Math.min(ASIDE_M, aim.farM / 4), points);
}

/** A guy is set to a pretension; what another line pulls follows. */
export function withLineChange(hang: Hang, lineId: string, change: Partial<LineOffPlumb>): Hang {
  const changed = (line: LineOffPlumb): LineOffPlumb => {
    const next = { ...line, ...change };
    return next.kind === 'guy' ? next : { ...next, pretensionKn: null };
  };
  return { ...hang, linesOffPlumb: linesOf(hang).map((line) => (line.id === lineId ? changed(line) : line)) };
}

/** Another end: where the one line holds a hook aside, that is drawn as far aside as before, towards it. */
export function withLineEnd(hang: Hang, lineId: string, to: End, points: readonly RoofPoint[]): Hang {
  const line = linesOf(hang).find(({ id }) => id === lineId);
  const hook = line && hookOfLine(hang, line);
  const before = hook && asideOf(hang, hook.id, points);
  const next = withLineChange(hang, lineId, { to });
  return hook === undefined || before?.towardsM === undefined ? next : withAside(next, hook.id, before.towardsM, points);
}

/** Without any left the hook hangs where it is drawn: what that is off plumb is checked. */
export const withoutLine = (hang: Hang, lineId: string): Hang => ({
  ...hang,
  linesOffPlumb: linesOf(hang).filter(({ id }) => id !== lineId),
});

/** Where the line from a hook goes to: its point, or the apex of its bridle. */
const topOf = ({ attachment }: PickUp, points: readonly RoofPoint[]): Across | null =>
  lineTopOf(attachment, (pointId) => points.find(({ id }) => id === pointId) ?? null);
const sizeM = ({ xM, yM }: Across): number => Math.sqrt(xM * xM + yM * yM);

/** From above a hook to it, in plan. */
function offPlumb(hook: PickUp | undefined, points: readonly RoofPoint[]): Across | null {
  const top = hook && topOf(hook, points);
  return hook && top ? { xM: hook.position.xM - top.xM, yM: hook.position.yM - top.yM } : null;
}

export function endOf({ to }: LineOffPlumb, points: readonly RoofPoint[]): Position | null {
  if ('place' in to) return to.place;
  const { xM, yM, zM } = points.find(({ id }) => id === to.pointId) ?? {};
  return xM === undefined || yM === undefined || zM === undefined ? null : { xM, yM, zM };
}

/** From above a hook to where the one line that holds it ends; null where several do, or none. */
function aimOf(hang: Hang, hook: PickUp, points: readonly RoofPoint[]): { readonly to: Across; readonly farM: number } | null {
  const [line, ...more] = linesOf(hang).filter((one) => one.kind !== 'guy' && hookOfLine(hang, one)?.id === hook.id);
  const [top, end] = [topOf(hook, points), line && endOf(line, points)];
  if (more.length > 0 || !top || !end) return null;
  const away = { xM: end.xM - top.xM, yM: end.yM - top.yM };
  const farM = sizeM(away);
  return farM < 0.001 ? null : { to: { xM: away.xM / farM, yM: away.yM / farM }, farM };
}

/**
 * How far a hook is drawn aside from straight below [m]; null where nothing of the roof is above it. `towardsM`: towards the end of the one
 * line that holds it, where it is drawn in the plane of that.
 */
export function asideOf(hang: Hang, pickUpId: string, points: readonly RoofPoint[]): (Across & { readonly towardsM?: number }) | null {
  const hook = hang.pickUps.find(({ id }) => id === pickUpId);
  const off = offPlumb(hook, points);
  if (hook === undefined || off === null) return null;
  const aim = aimOf(hang, hook, points);
  const besideM = aim === null ? 1 : off.xM * aim.to.yM - off.yM * aim.to.xM;
  return aim === null || Math.abs(besideM) > 1e-6 ? off : { ...off, towardsM: off.xM * aim.to.xM + off.yM * aim.to.yM };
}

/** A hook so far aside: of a truss by turning it about its other hoist, else the whole hang with its outline. */
export function withOffPlumb(hang: Hang, pickUpId: string, off: Across, points: readonly RoofPoint[]): Hang {
  const hook = hang.pickUps.find(({ id }) => id === pickUpId);
  const before = offPlumb(hook, points);
  if (hook === undefined || before === null) return hang;
  const [dx, dy] = [off.xM - before.xM, off.yM - before.yM];
  const moved = (one: PickUp): PickUp => ({ ...one, position: { ...one.position, xM: one.position.xM + dx, yM: one.position.yM + dy } });
  if (isBuiltTruss(hang)) {
    const after = { ...hang, pickUps: hang.pickUps.map((one) => (one.id === hook.id ? moved(one) : one)) };
    return followedBy(hang, after, hook.id);
  }
  return {
    ...hang,
    pickUps: hang.pickUps.map(moved),
    box: hang.box && { ...hang.box, xM: hang.box.xM + dx, yM: hang.box.yM + dy },
  };
}

/** A hook so far towards the end of the one line that holds it. */
export function withAside(hang: Hang, pickUpId: string, towardsM: number, points: readonly RoofPoint[]): Hang {
  const hook = hang.pickUps.find(({ id }) => id === pickUpId);
  const aim = hook ? aimOf(hang, hook, points) : null;
  return aim === null ? hang : withOffPlumb(hang, pickUpId, { xM: aim.to.xM * towardsM, yM: aim.to.yM * towardsM }, points);
}

/** Hooks that lines are made fast at; of an array the first, which says where it hangs. */
export const hooksHeld = (hang: Hang): readonly PickUp[] =>
  hang.pickUps.filter(({ id }) => linesOf(hang).some((line) => hookOfLine(hang, line)?.id === id));

/** Under another point, or apex, a hook is drawn as far aside as it was under the one before. */
export function stillAside(before: Hang, after: Hang, points: readonly RoofPoint[]): Hang {
  return hooksHeld(after).reduce((hang, { id }) => {
    const [was, now] = [before, hang].map((one) => one.pickUps.find((pickUp) => pickUp.id === id));
    const [topBefore, topNow] = [was && topOf(was, points), now && topOf(now, points)];
    const off = asideOf(before, id, points);
    if (off === null || !topBefore || !topNow || (topBefore.xM === topNow.xM && topBefore.yM === topNow.yM)) return hang;
    return off.towardsM === undefined ? withOffPlumb(hang, id, off, points) : withAside(hang, id, off.towardsM, points);
  }, after);
}
