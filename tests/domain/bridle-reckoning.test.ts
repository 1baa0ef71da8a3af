import { expect, test } from 'vitest';
import { bridleReckonings } from '../../src/domain/statics/bridle-reckoning.ts';
import { solveBridle } from '../../src/domain/statics/bridle.ts';

const anchors = [
  { id: 'a', xM: 0, yM: 0, zM: 10 },
  { id: 'b', xM: 6, yM: 1, zM: 11 },
  { id: 'c', xM: 1.5, yM: 5, zM: 9 },
];

test.each([
  { name: 'three legs', apex: { xM: 2.5, yM: 2, zM: 6.5 }, used: anchors, letter: 'A', unit: 'M2' },
  { name: 'two legs', apex: { xM: 3, yM: 0.5, zM: 7 }, used: anchors.slice(0, 2), letter: 'b', unit: 'M' },
])('the formula, worked with the numbers told, gives the number told: $name', ({ apex, used, letter, unit }) => {
  const found = solveBridle(15_000, apex, used);
  if (!found.ok) throw new Error(found.error.code);
  const reckonings = bridleReckonings(15_000, apex, used, found.value);
  expect(reckonings).toHaveLength(2 * used.length);
  for (const [index, leg] of found.value.legs.entries()) {
    const [share, tension] = reckonings.slice(2 * index).map(({ numbers }) => numbers);
    const product = (k: number): number => (share?.[`${letter}${k + 1}${unit}`] ?? NaN) * (share?.[`drop${k + 1}M`] ?? NaN);
    const downN = ((share?.loadN ?? NaN) * product(index)) / used.reduce((sum, _, k) => sum + product(k), 0);
    expect(downN).toBeCloseTo(leg.atAnchor.downN, 6);
    expect(share?.[`down${index + 1}N`]).toBe(leg.atAnchor.downN);
    expect((downN * (tension?.lengthM ?? NaN)) / (tension?.dropM ?? NaN)).toBeCloseTo(leg.tensionN, 6);
    expect(downN / Math.cos(((tension?.angleOffVerticalDeg ?? NaN) * Math.PI) / 180)).toBeCloseTo(leg.tensionN, 6);
  }
});
