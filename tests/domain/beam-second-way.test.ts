import { expect, test } from 'vitest';
import type { BeamInput } from '../../src/domain/statics/beam.ts';
import { solveBeam } from '../../src/domain/statics/beam.ts';
import { denseBeam } from './beam-dense-solver.ts';
import { seeded } from './seeded.ts';

/** Invented beams: 2 to 6 supports, rigid or elastic, level or not, one-way or two-way, with and without shear. */
function randomBeam(random: () => number): BeamInput {
  const between = (low: number, high: number) => low + (high - low) * random();
  const lengthM = between(2, 40);
  const count = 2 + Math.floor(between(0, 5));
  // On a fine grid, because the dense solver loses digits with the cube of its shortest element.
  const place = () => (lengthM * Math.floor(between(0, 201))) / 200;
  const places: number[] = [];
  while (places.length < count) {
    const atM = place();
    if (places.every((other) => Math.abs(other - atM) > 0.03 * lengthM)) places.push(atM);
  }
  const [hoists, elastic, uneven] = [random() < 0.7, random() < 0.4, random() < 0.5];
  return {
    lengthM,
    selfNPerM: between(0, 300),
    eiNm2: 10 ** between(5, 7.5),
    gaN: random() < 0.5 ? 10 ** between(6, 7.5) : null,
    supports: places.map((atM, index) => ({
      id: `s${index}`,
      atM,
      levelM: uneven ? between(-0.02, 0.02) : 0,
      stiffnessNPerM: elastic && random() < 0.7 ? 10 ** between(5, 7) : null,
      tensionOnly: hoists && random() < 0.9,
    })),
    pointLoads: Array.from({ length: Math.floor(between(0, 8)) }, () => ({ atM: place(), forceN: between(0, 8000) })),
    spreadLoads: Array.from({ length: Math.floor(between(0, 4)) }, () => {
      const [a, b] = [place(), place()];
      return { fromM: Math.min(a, b), toM: Math.max(a, b), forceNPerM: between(0, 900) };
    }),
  };
}

test('1,000 seeded beams agree with a dense displacement solver that tries every set of taut supports', () => {
  const random = seeded(20260731);
  let largest = { reaction: 0, moment: 0, deflection: 0 };
  let [unstable, withSlack, withSeveralSlack] = [0, 0, 0];
  for (let index = 0; index < 1000; index++) {
    const input = randomBeam(random);
    const slow = denseBeam(input);
    const fast = solveBeam(input);
    if (slow === 'unstable') {
      unstable++;
      expect(fast.ok ? null : fast.error.code, `beam ${index}`).toBe('unstable');
      continue;
    }
    if (!fast.ok) throw new Error(`beam ${index}: ${JSON.stringify(fast.error)}`);
    const { layout, line, reactions } = fast.value;
    const grossN = layout.grossN;
    const isSlack = slow.slack.map(
      (slack, k) => slack || (input.supports[k]?.tensionOnly === true && (slow.reactionsN[k] ?? NaN) < 1e-9 * grossN),
    );
    const slack = slow.slack.filter(Boolean).length;
    if (slack > 0) withSlack++;
    if (slack > 1) withSeveralSlack++;
    expect(
      reactions.map((r) => r.slack),
      `beam ${index}`,
    ).toEqual(isSlack);
    const sizeN = slow.reactionsN.reduce((sum, r) => sum + Math.abs(r), 0);
    const sizeNm = slow.momentLeftNm.reduce((most, m) => Math.max(most, Math.abs(m)), 0);
    const sizeM = slow.downM.reduce((most, w) => Math.max(most, Math.abs(w)), 0);
    const worst = (found: readonly number[], wanted: readonly number[], size: number) => {
      expect(found).toHaveLength(wanted.length);
      return found.reduce((most, value, k) => Math.max(most, Math.abs(value - (wanted[k] ?? NaN)) / size), 0);
    };
    const difference = {
      reaction: worst(
        reactions.map((r) => r.forceN),
        slow.reactionsN,
        sizeN,
      ),
      moment: worst(line.momentLeftNm, slow.momentLeftNm, sizeNm),
      deflection: worst(line.downM, slow.downM, sizeM),
    };
    expect(layout.nodesM).toEqual(slow.nodesM);
    for (const value of Object.values(difference)) expect(value, `beam ${index} ${JSON.stringify(difference)}`).toBeLessThan(1e-7);
    largest = {
      reaction: Math.max(largest.reaction, difference.reaction),
      moment: Math.max(largest.moment, difference.moment),
      deflection: Math.max(largest.deflection, difference.deflection),
    };
  }
  console.info(
    `1,000 beams, ${withSlack} with slack supports (${withSeveralSlack} with several), ${unstable} tipping. Largest difference, relative:`,
    largest,
  );
  // So that the comparison is not of easy beams only.
  expect(withSeveralSlack).toBeGreaterThan(50);
  expect(unstable).toBeGreaterThan(20);
}, 120_000);
