import { degToRad, tan } from '../foundation/elementary.ts';
import type { Plumb } from './plumb.ts';
import type { HangFinding, HookPlace } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { PickUp } from './plan.ts';

/** Two measures of one drawing: nearer than this, they agree. */
const SAME_PLACE_M = 0.001;

/**
 * Do the pick-ups stand as far apart as the build says? If not, some lines hang off plumb by more than their own places tell. What the
 * plumb tolerance leaves at the shortest line is allowed.
 */
export function placesFinding(
  places: readonly HookPlace[],
  lines: readonly { pickUp: PickUp; plumb: Plumb }[],
  plumbDeg: number,
): HangFinding[] {
  if (places.length < 2) return [];
  let apartM = 0;
  for (const [index, one] of places.entries()) {
    for (const other of places.slice(index + 1)) {
      const [here, there] = [positionOf(lines, one), positionOf(lines, other)];
      if (here === null || there === null) continue;
      apartM = Math.max(apartM, Math.abs(distanceM(one, other) - distanceM(here, there)));
    }
  }
  const about = { ...BLANK_FINDING, kind: 'configuration', subject: 'pickUpPlaces', demand: apartM, unit: 'm' } as const;
  const heights = lines.map(({ plumb }) => plumb.heightM);
  const reckoning = {
    formula: 'largest difference of a distance in plan between build and pick-ups',
    numbers: { plumbDeg },
    unit: 'm',
    source: 'plumb tolerance of the policy',
    result: apartM,
  };
  if (apartM <= SAME_PLACE_M) return [{ ...about, state: 'told', reckonings: [reckoning] }];
  const known = heights.filter((heightM) => heightM !== null);
  if (known.length < heights.length)
    return [{ ...about, state: 'unknown', why: [{ code: 'hook-height-not-stated', of: 'pick-up' }], reckonings: [reckoning] }];
  const shortestM = known.reduce((least, heightM) => Math.min(least, heightM), Infinity);
  const capacity = Math.max(0, shortestM) * tan(degToRad(plumbDeg));
  return [{ ...about, state: 'compare', capacity, reckonings: [reckoning] }];
}

const positionOf = (lines: readonly { pickUp: PickUp }[], { pickUpId }: HookPlace): PickUp['position'] | null =>
  lines.find(({ pickUp }) => pickUp.id === pickUpId)?.pickUp.position ?? null;

function distanceM(a: { xM: number; yM: number }, b: { xM: number; yM: number }): number {
  const [xM, yM] = [b.xM - a.xM, b.yM - a.yM];
  return Math.sqrt(xM * xM + yM * yM);
}
