import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  forceText,
  lengthText,
  massField,
  massText,
  readLength,
  readMass,
  utilisationText,
  type Units,
} from '../../../src/web/units/units.ts';

const KG: Units = { mass: 'kg', length: 'm' };
const LB: Units = { mass: 'lb', length: 'ft' };
const KN: Units = { mass: 'kN', length: 'm' };
const NOISE = 1e-8; // relative: what doubles lose on the way to a unit and back
const mass = fc.double({ min: 1e-6, max: 1e6, noNaN: true }); // lighter than a milligram, doubles run out of digits and rigs of mass
const shownKg = (text: string): number => {
  const read = readMass(text.replaceAll(',', ''), KG);
  if (!read.ok) throw new Error(`${text} does not read back: ${read.fault}`);
  return read.value;
};

// Exact by definition: 1 lb = 0.45359237 kg and 1 ft = 0.3048 m (international agreement of 1959), gravity 9.80665 m/s² (CGPM 1901).
test.each([
  [massText(453.59237, LB, 'load'), '1,000 lb'],
  [massText(1000, KN, 'load'), '9.81 kN'],
  [massText(1000, KN, 'capacity'), '9.80 kN'],
  [massText(508.35, KG, 'load'), '509 kg'],
  [massText(999.99, KG, 'capacity'), '999 kg'],
  [massText(0, KG, 'load'), '0 kg'],
  [forceText(9.80665, KG, 'load'), '1,000 kg'],
  [lengthText(3.7592, LB), '12′ 4″'],
  [lengthText(3.7465, LB), '12′ 3 1/2″'],
  [lengthText(-0.3048, LB), '−1′ 0″'],
  [lengthText(12.345, KG), '12.35 m'],
])('%s', (shown, wanted) => expect(shown).toBe(wanted));

test('in every unit a load never looks smaller than it is, and a capacity never larger', () => {
  fc.assert(
    fc.property(mass, fc.constantFrom(KG, LB, KN), (massKg, units) => {
      expect(shownKg(massText(massKg, units, 'load'))).toBeGreaterThanOrEqual(massKg * (1 - NOISE));
      expect(shownKg(massText(massKg, units, 'capacity'))).toBeLessThanOrEqual(massKg * (1 + NOISE));
    }),
  );
});

test('what is shown lies within one step of what it is', () => {
  fc.assert(
    fc.property(mass, (massKg) => {
      expect(Math.abs(shownKg(massText(massKg, KG, 'load')) - massKg)).toBeLessThan(1 + massKg * NOISE);
      expect(Math.abs(shownKg(massText(massKg, KN, 'capacity')) - massKg)).toBeLessThan(1.02 + massKg * NOISE);
    }),
  );
});

test.each([
  [0.9996, '99.96 %'],
  [0.999, '99.9 %'],
  [0.99999999, 'just under 100 %'],
  [1, '100 %'],
  [1.0004, '101 %'],
  [0.6369325, '64 %'],
  [0, '0 %'],
])('a share of %d reads %s', (share, wanted) => expect(utilisationText(share)).toBe(wanted));

test('what is under its capacity never reads 100 %, and what is over never reads 100 % or less', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 3, noNaN: true }), (share) => {
      const shown = Number(utilisationText(share).replace(' %', ''));
      if (share < 1 - 1e-6) expect(shown).toBeLessThan(100);
      if (share > 1 + 1e-6) expect(shown).toBeGreaterThan(100);
    }),
  );
});

test.each([
  ['450', KG, 450],
  ['450 kg', LB, 450],
  ['1,2 t', KG, 1200],
  ['1000', LB, 453.59237],
  ['992 lb', KG, 992 * 0.45359237],
  ['9.80665 kN', KG, 1000],
])('%s is understood', (text, units, massKg) => {
  expect(readMass(text, units)).toEqual({ ok: true, value: expect.closeTo(massKg, 9) as number });
});
test.each([
  ['', 'empty'],
  ['1,234', 'ambiguous'],
  ['12 stone', 'unit'],
  ['many', 'not-a-number'],
  ['1e5', 'not-a-number'],
])('%j is asked about, never guessed', (text, fault) => expect(readMass(text, KG)).toEqual({ ok: false, fault }));

test.each([
  [`12' 3 1/2"`, 3.7465],
  [`12'`, 3.6576],
  [`6"`, 0.1524],
  ['12.5 m', 12.5],
  ['1250 mm', 1.25],
  ['-2', -2],
])('the length %s is understood', (text, lengthM) => {
  expect(readLength(text, KG)).toEqual({ ok: true, value: expect.closeTo(lengthM, 9) as number });
});

test('a field is filled with what reads back as the same number, however often the units are switched', () => {
  fc.assert(
    fc.property(mass, fc.constantFrom(KG, LB, KN), (massKg, units) => {
      const back = readMass(massField(massKg, units).replace(/e.*/, ''), units);
      if (massKg > 1e-3) expect(back).toEqual({ ok: true, value: expect.closeTo(massKg, 5) as number });
    }),
  );
});
