import { atan2, radToDeg } from '../foundation/elementary.ts';
import { compensatedSum } from '../foundation/sum.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { TrussBuild, TrussLoads } from './plan.ts';
import type { TrussWeights } from './truss-weights.ts';

/** Nearer than this to the centre line a load counts as on it. Our cautious choice, no source. */
const ON_CENTRE_LINE_M = 0.01;

const loadsOf = ({ pointLoads, spreadLoads }: TrussLoads) => [...pointLoads, ...spreadLoads];

/** Loads beside the centre line, or not said to be on it. */
export function offCentre(loads: TrussLoads): { readonly off: boolean; readonly notStated: boolean } {
  const across = loadsOf(loads).map(({ besideM }) => besideM ?? null);
  return {
    off: across.some((besideM) => besideM !== null && Math.abs(besideM) > ON_CENTRE_LINE_M),
    notStated: across.includes(null),
  };
}

/**
 * A straight truss hangs like a pendulum about the line through its pick-ups: with its centre of gravity above that line it turns over, and
 * beside it, it rolls until it is below. Contingencies go where they hurt: onto what is above the pick-ups, and onto one side.
 * @source moments about the line of the pick-ups; self weight on the axis of the truss
 */
export function balanceFindings(build: TrussBuild, { rows }: TrussWeights): HangFinding[] {
  const about = { ...BLANK_FINDING, kind: 'truss', subject: 'balance' } as const;
  const loads = loadsOf(build);
  const why: Missing[] = [];
  const pickUpsAboveM = build.pickUpsAboveM ?? null;
  if (pickUpsAboveM === null) why.push({ code: 'pick-up-height-not-stated', of: 'truss' });
  if (loads.some(({ aboveM }) => (aboveM ?? null) === null)) why.push({ code: 'load-height-not-stated', of: 'truss' });
  if (offCentre(build).notStated) why.push({ code: 'load-beside-not-stated', of: 'truss' });
  if (rows.some(({ massKg }) => massKg === null)) why.push({ code: 'mass-missing', of: 'truss' });
  if (pickUpsAboveM === null || why.length > 0) return [{ ...about, state: 'unknown', why }];
  const masses = rows.map(({ massKg, reckonedKg }, index) => {
    const load = index === 0 ? null : loads[index - 1]; // the first row is the truss itself
    return { leastKg: massKg ?? 0, mostKg: reckonedKg ?? 0, belowM: pickUpsAboveM - (load?.aboveM ?? 0), besideM: load?.besideM ?? 0 };
  });
  const rightingKgM = compensatedSum(masses.map(({ leastKg, mostKg, belowM }) => (belowM < 0 ? mostKg : leastKg) * belowM));
  const rollingKgM = (side: 1 | -1) =>
    compensatedSum(masses.map(({ leastKg, mostKg, besideM }) => (besideM * side > 0 ? mostKg : leastKg) * besideM * side));
  const sidewaysKgM = Math.max(0, rollingKgM(1), rollingKgM(-1));
  const reckoning = (formula: string, unit: string, result: number) => ({
    formula,
    numbers: { rightingKgM, sidewaysKgM },
    unit,
    source: 'moments about the line of the pick-ups',
    result,
  });
  if (rightingKgM <= 0) {
    const reckonings = [reckoning('Σ massKg · belowPickUpsM > 0', 'kg·m', rightingKgM)];
    return [{ ...about, state: 'forbidden', why: [{ code: 'centre-of-gravity-above-pick-ups', of: 'truss' }], reckonings }];
  }
  const rollDeg = radToDeg(atan2(sidewaysKgM, rightingKgM));
  return [
    { ...about, state: 'told', reckonings: [reckoning('roll = atan(Σ massKg · besideM / Σ massKg · belowPickUpsM)', 'deg', rollDeg)] },
  ];
}

/** A truss states no allowable torsion: loads beside its centre line need a document that covers them. */
export function offCentreFindings(loads: TrussLoads, torsionBasis: string | null | undefined, subject: string): HangFinding[] {
  const { off, notStated } = offCentre(loads);
  const about = { ...BLANK_FINDING, kind: 'truss', subject } as const;
  if ((torsionBasis ?? null) !== null) return off || notStated ? [{ ...about, state: 'told' }] : [];
  if (off) return [{ ...about, state: 'unknown', why: [{ code: 'torsion-not-covered', of: 'truss' }] }];
  return notStated ? [{ ...about, state: 'unknown', why: [{ code: 'load-beside-not-stated', of: 'truss' }] }] : [];
}
