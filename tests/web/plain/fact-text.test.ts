import { expect, test } from 'vitest';
import { factText } from '../../../src/web/parts/fact-text.ts';

test.each([
  ['wllKg', 1000, '2,204 lb'], // 2204.6 lb: a rating is rounded down
  ['bodyKg', 60, '133 lb'], // 132.3 lb: what hangs is rounded up
  ['selfKgPerM', 5, '5'], // per metre is no length
  ['needsSecondary', false, 'no'],
  ['falls', null, 'not stated'],
  ['spanTable', [], 'not stated'],
  ['wllIsNetOf', 'hook', 'what hangs under the hook'],
  ['hitches', ['straight', 'choke'], 'straight; choke'],
  ['cg', { uM: 0.25, vM: -0.1 }, '0.25 m forward, -0.10 m up'],
  ['holes', [{ id: '1', wllKg: 500, uM: 0, vM: 0.1 }], '1: 0.00 m forward, 0.10 m up (1,102 lb)'], // 1102.3 lb
  ['allowedSplaysDeg', [0, 2.5], '0; 2.5'],
  ['corners', [], 'not stated'],
  [
    'spanTable',
    [
      { spanM: 8, evenKgPerM: 40, points: null },
      { spanM: 10, evenKgPerM: null, points: { count: 2, eachKg: 100 } },
    ],
    '8.00 m: 40 kg/m; 10.00 m: 2 × 220 lb', // 220.5 lb: what is borne is rounded down
  ],
])('%s of %s is shown as %s', (fact, value, shown) => {
  expect(factText(fact, value, { mass: 'lb', length: 'm' })).toBe(shown);
});
