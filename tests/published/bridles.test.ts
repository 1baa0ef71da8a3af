import { expect, test } from 'vitest';
import { degToRad, radToDeg } from '../../src/domain/foundation/elementary.ts';
import { solveCutLegs } from '../../src/domain/statics/bridle-apex.ts';
import { solveBridle } from '../../src/domain/statics/bridle.ts';
import type { Bridle } from '../../src/domain/statics/bridle.ts';
import published from './bridles.json' with { type: 'json' };

// Forces are compared in the unit of the case: kN or, where it says so, lb. Statics is the same in any unit of force.

type Case = (typeof published.cases)[number];
const anchorsOf = ({ inputs }: Case) =>
  inputs.anchors_xyz_m.map(([xM = NaN, yM = NaN, zM = NaN], index) => ({ id: `${index + 1}`, xM, yM, zM }));
const apexOf = ([xM = NaN, yM = NaN, zM = NaN]: readonly number[]) => ({ xM, yM, zM });

/** Within the tolerance of the case: relative or absolute. */
function expectNear(found: number, wanted: number, { tolerance }: Case, what: string): void {
  const apart = Math.abs(found - wanted);
  const near = apart <= tolerance.absolute || apart <= tolerance.relative * Math.abs(wanted);
  expect(near, `${what}: ${found} instead of ${wanted}`).toBe(true);
}

function expectAsPublished(bridle: Bridle, entry: Case): void {
  const { expected } = entry;
  expect(bridle.legs).toHaveLength(expected.leg_length_m.length);
  for (const [index, leg] of bridle.legs.entries()) {
    expectNear(leg.lengthM, expected.leg_length_m[index] ?? NaN, entry, `length ${leg.id}`);
    expectNear(leg.tensionN, expected.leg_tension_kN[index] ?? NaN, entry, `tension ${leg.id}`);
    expectNear(leg.atAnchor.downN, expected.vertical_at_anchor_kN[index] ?? NaN, entry, `vertical ${leg.id}`);
    const sideways = Math.sqrt(leg.atAnchor.xN * leg.atAnchor.xN + leg.atAnchor.yN * leg.atAnchor.yN);
    expectNear(sideways, expected.horizontal_at_anchor_kN[index] ?? NaN, entry, `horizontal ${leg.id}`);
    expectNear(radToDeg(leg.angleOffVerticalRad), expected.leg_angle_from_vertical_deg[index] ?? NaN, entry, `angle ${leg.id}`);
    expect(leg.slack).toBe(expected.leg_tension_kN[index] === 0);
  }
  const angles = Object.fromEntries(bridle.includedAngles.map(({ between, angleRad }) => [between.join('-'), radToDeg(angleRad)]));
  expect(Object.keys(angles)).toEqual(Object.keys(expected.included_angle_deg));
  const wantedAngles: Record<string, number | undefined> = expected.included_angle_deg;
  for (const [between, wanted] of Object.entries(wantedAngles)) expectNear(angles[between] ?? NaN, wanted ?? NaN, entry, between);
}

/** What the reference solves and a service for what hangs over people refuses: a leg that would push, or an anchor not above the apex. */
const REFUSED: Record<string, { code: string }> = {
  'bridle-11': { code: 'apex-not-below-anchors' },
  'bridle-12': { code: 'apex-not-below-anchors' },
  'bridle-13': { code: 'leg-in-compression' },
  'bridle-21': { code: 'leg-in-compression' },
  'bridle-22': { code: 'apex-not-below-anchors' },
  'bridle-24': { code: 'apex-not-below-anchors' },
};

const forward = published.cases.filter(({ inputs }) => inputs.apex_xyz_m !== undefined);
const inverse = published.cases.filter(({ inputs }) => inputs.apex_xyz_m === undefined);
test('every case is tried', () => expect([forward.length, inverse.length]).toEqual([26, 2]));

test.each(forward)('$id: $quantity', (entry) => {
  const found = solveBridle(entry.inputs.load_down_kN, apexOf(entry.inputs.apex_xyz_m ?? []), anchorsOf(entry));
  const refusal = REFUSED[entry.id];
  if (refusal !== undefined) {
    expect(found).toMatchObject({ ok: false, error: refusal });
    if (refusal.code === 'leg-in-compression') {
      const pushing = entry.expected.leg_tension_kN.flatMap((tension, index) => (tension < 0 ? [`${index + 1}`] : []));
      expect(found).toMatchObject({ error: { legs: pushing } });
    }
    return;
  }
  if (!found.ok) throw new Error(found.error.code);
  expectAsPublished(found.value, entry);
});

test.each(inverse)('$id: $quantity', (entry) => {
  const legs = anchorsOf(entry).map((anchor, index) => ({ ...anchor, legM: entry.inputs.leg_length_m?.[index] ?? NaN }));
  const found = solveCutLegs(entry.inputs.load_down_kN, legs);
  if (!found.ok) throw new Error(found.error.code);
  const wanted = apexOf(entry.expected.apex_xyz_m ?? []);
  expectNear(found.value.apex.xM, wanted.xM, entry, 'x');
  expectNear(found.value.apex.yM, wanted.yM, entry, 'y');
  expectNear(found.value.apex.zM, wanted.zM, entry, 'z');
  expectAsPublished(found.value, entry);
});

test.each(published.sling_angles)('$id: $quantity', ({ inputs, expected, tolerance }) => {
  // Two legs of 1 m at this angle from horizontal; the factor is the tension over half the load. Straight up they are one line,
  // so that row is tried a hair beside it.
  const angleRad = Math.PI / 2 - Math.min(degToRad(inputs.angle_from_horizontal_deg), Math.PI / 2 - 0.0006);
  const [besideM, dropM] = [Math.sin(angleRad), Math.cos(angleRad)];
  const found = solveBridle(2, { xM: 0, yM: 0, zM: 0 }, [
    { id: 'l', xM: -besideM, yM: 0, zM: dropM },
    { id: 'r', xM: besideM, yM: 0, zM: dropM },
  ]);
  if (!found.ok) throw new Error(found.error.code);
  for (const { tensionN } of found.value.legs) {
    expect(Math.abs(tensionN - expected.tension_factor)).toBeLessThanOrEqual(tolerance.relative * expected.tension_factor);
    expect(Math.abs(tensionN - expected.printed_tension_factor)).toBeLessThanOrEqual(tolerance.printed_absolute);
    expect(Math.abs(1 / tensionN - expected.printed_reduction_factor)).toBeLessThanOrEqual(tolerance.printed_absolute);
  }
});
