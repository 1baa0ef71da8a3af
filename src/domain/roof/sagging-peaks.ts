import type { Sweep } from './worst-moment.ts';

/**
 * The sagging moment of one load between two stations: `moment + shear·s - even·s²/2` [kN, m], concave because loads pull down.
 * It counts `fixed` times wherever it is, and `adverse` times more where it is positive.
 */
export type Curve = {
  readonly moment: number;
  readonly shear: number;
  readonly even: number;
  readonly fixed: number;
  readonly adverse: number;
};

export type Curves = { readonly always: readonly Curve[]; readonly loads: readonly Curve[] };

const NEAR = 1e-11; // relative: peaks this near the highest are kept, to be summed exactly

/**
 * Where between two stations the demand can peak above all that is known, over all moments of the sweep. What is found is only where to
 * look: the caller sums the demand there. A moment whose demand cannot reach what is known is passed over: between its ends a demand
 * rises above their chord by at most even·s·(l - s)/2, with all spread loads counted in full.
 * @param lengthM  between the stations
 * @param known    the largest demand found anywhere so far
 * @returns distances from the left station [m], ascending, strictly inside
 */
export function saggingPeaks(sweep: Sweep, curves: Curves, lengthM: number, known: number): number[] {
  const all = [...curves.always, ...curves.loads];
  if (all.every(({ even }) => even === 0)) return []; // straight lines do not peak between stations
  const ends = (curve: Curve): Bound => ({
    left: demandOf(curve, 0),
    right: demandOf(curve, lengthM),
    even: curve.even * (curve.fixed + curve.adverse),
  });
  const bounds = curves.loads.map(ends);
  const bound = { left: 0, right: 0, even: 0 };
  const add = ({ left, right, even }: Bound, sign: number) => {
    bound.left += sign * left;
    bound.right += sign * right;
    bound.even += sign * even;
  };
  for (const curve of curves.always) add(ends(curve), 1);
  const size = [...bounds, bound].reduce((sum, { left, right }) => sum + Math.abs(left) + Math.abs(right), 0);
  // A plain running sum of n changes is wrong by at most n units in the last place of the sum of their sizes.
  const slack = size * sweep.times.length * 2.3e-16;
  const there = new Uint8Array(curves.loads.length);
  const found: { intoM: number; demand: number }[] = [];
  let best = known;
  const consider = () => {
    if (highestBetween(bound, lengthM) < best - slack) return;
    const here = [...curves.always, ...curves.loads.filter((_, index) => there[index] === 1)];
    for (const intoM of stationaryPlaces(here, lengthM)) {
      const demand = here.reduce((sum, curve) => sum + demandOf(curve, intoM), 0);
      if (demand < best - NEAR * Math.abs(best)) continue;
      best = Math.max(best, demand);
      found.push({ intoM, demand });
    }
  };
  const { times, which, comes, timeline } = sweep;
  if (times[0] !== timeline.start) consider();
  for (let index = 0; index < times.length;) {
    const at = times[index] ?? 0;
    for (; index < times.length && times[index] === at; index++) {
      const load = which[index] ?? 0;
      there[load] = comes[index] ?? 0;
      const own = bounds[load];
      if (own !== undefined) add(own, there[load] === 1 ? 1 : -1);
    }
    if (at < timeline.end) consider();
  }
  const highest = found.filter(({ demand }) => demand >= best - NEAR * Math.abs(best));
  return [...new Set(highest.map(({ intoM }) => intoM))].sort((a, b) => a - b);
}

/** Demands at both ends, and the most that the line between can be bent by [kN/m]. */
type Bound = { readonly left: number; readonly right: number; readonly even: number };

/** The top of chord plus even·s·(l - s)/2. Where the chord is steep that is an end, and no inner peak exceeds it. */
function highestBetween({ left, right, even }: Bound, lengthM: number): number {
  const bend = even * lengthM * lengthM;
  const rise = right - left;
  if (Math.abs(rise) >= bend / 2) return Math.max(left, right);
  return (left + right) / 2 + bend / 8 + (rise * rise) / (2 * bend);
}

function demandOf({ moment, shear, even, fixed, adverse }: Curve, s: number): number {
  const value = moment + shear * s - (even * s * s) / 2;
  return fixed * value + (value > 0 ? adverse * value : 0);
}

/**
 * Between two crossings of zero of any load the same loads sag, so the demand is one parabola there; its top is where the summed shear
 * is used up by the summed even load.
 */
function stationaryPlaces(curves: readonly Curve[], lengthM: number): number[] {
  const turns: { s: number; curve: Curve; up: boolean }[] = [];
  let [shear, even] = [0, 0];
  const count = (curve: Curve, times: number) => {
    shear += curve.shear * times;
    even += curve.even * times;
  };
  for (const curve of curves) {
    count(curve, curve.fixed);
    const crossings = crossingsOf(curve, lengthM);
    // Just right of the left end: by the value there, or where that is zero by the slope.
    let sags = curve.moment > 0 || (curve.moment === 0 && curve.shear > 0);
    if (sags) count(curve, curve.adverse);
    for (const s of crossings) {
      sags = !sags;
      turns.push({ s, curve, up: sags });
    }
  }
  turns.sort((a, b) => a.s - b.s);
  const places: number[] = [];
  let from = 0;
  const top = (to: number) => {
    const s = even > 0 ? shear / even : -1;
    if (s > from && s < to) places.push(s);
  };
  for (const { s, curve, up } of turns) {
    top(s);
    count(curve, up ? curve.adverse : -curve.adverse);
    from = s;
  }
  top(lengthM);
  return places;
}

/** Where the moment passes through zero strictly inside, from left to right. */
function crossingsOf({ moment, shear, even }: Curve, lengthM: number): number[] {
  const inside = (s: number) => s > 0 && s < lengthM;
  if (even === 0) return shear === 0 ? [] : [-moment / shear].filter(inside);
  const square = shear * shear + 2 * even * moment;
  if (square <= 0) return []; // touches zero at most: no change of sign
  // The root without cancellation first, the other from the product of both.
  const sum = shear + (shear >= 0 ? Math.sqrt(square) : -Math.sqrt(square));
  const roots = [sum / even, sum === 0 ? 0 : (-2 * moment) / sum];
  return roots.filter(inside).sort((a, b) => a - b);
}
