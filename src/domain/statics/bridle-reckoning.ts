import { radToDeg } from '../foundation/elementary.ts';
import type { PositionM } from '../foundation/vector.ts';
import type { Anchor } from './bridle-legs.ts';
import type { Bridle } from './bridle.ts';
import type { Reckoning } from './hoist-line-reckoning.ts';

/** How the share and the tension of each leg came about: two lines a leg, in the order of the legs, so that they can be checked by hand. */
export function bridleReckonings(loadN: number, apex: PositionM, anchors: readonly Anchor[], { legs }: Bridle): Reckoning[] {
  const offsets = anchors.map(({ xM, yM, zM }) => ({ xM: xM - apex.xM, yM: yM - apex.yM, dropM: zM - apex.zM }));
  // What the other legs leave to this one: the plan distance of the other of two, the plan triangle of the other two of three.
  const weights = offsets.map((_, index) => {
    const [first, second] = offsets.filter((__, other) => other !== index);
    if (first === undefined) return 0;
    if (second === undefined) return Math.sqrt(first.xM * first.xM + first.yM * first.yM);
    return Math.abs(first.xM * second.yM - first.yM * second.xM) / 2;
  });
  const two = legs.length === 2;
  return legs.flatMap((leg, index): Reckoning[] => [
    {
      formula: two
        ? 'down = load · b · drop / Σ(b · drop), b = plan distance of the other leg'
        : 'down = load · A · drop / Σ(A · drop), A = plan triangle of apex and the other anchors',
      numbers: {
        loadN,
        ...Object.fromEntries(weights.map((weight, other) => [two ? `b${other + 1}M` : `A${other + 1}M2`, weight])),
        ...Object.fromEntries(offsets.map(({ dropM }, other) => [`drop${other + 1}M`, dropM])),
        [`down${index + 1}N`]: leg.atAnchor.downN,
      },
      unit: 'N',
      source: 'equilibrium of a point',
    },
    {
      formula: 'tension = down · length / drop = down / cos(angle off vertical)',
      numbers: {
        [`down${index + 1}N`]: leg.atAnchor.downN,
        lengthM: leg.lengthM,
        dropM: offsets[index]?.dropM ?? 0,
        angleOffVerticalDeg: radToDeg(leg.angleOffVerticalRad),
        tensionN: leg.tensionN,
      },
      unit: 'N',
      source: 'equilibrium of a point',
    },
  ]);
}
