import type { ForceLine } from './beam-extremes.ts';
import { forceExtremes } from './beam-extremes.ts';

/** What a truss may bear, sizes > 0; null = not stated. All of them for the total load, self weight counted. */
export type TrussAllowables = {
  readonly saggingNm: number | null;
  readonly hoggingNm: number | null;
  readonly shearN: number | null;
  /**
   * How moment and shear go together: M/Ma + V/Va <= 1, (M/Ma)² + (V/Va)² <= 1, or each full beside the other. Null = not stated.
   */
  readonly interaction: 'linear' | 'squares' | 'independent' | null;
};

export type TrussCheckKind = 'sagging' | 'hogging' | 'shear' | 'interaction';
export type TrussCheck = {
  readonly kind: TrussCheckKind;
  readonly case: string;
  readonly atM: number | null;
  /** Nm, N; for the interaction the sum itself, against 1. */
  readonly demand: number;
  readonly allowable: number | null;
  /** Null = unknown. */
  readonly utilisation: number | null;
};
export type AllowableError = { code: 'allowable-not-positive'; what: string; value: number };

/** The allowables that cannot be used, for the caller to refuse before it checks. */
export function allowableFault(allowables: TrussAllowables): AllowableError | null {
  for (const what of ['saggingNm', 'hoggingNm', 'shearN'] as const) {
    const value = allowables[what];
    if (value !== null && !(value > 0 && Number.isFinite(1 / value) && value !== Infinity))
      return { code: 'allowable-not-positive', what, value };
  }
  return null;
}

/** Demands that differ by less than this share are one: the case that came first is told, with the larger number. */
const SAME = 1e-9;

/** Keeps the worst of each kind over the cases that it is shown, so that an envelope of many cases is checked as it is solved. */
export class TrussChecker {
  private readonly worst = new Map<TrussCheckKind, TrussCheck>();
  private readonly allowables: TrussAllowables;
  constructor(allowables: TrussAllowables) {
    this.allowables = allowables;
  }

  /** @param factor  multiplies all forces of the case, as the dynamic factor does */
  see(name: string, beam: ForceLine, factor = 1): void {
    const { saggingNm, hoggingNm, shearN, interaction } = this.allowables;
    const forces = forceExtremes(beam);
    this.keep(name, 'sagging', factor * forces.maxMomentNm.value, forces.maxMomentNm.atM);
    this.keep(name, 'hogging', -factor * forces.minMomentNm.value, forces.minMomentNm.atM);
    this.keep(name, 'shear', factor * forces.maxShearN.value, forces.maxShearN.atM);
    if (interaction === 'independent') return;
    const known = saggingNm !== null && hoggingNm !== null && shearN !== null && interaction !== null;
    if (!known) return this.keep(name, 'interaction', 0, null);
    const sum = worstInteraction(beam, { saggingNm, hoggingNm, shearN, interaction });
    this.keep(name, 'interaction', interaction === 'linear' ? factor * sum.value : factor * factor * sum.value, sum.atM);
  }

  /** A demand that no case goes beyond, wherever. */
  seeBound(name: string, kind: TrussCheckKind, demand: number): void {
    this.keep(name, kind, demand, null);
  }

  private keep(name: string, kind: TrussCheckKind, demand: number, atM: number | null): void {
    const allowable = this.allowableOf(kind);
    const utilisation = allowable === null ? null : demand / allowable;
    const before = this.worst.get(kind);
    if (before === undefined || demand > before.demand * (1 + SAME))
      this.worst.set(kind, { kind, case: name, atM, demand, allowable, utilisation });
    else if (demand > before.demand) this.worst.set(kind, { ...before, demand, utilisation });
  }

  private allowableOf(kind: TrussCheckKind): number | null {
    const { saggingNm, hoggingNm, shearN, interaction } = this.allowables;
    if (kind === 'interaction') return saggingNm !== null && hoggingNm !== null && shearN !== null && interaction !== null ? 1 : null;
    return { sagging: saggingNm, hogging: hoggingNm, shear: shearN }[kind];
  }

  checks(): TrussCheck[] {
    return [...this.worst.values()];
  }
}

type KnownAllowables = { saggingNm: number; hoggingNm: number; shearN: number; interaction: 'linear' | 'squares' };

/**
 * Largest interaction of moment and shear anywhere along the truss, both sides of every hoist and load included.
 * Within a segment of even load q the linear sum has its top where V = 0 or ±q·Ma/Va, that of squares where V = 0: where its derivative
 * is 0 otherwise, M = q·(Ma/Va)², it is least.
 * @source derivative of the sum along the segment, with dM/dx = V and dV/dx = -q
 */
function worstInteraction({ layout, line }: ForceLine, allowables: KnownAllowables): { value: number; atM: number | null } {
  const { nodesM, loads } = layout;
  let [value, place] = [0, null as number | null];
  const meet = (momentNm: number, shearN: number, atM: number) => {
    const m = momentNm >= 0 ? momentNm / allowables.saggingNm : -momentNm / allowables.hoggingNm;
    const v = Math.abs(shearN) / allowables.shearN;
    const sum = allowables.interaction === 'linear' ? m + v : m * m + v * v;
    if (sum > value) [value, place] = [sum, atM];
  };
  for (let node = 0; node < nodesM.length - 1; node++) {
    const leftM = nodesM[node] ?? 0;
    const lengthM = (nodesM[node + 1] ?? 0) - leftM;
    const q = loads.evenNPerM[node] ?? 0;
    const v = line.shearRightN[node] ?? 0;
    const m = line.momentRightNm[node] ?? 0;
    const at = (x: number) => {
      if (x >= 0 && x <= lengthM) meet(m + x * (v - (q * x) / 2), v - q * x, leftM + x);
    };
    at(0);
    if (q !== 0) {
      at(v / q);
      const perShear = (q > 0 ? allowables.saggingNm : allowables.hoggingNm) / allowables.shearN;
      if (allowables.interaction === 'linear') {
        at(v / q - perShear);
        at(v / q + perShear);
      }
    }
    meet(line.momentLeftNm[node + 1] ?? 0, line.shearLeftN[node + 1] ?? 0, leftM + lengthM);
  }
  return { value, atM: place };
}
