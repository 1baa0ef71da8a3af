import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { BeamInput, SolvedBeam } from '../../src/domain/statics/beam.ts';
import { solveBeam } from '../../src/domain/statics/beam.ts';
import type { Extreme } from '../../src/domain/statics/beam-extremes.ts';
import { deflectionExtremes, forceExtremes } from '../../src/domain/statics/beam-extremes.ts';

type Valued = { value: number; x_m: number | null };
type Expected = {
  reactions_kN: number[];
  fixing_moments_kNm?: number[];
  max_sagging_moment_kNm: Valued;
  max_hogging_moment_kNm: Valued;
  max_shear_kN: number;
  max_deflection_down_mm: Valued;
  max_deflection_up_mm: Valued;
  table_check?: Record<string, { kN: number; within_kN: number }>;
  uplift_at_supports?: number[];
};
type Case = {
  id: string;
  quantity: string;
  inputs: {
    length_m: number;
    EI_kNm2: number;
    supports: { x_m: number; settlement_down_mm: number; fixed?: boolean }[];
    loads: ({ type: 'point'; x_m: number; P_kN: number } | { type: 'udl'; from_m: number; to_m: number; w_kN_per_m: number })[];
  };
  expected: Expected & { if_supports_can_only_pull_up?: { stable: false } | (Expected & { slack_supports: number[]; stable?: undefined }) };
  tolerance: { relative: number; absolute: number };
};
// Where each value comes from stands beside it in the file (`source`, `obtained`).
const { cases } = JSON.parse(readFileSync(new URL('./beams.json', import.meta.url), 'utf8')) as { cases: Case[] };

function beamOf({ inputs }: Case, tensionOnly: boolean): BeamInput {
  return {
    lengthM: inputs.length_m,
    eiNm2: inputs.EI_kNm2 * 1000,
    supports: inputs.supports.map((s, index) => ({
      id: String(index + 1),
      atM: s.x_m,
      levelM: -s.settlement_down_mm / 1000,
      clamped: s.fixed ?? false,
      tensionOnly,
    })),
    pointLoads: inputs.loads.flatMap((l) => (l.type === 'point' ? [{ atM: l.x_m, forceN: l.P_kN * 1000 }] : [])),
    spreadLoads: inputs.loads.flatMap((l) => (l.type === 'udl' ? [{ fromM: l.from_m, toM: l.to_m, forceNPerM: l.w_kN_per_m * 1000 }] : [])),
  };
}

function expectCase(beam: SolvedBeam, expected: Expected, tolerance: Case['tolerance']) {
  const near = (found: number, wanted: number, what: string) => {
    const slack = Math.max(tolerance.absolute, tolerance.relative * Math.abs(wanted));
    expect(Math.abs(found - wanted), `${what}: ${found} for ${wanted}`).toBeLessThanOrEqual(slack);
  };
  const extreme = (found: Extreme | undefined, wanted: Valued, what: string) => {
    near((found?.value ?? NaN) / 1000, wanted.value, what);
    if (wanted.x_m === null) expect(found?.atM, `${what} is reached nowhere`).toBeNull();
    // A flat top is found in value to the square of what it is found in place.
    else near(found?.atM ?? NaN, wanted.x_m, `place of ${what}`);
  };
  for (const [index, wanted] of expected.reactions_kN.entries())
    near((beam.reactions[index]?.forceN ?? NaN) / 1000, wanted, `reaction ${index + 1}`);
  const clamps = beam.reactions.filter((_, index) => beam.layout.input.supports[index]?.clamped);
  for (const [index, wanted] of (expected.fixing_moments_kNm ?? []).entries())
    near((clamps[index]?.momentStepNm ?? NaN) / 1000, wanted, `clamp ${index}`);
  const forces = forceExtremes(beam);
  extreme(forces.maxMomentNm, expected.max_sagging_moment_kNm, 'sagging');
  extreme(forces.minMomentNm, expected.max_hogging_moment_kNm, 'hogging');
  near(forces.maxShearN.value / 1000, expected.max_shear_kN, 'shear');
  const shape = deflectionExtremes(beam);
  const inMm = (found: Extreme | undefined) => (found === undefined ? undefined : { ...found, value: found.value * 1e6 });
  extreme(inMm(shape?.downM), expected.max_deflection_down_mm, 'deflection down');
  extreme(inMm(shape?.upM), expected.max_deflection_up_mm, 'deflection up');
  for (const [name, { kN, within_kN }] of Object.entries(expected.table_check ?? {})) {
    // The file prints nine digits, so the answer is compared as it would be printed there.
    const found = Number(((beam.reactions[Number(name.slice(1)) - 1]?.forceN ?? NaN) / 1000).toPrecision(9));
    expect(Math.abs(found - kN), `${name}: ${found} for the table's ${kN}`).toBeLessThanOrEqual(within_kN);
  }
}

function expectSolved(input: BeamInput): SolvedBeam {
  const found = solveBeam(input);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
}

test('the file holds all 52 beams', () => expect(cases).toHaveLength(52));

describe('supports that hold both ways', () => {
  test.each(cases)('$id $quantity', (one) => {
    const beam = expectSolved(beamOf(one, false));
    expectCase(beam, one.expected, one.tolerance);
    const uplift = beam.reactions.filter(({ forceN }) => forceN < -1e-6).map(({ id }) => Number(id));
    expect(uplift).toEqual(one.expected.uplift_at_supports ?? []);
  });
});

describe('the same beams on hoists, which can only pull', () => {
  test.each(cases.filter(({ inputs }) => !inputs.supports.some(({ fixed }) => fixed)))('$id $quantity', (one) => {
    const hung = one.expected.if_supports_can_only_pull_up;
    if (hung?.stable === false) {
      const found = solveBeam(beamOf(one, true));
      expect(found.ok ? null : found.error).toEqual({ code: 'unstable', slack: (one.expected.uplift_at_supports ?? []).map(String) });
      return;
    }
    const beam = expectSolved(beamOf(one, true));
    expectCase(beam, hung ?? one.expected, one.tolerance);
    const slack = beam.reactions.filter((reaction) => reaction.slack);
    if (hung !== undefined) expect(slack.map(({ id }) => Number(id))).toEqual(hung.slack_supports);
    // Where the file names none, a support that carries exactly nothing may be slack (beam-36), and no other.
    else for (const { id } of slack) expect(one.expected.reactions_kN[Number(id) - 1]).toBe(0);
  });
});
