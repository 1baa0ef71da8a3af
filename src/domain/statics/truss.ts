import type { Result } from '../foundation/result.ts';
import { ok } from '../foundation/result.ts';
import { atan2 } from '../foundation/elementary.ts';
import type { BeamError, BeamInput, BeamPointLoad, BeamSpreadLoad, SolvedBeam } from './beam.ts';
import { solveBeam } from './beam.ts';
import { layOutBeam } from './beam-layout.ts';
import type { HungBeam } from './level-beam.ts';
import { levelledBeam } from './level-beam.ts';
import type { LevelEnvelope, LevelError } from './level-envelope.ts';
import { levelEnvelope } from './level-envelope.ts';

export type TrussHoist = {
  readonly id: string;
  readonly atM: number;
  /** Up positive. */
  readonly levelM?: number;
  /** Chain and anchor together [N/m]; null = both taken as rigid. */
  readonly stiffnessNPerM?: number | null;
};
export type TrussHang = {
  readonly lengthM: number;
  readonly selfNPerM: number;
  readonly eiNm2: number | null;
  readonly gaN: number | null;
  readonly hoists: readonly TrussHoist[];
  readonly pointLoads: readonly BeamPointLoad[];
  readonly spreadLoads: readonly BeamSpreadLoad[];
};

export type LevelTolerances = { readonly restM: number; readonly movingM: number };
/** A case with the truss as it then hangs, for the checks of the truss itself. */
export type TrussCase = { readonly case: 'resting' | 'moving' | 'slack'; readonly lostHoist: string | null; readonly beam: HungBeam };
export type LostHoist =
  | { readonly lost: string; readonly tips: false; readonly reactions: SolvedBeam['reactions'] }
  | { readonly lost: string; readonly tips: true; readonly reactions: null };

export type SolvedTruss = {
  /** As entered, no hoist off its level. */
  readonly resting: SolvedBeam;
  readonly restEnvelope: LevelEnvelope;
  readonly movingEnvelope: LevelEnvelope;
  /** Each hoist lost in turn; empty on two hoists, which cannot lose one. */
  readonly lost: readonly LostHoist[];
  readonly cautions: readonly string[];
};
export type TrussError = BeamError | LevelError;

/**
 * A straight truss on hoists: what each hoist carries at rest, over the level tolerances at rest and while moving, and with each hoist
 * gone slack in turn. The dynamic factor is not in these numbers.
 * @param visit  sees every case with its moments and shears
 * @returns reactions, or `unstable` (it tips as it hangs), `stiffness-needed` (three or more hoists and no EI), and the beam's refusals
 * @source beam on tension-only supports
 */
export function solveTruss(
  hang: TrussHang,
  tolerances: LevelTolerances,
  visit?: (one: TrussCase) => void,
): Result<SolvedTruss, TrussError> {
  const laid = layOutBeam(beamOf(hang, hang.hoists));
  if (!laid.ok) return laid;
  const many = hang.hoists.length > 2;
  const ready = levelledBeam(laid.value);
  if (!ready.ok) return ready;
  const { value: levelled } = ready;
  const restEnvelope = levelEnvelope(levelled, tolerances.restM, (beam) => visit?.({ case: 'resting', lostHoist: null, beam }));
  if (!restEnvelope.ok) return restEnvelope;
  const movingEnvelope = levelEnvelope(levelled, tolerances.movingM, (beam) => visit?.({ case: 'moving', lostHoist: null, beam }));
  if (!movingEnvelope.ok) return movingEnvelope;

  const lost: LostHoist[] = [];
  for (const [index, { id }] of many ? hang.hoists.entries() : []) {
    const hung = levelled.without(index);
    const left = hung !== null ? ok(hung) : solveBeam(beamOf(hang, hang.hoists.toSpliced(index, 1)));
    if (left.ok) {
      lost.push({ lost: id, tips: false, reactions: left.value.reactions });
      visit?.({ case: 'slack', lostHoist: id, beam: left.value });
    } else if (left.error.code === 'unstable') lost.push({ lost: id, tips: true, reactions: null });
    else return left;
  }
  const cautions = [...new Set([...restEnvelope.value.cautions, ...movingEnvelope.value.cautions])];
  if (many && hang.hoists.some(({ stiffnessNPerM }) => stiffnessNPerM === null || stiffnessNPerM === undefined)) {
    cautions.push('Three or more hoists, and some lines or anchors without a stiffness are taken as rigid: the shares depend on it.');
  }
  return ok({ resting: levelled.atRest, restEnvelope: restEnvelope.value, movingEnvelope: movingEnvelope.value, lost, cautions });
}

export function beamOf(hang: TrussHang, hoists: readonly TrussHoist[]): BeamInput {
  return { supports: hoists.map((hoist) => ({ tensionOnly: true, ...hoist })), ...hang };
}

/** Weight hung off the line of the pick-ups: across to one side [m], and below the line [m] (above is negative). */
export type WeightOffLine = { readonly forceN: number; readonly acrossM: number; readonly belowM: number };
export type RollError = { code: 'unstable'; slack: readonly string[] } | { code: 'not-finite'; what: string };

/**
 * How far a truss on one line of pick-ups turns about that line until its centre of gravity hangs below it.
 * @returns roll [rad], towards the side that `acrossM` counts positive; `unstable` when the centre of gravity is not below the line
 * @source equilibrium of moments about the line of the pick-ups
 */
export function trussRoll(weights: readonly WeightOffLine[]): Result<number, RollError> {
  let [acrossNm, belowNm] = [0, 0];
  for (const [index, { forceN, acrossM, belowM }] of weights.entries()) {
    if (!Number.isFinite(forceN * acrossM) || !Number.isFinite(forceN * belowM)) {
      return { ok: false, error: { code: 'not-finite', what: `weight ${index}` } };
    }
    acrossNm += forceN * acrossM;
    belowNm += forceN * belowM;
  }
  if (!Number.isFinite(acrossNm) || !Number.isFinite(belowNm)) return { ok: false, error: { code: 'not-finite', what: 'sum of weights' } };
  if (acrossNm === 0 && weights.every(({ belowM }) => belowM === 0)) return ok(0); // on the line itself, as a pipe in its clamps
  return belowNm > 0 ? ok(atan2(acrossNm, belowNm)) : { ok: false, error: { code: 'unstable', slack: [] } };
}
