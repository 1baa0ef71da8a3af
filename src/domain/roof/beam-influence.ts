import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import { kgToKn } from '../foundation/units.ts';
import type { BeamError } from '../statics/beam.ts';
import { solveBeam } from '../statics/beam.ts';

/** What one load puts on a member: masses at stations, and masses spread evenly over stretches. */
export type BeamPattern = {
  readonly points: readonly { readonly atM: number; readonly massKg: number }[];
  readonly spreads: readonly { readonly fromM: number; readonly toM: number; readonly kgPerM: number }[];
};

/** The building's beam: level rigid supports that also push down, even stiffness (which then changes no force). */
export type BuildingBeam = { readonly lengthM: number; readonly supports: readonly { readonly id: string; readonly atM: number }[] };

/**
 * Forces that one load alone makes in a beam, at places common to all loads. Between two places the load is even, so that the moment
 * there is `moment + shearRight · s - even · s² / 2`. Sagging positive; shear = sum of the upward forces left of the cut.
 */
export type BeamForces = {
  readonly momentKnm: Float64Array;
  readonly shearLeftKn: Float64Array;
  readonly shearRightKn: Float64Array;
  /** From each place to the next [kN/m]. */
  readonly evenKnPerM: Float64Array;
};

/** Smaller shares of a load than this are rounding, and must not count as relief or as demand. */
const NOTHING = 1e-12;

/** Ends, supports, loads and borders of ranges, each place once, from left to right [m]. */
export function placesOf(beam: BuildingBeam, patterns: readonly BeamPattern[], bordersM: readonly number[]): number[] {
  const places = [0, beam.lengthM, ...bordersM, ...beam.supports.map(({ atM }) => atM)];
  for (const { points, spreads } of patterns) {
    for (const { atM } of points) places.push(atM);
    for (const { fromM, toM } of spreads) places.push(fromM, toM);
  }
  return [...new Set(places)].sort((a, b) => a - b);
}

/**
 * Forces of many loads on one beam, each alone, so that they can be added in any combination. Each station that is loaded is solved
 * once for a unit load; patterns are sums of those.
 * @returns forces in the order of the patterns, or why the beam cannot be solved
 */
export function forcesOfEach(
  beam: BuildingBeam,
  placesM: readonly number[],
  patterns: readonly BeamPattern[],
): Result<BeamForces[], BeamError> {
  const solve = unitSolver(beam, placesM);
  const all: BeamForces[] = [];
  for (const { points, spreads } of patterns) {
    const sum = noForces(placesM.length);
    for (const { atM, massKg } of points) {
      const unit = solve(atM, atM);
      if (!unit.ok) return unit;
      addTimes(sum, unit.value, kgToKn(massKg));
    }
    for (const { fromM, toM, kgPerM } of spreads) {
      const unit = solve(fromM, toM);
      if (!unit.ok) return unit;
      addTimes(sum, unit.value, kgToKn(kgPerM));
    }
    all.push(sum);
  }
  // A beam that cannot stand is refused even when nothing is on it.
  const stands = solve(0, 0);
  return stands.ok ? ok(all) : stands;
}

/** Solves for a force of 1 at a station, or of 1 per metre over a stretch; each only once. */
function unitSolver(beam: BuildingBeam, placesM: readonly number[]): (fromM: number, toM: number) => Result<BeamForces, BeamError> {
  const solved = new Map<string, BeamForces>();
  const supports = beam.supports.map(({ id, atM }) => ({ id, atM }));
  const unloaded = placesM.map((atM) => ({ atM, forceN: 0 })); // cuts the beam at every place
  return (fromM, toM) => {
    const key = `${fromM} ${toM}`;
    const known = solved.get(key);
    if (known !== undefined) return ok(known);
    const isPoint = fromM === toM;
    const found = solveBeam({
      lengthM: beam.lengthM,
      supports,
      pointLoads: isPoint ? [...unloaded, { atM: fromM, forceN: 1 }] : unloaded,
      spreadLoads: isPoint ? [] : [{ fromM, toM, forceNPerM: 1 }],
    });
    if (!found.ok) return found;
    const { layout, line } = found.value;
    if (layout.nodesM.length !== placesM.length) throw new RangeError('the beam was cut at other places than asked for');
    const size = isPoint ? 1 : toM - fromM;
    const settled = (values: readonly number[], least: number) =>
      Float64Array.from(values, (value) => (Math.abs(value) <= least ? 0 : value));
    const forces: BeamForces = {
      momentKnm: settled(line.momentRightNm, NOTHING * size * beam.lengthM),
      shearLeftKn: settled(line.shearLeftN, NOTHING * size),
      shearRightKn: settled(line.shearRightN, NOTHING * size),
      evenKnPerM: Float64Array.from(layout.loads.evenNPerM),
    };
    solved.set(key, forces);
    return ok(forces);
  };
}

const noForces = (places: number): BeamForces => ({
  momentKnm: new Float64Array(places),
  shearLeftKn: new Float64Array(places),
  shearRightKn: new Float64Array(places),
  evenKnPerM: new Float64Array(places),
});

function addTimes(sum: BeamForces, unit: BeamForces, times: number): void {
  for (const name of ['momentKnm', 'shearLeftKn', 'shearRightKn', 'evenKnPerM'] as const) {
    const [into, from] = [sum[name], unit[name]];
    for (let place = 0; place < into.length; place++) into[place] = (into[place] ?? 0) + times * (from[place] ?? 0);
  }
}
