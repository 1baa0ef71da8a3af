import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonicalBytes } from '../../src/domain/foundation/canonical.ts';
import type { Json } from '../../src/domain/foundation/canonical.ts';

function doubleOf(bits: string): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, BigInt(`0x${bits}`));
  return view.getFloat64(0);
}

describe('RFC 8785', () => {
  // Sections 3.2.2 and 3.2.3; from memory.
  test('the sample of sections 3.2.2 and 3.2.3', () => {
    const sample = {
      numbers: [333333333.33333329, 1e30, 4.5, 2e-3, 0.000000000000000000000000001],
      string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\"/',
      literals: [null, true, false],
    };
    expect(canonicalBytes(sample)).toBe(
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    );
  });

  test('the sort order of section 3.2.3: by UTF-16 code units, not by code points', () => {
    const sample = {
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji: Grinning Face',
      '\u0080': 'Control',
      '\u00f6': 'Latin Small Letter O With Diaeresis',
    };
    const values = [...canonicalBytes(sample).matchAll(/:"([^"]*)"/g)].map((match) => match[1]);
    expect(values).toEqual([
      'Carriage Return',
      'One',
      'Control',
      'Latin Small Letter O With Diaeresis',
      'Euro Sign',
      'Emoji: Grinning Face',
      'Hebrew Letter Dalet With Dagesh',
    ]);
  });

  // Appendix B; from memory, compared with copies of the table in public test suites.
  test.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('the double %s is written %s', (bits, text) => {
    expect(canonicalBytes([doubleOf(bits)])).toBe(`[${text}]`);
  });
});

describe('laws', () => {
  const json = fc.jsonValue({ stringUnit: 'binary' }) as fc.Arbitrary<Json>;
  test('reading it back gives the same value and the same bytes', () => {
    fc.assert(
      fc.property(json, (value) => {
        const bytes = canonicalBytes(value);
        const again = JSON.parse(bytes) as Json;
        expect(canonicalBytes(again)).toBe(bytes);
        expect(again).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });
  test('the order in which members were written does not matter', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.tuple(fc.string({ unit: 'binary' }), fc.double({ noNaN: true, noDefaultInfinity: true })), {
          selector: ([name]) => name,
        }),
        (members) => {
          expect(canonicalBytes(Object.fromEntries(members))).toBe(canonicalBytes(Object.fromEntries(members.toReversed())));
        },
      ),
    );
  });
  test('a member that is undefined is left out', () => {
    expect(canonicalBytes({ b: undefined, a: 1 })).toBe('{"a":1}');
  });
  test('composed and decomposed letters stay different', () => {
    expect(canonicalBytes('\u00e9')).not.toBe(canonicalBytes('e\u0301'));
  });
  test('a member called __proto__ is a member like any other', () => {
    expect(canonicalBytes(JSON.parse('{"__proto__":{"a":1}}') as Json)).toBe('{"__proto__":{"a":1}}');
  });
});

// The casts play a caller without types.
test.each([
  ['NaN', NaN],
  ['infinity inside', { a: [1, { b: Infinity }] }],
  ['undefined', undefined],
  ['undefined in a list', [1, undefined]],
  ['a hole in a list', new Array(1)],
  ['half a surrogate pair', '\ud83d'],
  ['half a surrogate pair as a name', { '\ude00x': 1 }],
  ['a date', new Date(0)],
  ['a map', new Map([['a', 1]])],
  ['a function', () => 1],
  ['a big integer', 1n],
])('%s throws', (_name, value) => {
  expect(() => canonicalBytes(value as Json)).toThrow();
});
