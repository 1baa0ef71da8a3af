import { atan2, cos, degToRad, radToDeg, sin } from '../foundation/elementary.ts';
import type { PositionM } from '../foundation/vector.ts';
import { STANDARD_GRAVITY } from '../foundation/units.ts';
import { pullBackAtPitch } from '../statics/array-pull-back.ts';
import { PLANE_TOLERANCE_M } from '../statics/bridle-legs.ts';
import type { Contingency } from '../statics/hoist-line-take-off.ts';
import type { ArrayPart } from './array-hook-loads.ts';
import { arrayParts, staticsBuild } from './array-hook-loads.ts';
import type { Aside, AsideRefusal, EndedLine, EndPull } from './aside.ts';
import { nameOf } from './hook-held-aside.ts';
import type { ArrayBuild } from './plan.ts';
import type { Plumb } from './plumb.ts';
import { reckonedKg } from './take-off-items.ts';

/**
 * An array on one hole, pulled by one line to a pitch that it would not find by itself. Its pull follows from the moments of all parts about
 * the hole: contingency counts on each part only where it makes the pull larger, and where the line goes up and so relieves the chain, only
 * where it makes it smaller. The chain leans against the pull; where it would come to rest is compared with where it is drawn.
 * @param holeId  the hole of the pick-up, which is where its hook is
 */
export function arrayHeldAside(
  build: ArrayBuild,
  holeId: string | null,
  hook: PositionM,
  side: EndedLine,
  drawn: Plumb,
  contingency: Contingency,
): Aside | AsideRefusal {
  const refused = (code: string, sure = false): AsideRefusal => ({ why: { code, of: nameOf(0) }, sure });
  const { at, end } = side;
  if (holeId === null || at === null) return refused('hole-not-stated');
  if (build.framePitchDeg === null) return refused('frame-pitch-not-stated');
  const azimuthRad = degToRad(build.azimuthDeg);
  const forward = { x: -sin(azimuthRad), y: -cos(azimuthRad) };
  const [dx, dy] = [end.xM - hook.xM, end.yM - hook.yM];
  if (Math.abs(dx * forward.y - dy * forward.x) > PLANE_TOLERANCE_M) return refused('line-beside-side-plane', true);
  const asked = {
    hole: holeId,
    framePitchRad: degToRad(build.framePitchDeg),
    on: at.on,
    at,
    to: { uM: dx * forward.x + dy * forward.y, vM: end.zM - hook.zM },
  };
  const parts = arrayParts(build, contingency);
  const pullWith = (some: readonly ArrayPart[]) => pullBackAtPitch(staticsBuild(build, some, build.elements.length), asked);
  const stated = pullWith(parts);
  if (!stated.ok) return refused(stated.error.code, true);
  const { pullBackN, pullBackOnEnd, chain, lost } = stated.value;
  let [mostN, leastN] = [pullBackN, pullBackN];
  for (const part of parts) {
    const heavier = { ...part, row: { ...part.row, massKg: part.row.reckonedKg } };
    const found = pullWith(parts.map((one) => (one === part ? heavier : one)));
    const moreN = (found.ok ? found.value.pullBackN : 0) - pullBackN;
    if (moreN > 0) mostN += moreN;
    else leastN = Math.max(0, leastN + moreN);
  }
  if (pullBackN === 0) return refused('line-pulls-nothing');
  const [u, down] = [pullBackOnEnd.uN / pullBackN, pullBackOnEnd.downN / pullBackN]; // towards the array; down where the line goes up
  const inSpace = (uN: number, downN: number): EndPull => ({ xN: uN * forward.x, yN: uN * forward.y, downN });
  const wholeN = reckonedKg(parts.map(({ row }) => row)) * STANDARD_GRAVITY;
  return {
    under: ({ hooks: [hook], factor, onHangN }) => {
      const { loadN } = hook ?? bug();
      const times = factor + onHangN / wholeN;
      return {
        hoists: [inSpace(-u * mostN * times, loadN - down * (down > 0 ? leastN : mostN * times))],
        lines: [inSpace(u * mostN * times, down * mostN * times)],
      };
    },
    plumbs: [plumbAt(drawn, { x: -forward.x * (chain.uN / chain.upN), y: -forward.y * (chain.uN / chain.upN) }, chain.offPlumbRad)],
    withoutLine: [
      {
        formula: 'frame pitch at which it hangs on its hole alone, with all its weight on that chain',
        numbers: { restingKn: lost.restingN / 1000 },
        unit: 'deg',
        source: 'equilibrium without the line; the swing until then is not computed',
        result: radToDeg(lost.freeHangRad),
      },
    ],
    notes: [],
  };
}

function bug(): never {
  throw new Error('an array has a hook');
}

/** @param slope  of the chain at rest, from its upper end to the hook, in plan per metre of height */
export function plumbAt(drawn: Plumb, slope: { x: number; y: number }, leanRad: number): Plumb {
  const { offset, heightM } = drawn;
  if (offset === null || heightM === null || heightM <= 0) return drawn;
  const off = { xM: offset.xM - slope.x * heightM, yM: offset.yM - slope.y * heightM };
  const offM = Math.sqrt(off.xM * off.xM + off.yM * off.yM);
  return { offset: off, heightM, angleDeg: radToDeg(atan2(offM, heightM)), missing: drawn.missing, heldAtDeg: radToDeg(leanRad) };
}
