import { expect, test } from 'vitest';
import { toSi } from '../../src/files/units-of-measure.ts';
import { planOf } from './expect-result.ts';

// Headings and words are common practice without a source; numbers are invented, factors of units are of the sources named in units-of-measure.ts.
test.each([
  [
    'hoists',
    'Bezeichnung;Tragfähigkeit kg;Kettengewicht kg/m;Hubgeschwindigkeit m/min\nA;1000;2;4',
    { wllKg: 1000, chainKgPerM: 2, speedMPerMin: 4 },
  ],
  ['parts', 'Nom;Piece;CMU t;Charge de rupture kN\nA;manille;2;120', { part: 'shackle', wllKg: 2000, breakingKn: 120 }],
  ['parts', 'Naam;Soort;Lengte cm;Werklast kN\nA;rondstrop;150;9,80665', { part: 'textile', lengthM: 1.5, wllKg: 1000 }],
  ['cabinets', 'Nombre;Peso kg;Alto mm;Fondo mm\nA;40;300;500', { massKg: 40, heightM: 0.3, depthM: 0.5 }],
  ['trusses', 'Name;kg/m;Sagging Nm;EI kNm²\nA;8;20000;4000', { selfKgPerM: 8, saggingKnm: 20, eiKnm2: 4000 }],
  ['cables', 'Item;Poids par metre kg/m\nA;0,5', { kgPerM: 0.5 }],
] as const)('a table of %s in the words of its country is read whole: %s', async (kind, table, facts) => {
  const plan = await planOf(kind, table);
  expect(plan.questions).toEqual([]);
  expect(plan.rows).toMatchObject([{ outcome: 'add', label: 'A', draft: facts }]);
});

test('a heading that may mean another thing is asked about, not taken', async () => {
  const plan = await planOf('hoists', 'Name;Load kg;Weight kg\nA;1000;60\n');
  expect(plan.questions.map(({ id, code }) => `${id} ${code}`)).toEqual([
    'wllKg:column is-this-the-column',
    'bodyKg:column is-this-the-column',
  ]);
});

test('a ton is asked about in a list of hoists too', async () => {
  const plan = await planOf('hoists', 'Name;WLL;Falls\nA;1 ton;1\n');
  expect(plan.questions).toMatchObject([{ code: 'which-ton' }]);
});

// 1 lbf·ft = 1.3558179483314 Nm and 1 ft/min = 0.3048 m/min: NIST SP 811 (2008), Appendix B.8, from memory.
test.each([
  ['moment', 1000, 'lb ft', 1.3558179483314],
  ['moment', 1, 'kgm', 0.00980665],
  ['moment', 5, 'Nm', 0.005],
  ['speed', 0.1, 'm/s', 6],
  ['speed', 10, 'ft/min', 3.048],
  ['bending-stiffness', 4000, 'Nm2', 4],
] as const)('a %s of %d %s', (quantity, value, unit, si) => {
  expect(toSi(quantity, value, unit)).toBeCloseTo(si, 12);
});
test('a unit that does not measure a thing gives nothing', () => {
  expect([toSi('moment', 1, 'kg'), toSi('speed', 1, 'm'), toSi('number', 1, 'kg'), toSi('stiffness', 1, 'kg/m')]).toEqual([
    null,
    null,
    null,
    null,
  ]);
});
