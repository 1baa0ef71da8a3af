import { cos, degToRad, sin } from '../../domain/foundation/elementary.ts';
import { hookOfLine, wayPieces } from '../../domain/plan/attachment-places.ts';
import type { Hang } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { trussPlace } from '../plan-editing/edit-truss.ts';
import type { PlanScene, PlanShape } from './scene.ts';

const WITHOUT_BOX_M = 0.4; // half the side of the square that stands for a hang whose outline is not stated
const TRUSS_HALF_M = 0.2; // half of how broad a truss is drawn: nothing says how broad it is

/** Hangs as they fill the plan, and what goes from them to the roof beside straight up. */
export function hangShapes(hangs: readonly Hang[], points: readonly RoofPoint[]): Pick<PlanScene, 'hangs' | 'legs'> {
  const place = new Map(points.map((point) => [point.id, point]));
  return {
    hangs: hangs.flatMap((hang) => shapeOf(hang) ?? []),
    legs: hangs.flatMap((hang) => [
      ...hang.pickUps.flatMap((pickUp) =>
        wayPieces(pickUp).flatMap(({ from, to }) => {
          const end = 'pointId' in to ? place.get(to.pointId) : to;
          return end ? [{ from, to: end }] : [];
        }),
      ),
      // A hook that is held aside below an apex: the line between them leans.
      ...hang.pickUps.flatMap(({ position, attachment }) =>
        attachment.kind === 'bridle' && isAside(position, attachment.apex) ? [{ from: position, to: attachment.apex }] : [],
      ),
      ...(hang.linesOffPlumb ?? []).flatMap((line) => {
        const [from, end] = [hookOfLine(hang, line)?.position, 'pointId' in line.to ? place.get(line.to.pointId) : line.to.place];
        return from && end ? [{ from, to: end }] : [];
      }),
    ]),
  };
}

const isAside = (a: { xM: number; yM: number }, b: { xM: number; yM: number }): boolean => a.xM !== b.xM || a.yM !== b.yM;

function shapeOf(hang: Hang): PlanShape | null {
  const { id, label, box, pickUps } = hang;
  const [first] = pickUps;
  if (box !== null) {
    const turn = degToRad(box.azimuthDeg);
    const corner = (along: number, across: number) => ({
      xM: box.xM + along * cos(turn) - across * sin(turn),
      yM: box.yM + along * sin(turn) + across * cos(turn),
    });
    const [along, across] = [box.alongM / 2, box.acrossM / 2];
    return { id, label, corners: [corner(along, across), corner(-along, across), corner(-along, -across), corner(along, -across)] };
  }
  if (hang.kind === 'truss' && hang.build !== null) {
    const { build } = hang;
    const corner = (atM: number, asideM: number) => trussPlace(build, atM, asideM);
    const half = TRUSS_HALF_M;
    return { id, label, corners: [corner(0, -half), corner(build.lengthM, -half), corner(build.lengthM, half), corner(0, half)] };
  }
  if (hang.kind === 'trussFrame' && hang.build !== null) {
    const { corners, closed } = hang.build;
    return { id, label, corners: closed ? corners : [...corners, ...[...corners].reverse()] }; // there and back: a line encloses nothing
  }
  if (!first) return null;
  const { xM, yM } = first.position;
  const half = WITHOUT_BOX_M;
  return {
    id,
    label,
    corners: [
      { xM: xM - half, yM: yM - half },
      { xM: xM + half, yM: yM - half },
      { xM: xM + half, yM: yM + half },
      { xM: xM - half, yM: yM + half },
    ],
  };
}
