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
 * look: the caller sums the demand there. A stretch, or a moment of it, whose demand cannot reach what is known is passed over:
 * between its ends a demand rises above their chord by at most (sum of even)·l²/8.
 * @param lengthM  between the stations
 * @param ends     the largest demand at either end at any moment
 * @param known    the largest demand found anywhere so far
 * @returns distances from the left station [m], ascending, strictly inside
 */
export function saggingPeaks(sweep: Sweep, curves: Curves, lengthM: number, ends: number, known: number): number[] {
  const all = [...curves.always, ...curves.loads];
  const bulge = (all.reduce((sum, { even, fixed, adverse }) => sum + even * (fixed + adverse), 0) * lengthM * lengthM) / 8;
  if (bulge === 0 || ends + bulge < known) return [];
  const { times, which } = sweep;
  const present = new Set<number>();
  const found: { intoM: number; demand: number }[] = [];
  let best = known;
  const consider = () => {
    const here = [...curves.always, ...[...present].sort((a, b) => a - b).flatMap((index) => curves.loads[index] ?? [])];
    if (Math.max(demandAt(here, 0), demandAt(here, lengthM)) + bulge < best) return;
    for (const intoM of stationaryPlaces(here, lengthM)) {
      const demand = demandAt(here, intoM);
      if (demand < best - NEAR * Math.abs(best)) continue;
      best = Math.max(best, demand);
      found.push({ intoM, demand });
    }
  };
  if (times[0] !== sweep.timeline.start) consider();
  for (let index = 0; index < times.length;) {
    const at = times[index] ?? 0;
    for (; index < times.length && times[index] === at; index++) {
      const load = which[index] ?? 0;
      if (!present.delete(load)) present.add(load);
    }
    if (at < sweep.timeline.end) consider();
  }
  const highest = found.filter(({ demand }) => demand >= best - NEAR * Math.abs(best));
  return [...new Set(highest.map(({ intoM }) => intoM))].sort((a, b) => a - b);
}

const momentAt = ({ moment, shear, even }: Curve, s: number): number => moment + shear * s - (even * s * s) / 2;

const demandAt = (curves: readonly Curve[], s: number): number =>
  curves.reduce((sum, curve) => {
    const value = momentAt(curve, s);
    return sum + curve.fixed * value + (value > 0 ? curve.adverse * value : 0);
  }, 0);

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
