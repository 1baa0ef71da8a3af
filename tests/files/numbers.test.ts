import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readDateText } from '../../src/files/date-text.ts';
import { readFeetAndInches } from '../../src/files/length-text.ts';
import { readNumberText } from '../../src/files/number-text.ts';
import { toSi, unitOfWord, UNITS_OF, type Quantity, type Unit } from '../../src/files/units-of-measure.ts';
import published from '../published/units.json' with { type: 'json' };

const relative = (found: number | null, expected: number, tolerance: number): void => {
  expect(Math.abs((found ?? NaN) - expected)).toBeLessThanOrEqual(tolerance * Math.abs(expected));
};
const factor = (id: string): { value: number; tolerance: number } => {
  const entry = published.factors.find((each) => each.id === id);
  if (!entry) throw new Error(`no published factor ${id}`);
  return { value: entry.expected.value, tolerance: entry.tolerance.relative };
};

describe('units, against published factors', () => {
  test.each<[id: string, quantity: Quantity, unit: Unit, scale: number]>([
    ['unit-lb', 'load', 'lb', 1],
    ['unit-short-ton', 'load', 'short-ton', 1],
    ['unit-long-ton', 'load', 'long-ton', 1],
    ['unit-tonne', 'load', 't', 1],
    ['unit-ft', 'length', 'ft', 1],
    ['unit-in', 'length', 'in', 1],
    ['unit-lbf', 'force', 'lb', 1e-3],
    ['unit-kgf', 'force', 'kg', 1e-3],
    ['unit-kip', 'force', 'kip', 1],
    ['unit-lbperft', 'line-load', 'lb/ft', 1],
    ['unit-ksi', 'stress', 'ksi', 1e6],
    ['unit-in4', 'second-moment', 'in4', 1e-8],
  ])('%s', (id, quantity, unit, scale) => {
    const { value, tolerance } = factor(id);
    relative(toSi(quantity, 1, unit), value * scale, tolerance);
  });

  const published_case = (id: string) => {
    const found = published.cases.find((each) => each.id === id);
    if (!found) throw new Error(`no published case ${id}`);
    return found;
  };
  test('unitcase-01: weight of 1000 kg', () => {
    const { inputs, expected, tolerance } = published_case('unitcase-01');
    relative(toSi('force', inputs.mass_kg ?? NaN, 'kg'), expected.force_kN ?? NaN, tolerance.relative);
  });
  test('unitcase-02: two short tons', () => {
    const { inputs, expected, tolerance } = published_case('unitcase-02');
    relative(toSi('load', inputs.short_tons ?? NaN, 'short-ton'), expected.mass_kg ?? NaN, tolerance.relative);
    relative(toSi('force', inputs.short_tons ?? NaN, 'short-ton'), expected.force_kN ?? NaN, tolerance.relative);
  });
  test('unitcase-03: 2000 lb is not a tonne', () => {
    const { inputs, expected, tolerance } = published_case('unitcase-03');
    const ratio = (toSi('load', inputs.lb ?? NaN, 'lb') ?? NaN) / (toSi('load', inputs.tonne ?? NaN, 't') ?? NaN);
    relative(ratio, expected.ratio_lb_to_tonne ?? NaN, tolerance.relative);
  });
  test('unitcase-05: 65 ft 7.5 in', () => {
    const { inputs, expected, tolerance } = published_case('unitcase-05');
    const inches = readFeetAndInches(`${inputs.ft}' ${inputs.in}"`, null);
    if (typeof inches !== 'number') throw new Error('not read');
    relative(toSi('length', inches, 'in'), expected.m ?? NaN, tolerance.relative);
  });
  test('unitcase-08: 1234.5 lb', () => {
    const { inputs, expected, tolerance } = published_case('unitcase-08');
    relative(toSi('load', inputs.lb ?? NaN, 'lb'), expected.kg ?? NaN, tolerance.relative);
  });
  test('unitcase-10: 10 kN per tonne is never used', () => {
    const { inputs, expected, tolerance } = published_case('unitcase-10');
    relative(toSi('force', inputs.mass_kg ?? NaN, 'kg'), expected.kN_at_standard_g ?? NaN, tolerance.relative);
    relative(toSi('load', expected.kN_at_standard_g ?? NaN, 'kN'), inputs.mass_kg ?? NaN, tolerance.relative);
  });
  test('a unit of another quantity gives nothing', () => {
    for (const quantity of Object.keys(UNITS_OF) as Quantity[]) {
      const others = Object.values(UNITS_OF)
        .flat()
        .filter((unit) => !UNITS_OF[quantity].includes(unit));
      for (const unit of others) expect(toSi(quantity, 1, unit), `${quantity} in ${unit}`).toBeNull();
    }
  });
});

test.each([
  ['kg', 'kg'],
  ['Kg', 'kg'],
  ['KG.', 'kg'],
  ['lbs', 'lb'],
  ['#', 'lb'],
  ['t', 't'],
  ['T', 'ton'],
  ['ton', 'ton'],
  ['Tons', 'ton'],
  ['tn', 'ton'],
  ['tonnes', 't'],
  ['Tonnen', 't'],
  ['toneladas', 't'],
  ['short tons', 'short-ton'],
  ['kN', 'kN'],
  ['KN', 'kN'],
  ['daN', 'daN'],
  ["'", 'ft'],
  ['″', 'in'],
  ['mm', 'mm'],
  ['Fuss', 'ft'],
  ['pieds', 'ft'],
  ['kg/m', 'kg/m'],
  ['stone', null],
  ['', null],
  ['max', null],
])('the unit word "%s" is %s', (word, unit) => expect(unitOfWord(word)).toBe(unit));

describe('numbers as people write them', () => {
  test.each([
    ['450', 450],
    ['0', 0],
    ['007', 7],
    ['-1,5', -1.5],
    ['−2.5', -2.5],
    ['+3', 3],
    ['.5', 0.5],
    ['0,125', 0.125],
    ['0.125', 0.125],
    ['1,2', 1.2],
    ['12.5', 12.5],
    ['1.2345', 1.2345],
    ['1234.567', 1234.567],
    ['1.234,5', 1234.5],
    ['1,234.5', 1234.5],
    ['1.234.567', 1234567],
    ['1,234,567.25', 1234567.25],
    ['1 234', 1234],
    ['1\u00a0234,5', 1234.5],
    ['1\u202f234.5', 1234.5],
    ["1'234.5", 1234.5],
    ['1’234,50', 1234.5],
    ['-0', 0],
  ])('%s is %d', (text, value) => expect(readNumberText(text, null)).toEqual({ is: 'number', value }));

  test.each([
    ['1.234', 1.234, 1234],
    ['1,234', 1234, 1.234],
    ['-12.500', -12.5, -12500],
    ['100.000', 100, 100000],
  ])('%s has two readings and neither is taken', (text, pointIsDecimal, commaIsDecimal) => {
    expect(readNumberText(text, null)).toEqual({ is: 'ambiguous', pointIsDecimal, commaIsDecimal });
    expect(readNumberText(text, '.')).toEqual({ is: 'number', value: pointIsDecimal });
    expect(readNumberText(text, ',')).toEqual({ is: 'number', value: commaIsDecimal });
  });

  test.each([
    '',
    '-',
    '1.',
    '1..2',
    '1,2,3',
    '1.23.4',
    '12.34.567',
    '0.123.456',
    '1e3',
    '1E+05',
    '0x10',
    '1 2',
    '1 2345',
    '450/500',
    '~450',
    '<450',
    'NaN',
    'Infinity',
    '１２',
    '1.234,567,8',
    '--1',
    '1-2',
    '9'.repeat(400),
  ])('"%s" is no number', (text) => expect(readNumberText(text, null).is).toBe('not-number'));

  test('a number with the other decimal sign is told apart from no number', () => {
    expect(readNumberText('1.5', ',').is).toBe('other-sign');
    expect(readNumberText('1,5', '.').is).toBe('other-sign');
    expect(readNumberText('x', '.').is).toBe('not-number');
  });

  // What a person who writes with that sign and those groups means is what comes back, or it is asked: never another number.
  test('no reading is ever another number than the one written', () => {
    const styles = fc.constantFrom(['.', ','], [',', '.'], ['.', ' '], [',', ' '], ['.', "'"], [',', "'"], ['.', ''], [',', '']);
    fc.assert(
      fc.property(
        fc.integer({ min: -9_999_999, max: 9_999_999 }),
        fc.integer({ min: 0, max: 4 }),
        styles,
        (digits, decimals, [sign = '.', group = '']) => {
          const plain = Math.abs(digits)
            .toString()
            .padStart(decimals + 1, '0');
          const whole = plain.slice(0, plain.length - decimals);
          const fraction = plain.slice(plain.length - decimals);
          const text = `${digits < 0 ? '-' : ''}${group === '' ? whole : whole.replace(/\B(?=(\d{3})+$)/g, group)}${decimals > 0 ? sign + fraction : ''}`;
          const meant = Number(`${digits < 0 ? '-' : ''}${whole}.${fraction}0`) || 0;
          const found = readNumberText(text, null);
          if (found.is === 'ambiguous') expect([found.pointIsDecimal, found.commaIsDecimal]).toContain(meant);
          else expect(found).toEqual({ is: 'number', value: meant });
          expect(readNumberText(text, sign === ',' ? ',' : '.')).toEqual({ is: 'number', value: meant });
        },
      ),
      { numRuns: 5000 },
    );
  });
});

describe('feet and inches', () => {
  test.each([
    [`12' 3 1/2"`, 147.5],
    [`12'-3 1/2"`, 147.5],
    [`12'3"`, 147],
    [`12' 3`, 147],
    ['12ft 3in', 147],
    ['12 ft. 3.5 in.', 147.5],
    ['12 feet 3 inches', 147],
    [`12′ 3½″`, 147.5],
    [`12’ 3”`, 147],
    [`12'-3-1/2"`, 147.5],
    [`0' 6"`, 6],
    [`-4' 6"`, -54],
    ['3 1/2"', 3.5],
    ['5/8"', 0.625],
    [`12' 1/2"`, 144.5],
    [`12' 3,5"`, 147.5],
    [`12' 3.125"`, 147.125],
  ])('%s is %d inches', (text, inches) => expect(readFeetAndInches(text, null)).toBe(inches));

  test.each([`12' 12"`, `12' 13"`, `12.5' 3"`, '3 1/3"', '3 8/8"', '31/2"', `12' 3.5 1/2"`])('%s is malformed', (text) =>
    expect(readFeetAndInches(text, null)).toBe('malformed'),
  );
  test.each(['12', '12.5', "12'", '12 ft', '3"', 'P1', '12 m', ''])('%s is left to the plain reader', (text) =>
    expect(readFeetAndInches(text, null)).toBeNull(),
  );
});

describe('dates', () => {
  test.each([
    ['2026-05-31', '2026-05-31'],
    ['31.05.2026', '2026-05-31'],
    ['3.4.2026', '2026-04-03'],
    ['31/05/2026', '2026-05-31'],
    ['05/31/2026', '2026-05-31'],
    ['04/04/2026', '2026-04-04'],
    ['31 May 2026', '2026-05-31'],
    ['31-May-2026', '2026-05-31'],
    ['May 31, 2026', '2026-05-31'],
    ['31. Mai 2026', '2026-05-31'],
    ['1er', null],
    ['3 août 2026', '2026-08-03'],
    ['3 de agosto de 2026', '2026-08-03'],
    ['3 mrt 2026', '2026-03-03'],
    ['29.02.2024', '2024-02-29'],
    ['29.02.2026', null],
    ['31.04.2026', null],
    ['2026-13-01', null],
    ['01/02/26', null],
    ['May 2026', null],
    ['46143', null],
    ['1850-01-01', null],
    ['0000-00-00', null],
    ['2026-05-31T10:00', '2026-05-31'],
  ])('%s is %s', (text, isoDate) =>
    expect(readDateText(text, null)).toEqual(isoDate === null ? { is: 'not-date' } : { is: 'date', isoDate }),
  );

  test('strokes leave the order open where both readings are days', () => {
    expect(readDateText('03/04/2026', null)).toEqual({ is: 'ambiguous', dayFirst: '2026-04-03', monthFirst: '2026-03-04' });
    expect(readDateText('03/04/2026', 'day-first')).toEqual({ is: 'date', isoDate: '2026-04-03' });
    expect(readDateText('03-04-2026', 'month-first')).toEqual({ is: 'date', isoDate: '2026-03-04' });
    expect(readDateText('13/04/2026', 'month-first')).toEqual({ is: 'other-order' });
  });
});
