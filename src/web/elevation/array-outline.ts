import { cos, degToRad, radToDeg, sin } from '../../domain/foundation/elementary.ts';
import type { ArrayBuild } from '../../domain/plan/plan.ts';
import { solveArray } from '../../domain/statics/array.ts';
import { placed } from '../../domain/statics/array-assembly.ts';

type Spot = { readonly uM: number; readonly vM: number };
export type ArrayOutline = {
  readonly elements: readonly { readonly corners: readonly Spot[]; readonly pitchDeg: number; readonly top: Spot }[];
  readonly holes: readonly ({ readonly id: string } & Spot)[];
  readonly cg: Spot;
  readonly lowest: Spot;
  readonly framePitchDeg: number;
  readonly totalMassKg: number;
  readonly reactions: readonly { readonly hole: string; readonly massKg: number }[];
  readonly depthM: number;
  readonly heightM: number;
  readonly holdableDeg: { readonly from: number; readonly to: number } | null;
  /** A mass is not stated, so centre of gravity and split are not known. */
  readonly isIncomplete: boolean;
};
export type OutlineAnswer = { ok: true; outline: ArrayOutline } | { ok: false; code: string };

/** The array as it hangs, level axes from its front hole: u forward, v up. Worked out by the same statics as its loads. */
export function arrayOutline(build: ArrayBuild, usedHoles: readonly string[]): OutlineAnswer {
  const holes = build.frame.holes.filter(({ id }) => usedHoles.includes(id)).sort((a, b) => b.uM - a.uM);
  const [front, rear] = holes;
  if (!front) return { ok: false, code: 'hole-not-stated' };
  const statics = solveArray(
    {
      frame: { massKg: build.frame.massKg ?? 0, cg: build.frame.cg, bottomPivot: build.frame.bottomPivot, holes: build.frame.holes },
      elements: build.elements.map(({ massKg, cg, bottomPivot, corners, splayDeg }) => ({
        massKg: massKg ?? 0,
        cg,
        bottomPivot,
        corners,
        splayRad: degToRad(splayDeg),
      })),
      extraMasses: build.extras.map(({ on, massKg, uM, vM }) => ({ on, massKg: massKg ?? 0, uM, vM })),
    },
    rear
      ? { on: 'two-holes', frontHole: front.id, rearHole: rear.id, framePitchRad: degToRad(build.framePitchDeg ?? 0) }
      : { on: 'one-hole', hole: front.id },
  );
  if (!statics.ok) return { ok: false, code: statics.error.code };
  const { elements, cg, lowest, framePitchRad, totalMassKg, reactions, depthM, heightM, holdable } = statics.value;
  const masses = [build.frame.massKg, ...build.elements.map(({ massKg }) => massKg), ...build.extras.map(({ massKg }) => massKg)];
  return {
    ok: true,
    outline: {
      elements: elements.map(({ pitchRad, top }, index) => ({
        top,
        pitchDeg: radToDeg(pitchRad),
        corners: (build.elements[index]?.corners ?? []).map((corner) => placed(top, cos(pitchRad), sin(pitchRad), corner)),
      })),
      holes: statics.value.holes,
      cg,
      lowest,
      framePitchDeg: radToDeg(framePitchRad),
      totalMassKg,
      reactions,
      depthM,
      heightM,
      holdableDeg: holdable && { from: radToDeg(holdable.fromRad), to: radToDeg(holdable.toRad) },
      isIncomplete: masses.includes(null),
    },
  };
}
