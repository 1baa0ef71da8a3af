import { cos, degToRad, sin } from '../foundation/elementary.ts';
import type { ArrayBuild, Attachment, Hang, PickUp } from '../plan/plan.ts';

export type Shift = { readonly xM: number; readonly yM: number };

/** The whole hang moved in plan, its build and its box with it; what it hangs from stays. */
export function movedHang(hang: Hang, { xM, yM }: Shift): Hang {
  if (xM === 0 && yM === 0) return hang;
  const by = <T extends { xM: number; yM: number }>(place: T): T => ({ ...place, xM: place.xM + xM, yM: place.yM + yM });
  const pickUps = hang.pickUps.map((pickUp) => ({ ...pickUp, position: by(pickUp.position) }));
  const box = hang.box === null ? null : by(hang.box);
  if (hang.kind === 'truss' && hang.build !== null) return { ...hang, box, pickUps, build: { ...hang.build, start: by(hang.build.start) } };
  if (hang.kind === 'trussFrame' && hang.build !== null)
    return { ...hang, box, pickUps, build: { ...hang.build, corners: hang.build.corners.map(by) } };
  return { ...hang, box, pickUps };
}

export function withAttachments(hang: Hang, attachments: readonly Attachment[]): Hang {
  const pickUps = hang.pickUps.map((pickUp, index): PickUp => {
    const attachment = attachments[index];
    if (attachment === undefined) throw new Error('every pick-up needs an attachment');
    return { ...pickUp, attachment };
  });
  return { ...hang, pickUps };
}

/**
 * An array as it is, and in every other hole or pair of holes of its frame (front and rear stay so). The pick-ups go
 * with the holes, along the frame as it is pitched; the array itself stays.
 */
export function holeSwaps(hang: Hang): Hang[] {
  if (hang.kind !== 'array' || hang.build === null || hang.build.framePitchDeg === null) return [hang];
  const { build, pickUps } = hang;
  const used = pickUps.map(({ id }) =>
    build.frame.holes.find((hole) => hole.id === build.holes.find(({ pickUpId }) => pickUpId === id)?.holeId),
  );
  if (used.length === 0 || used.length > 2 || used.some((hole) => hole === undefined)) return [hang];
  const [first, second] = used;
  const pairs = orderedPairs(build.frame.holes).map((pair) => ((first?.uM ?? 0) > (second?.uM ?? 0) ? pair : [...pair].reverse()));
  const choices = used.length === 1 ? build.frame.holes.map((hole) => [hole]) : pairs;
  const others = choices.filter((holes) => holes.some((hole, index) => hole.id !== used[index]?.id));
  const swaps = others.map((holes): Hang => ({
    ...hang,
    build: { ...build, holes: pickUps.map(({ id }, index) => ({ pickUpId: id, holeId: holes[index]?.id ?? '' })) },
    pickUps: pickUps.map((pickUp, index) => ({ ...pickUp, position: alongFrame(pickUp.position, build, used[index], holes[index]) })),
  }));
  return [hang, ...swaps];
}

type Hole = ArrayBuild['frame']['holes'][number];

const orderedPairs = (holes: readonly Hole[]): Hole[][] =>
  holes.flatMap((front) => holes.filter((rear) => rear.uM < front.uM).map((rear) => [front, rear]));

/** u is forward, (-sin a, -cos a) in plan, and v up; a positive pitch lifts the front. */
function alongFrame(position: PickUp['position'], build: ArrayBuild, from: Hole | undefined, to: Hole | undefined): PickUp['position'] {
  if (from === undefined || to === undefined) return position;
  const [pitchRad, azimuthRad] = [degToRad(build.framePitchDeg ?? 0), degToRad(build.azimuthDeg)];
  const [du, dv] = [to.uM - from.uM, to.vM - from.vM];
  const forwardM = du * cos(pitchRad) - dv * sin(pitchRad);
  const upM = du * sin(pitchRad) + dv * cos(pitchRad);
  return {
    xM: position.xM - forwardM * sin(azimuthRad),
    yM: position.yM - forwardM * cos(azimuthRad),
    zM: position.zM === null ? null : position.zM + upM,
  };
}
