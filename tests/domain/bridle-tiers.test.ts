import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Anchor } from '../../src/domain/statics/bridle-legs.ts';
import { solveTiers } from '../../src/domain/statics/bridle-tiers.ts';
import type { LegTop, RingTier, SolvedTiers, SpreaderTier, Tier } from '../../src/domain/statics/bridle-tiers.ts';
import { solveBridle } from '../../src/domain/statics/bridle.ts';

const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const anchor = (id: string, xM: number, yM: number, zM: number): Anchor => ({ id, ...at(xM, yM, zM) });
const about = (value: number, digits = 9): number => expect.closeTo(value, digits) as number;
const aboutPlace = ({ xM, yM, zM }: ReturnType<typeof at>) => at(about(xM), about(yM), about(zM));
const toAnchor = (id: string): LegTop => ({ kind: 'anchor', id });
const toRing = (id: string): LegTop => ({ kind: 'ring', id });
const toBar = (id: string, atM: number): LegTop => ({ kind: 'spreader', id, atM });
const ring = (id: string, apex: ReturnType<typeof at>, loadN: number, ...tops: LegTop[]): RingTier => ({
  kind: 'ring',
  id,
  apex,
  loadN,
  legs: tops.map((to, index) => ({ id: `${id}${index + 1}`, to })),
});
const bar = (changes: Partial<SpreaderTier>): SpreaderTier => ({
  kind: 'spreader',
  id: 'bar',
  ends: [at(-1.5, 0, 4), at(1.5, 0, 4)],
  weightN: 0,
  loads: [],
  lines: [
    { id: 'l1', atM: 0, to: toAnchor('a') },
    { id: 'l2', atM: 3, to: toAnchor('b') },
  ],
  ...changes,
});

function solved(tiers: readonly Tier[], anchors: readonly Anchor[]): SolvedTiers {
  const found = solveTiers(tiers, anchors);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
}
const tensionsOf = ({ legs }: SolvedTiers) => Object.fromEntries(legs.map(({ id, tensionN }) => [id, tensionN]));

describe('worked by hand', () => {
  test('one load on four anchors: two bridles carry the rings of a third', () => {
    // Lower legs (±2, 0, 3): 600 N upwards each, so 600·√13/3. Each ring halves it over two legs (2, ±2, 3): 300·√17/3.
    const tiers = [
      ring('low', at(0, 0, 2), 1200, toRing('left'), toRing('right')),
      ring('left', at(-2, 0, 5), 0, toAnchor('a'), toAnchor('b')),
      ring('right', at(2, 0, 5), 0, toAnchor('c'), toAnchor('d')),
    ];
    const anchors = [anchor('a', -4, -2, 8), anchor('b', -4, 2, 8), anchor('c', 4, -2, 8), anchor('d', 4, 2, 8)];
    const found = solved(tiers, anchors);
    const [low, high] = [200 * Math.sqrt(13), 100 * Math.sqrt(17)].map((wanted) => about(wanted));
    expect(tensionsOf(found)).toEqual({ low1: low, low2: low, left1: high, left2: high, right1: high, right2: high });
    expect(found.anchors).toEqual([
      { id: 'a', xN: about(200), yN: about(200), downN: about(300) },
      { id: 'b', xN: about(200), yN: about(-200), downN: about(300) },
      { id: 'c', xN: about(-200), yN: about(200), downN: about(300) },
      { id: 'd', xN: about(-200), yN: about(-200), downN: about(300) },
    ]);
    expect(found.rings.map(({ id, pullN, pullOffVerticalRad }) => [id, pullN, pullOffVerticalRad])).toEqual([
      ['low', about(1200), about(0)],
      ['left', about(200 * Math.sqrt(13)), about(Math.atan(2 / 3))],
      ['right', about(200 * Math.sqrt(13)), about(Math.atan(2 / 3))],
    ]);
    // The order in which the tiers are told does not matter.
    expect(solved(tiers.toReversed(), anchors).anchors).toEqual(found.anchors);
  });
  test('a spreader takes the sideways pull of the legs below it: the roof sees plumb lines', () => {
    // Legs 1.5 aside, 2 up: 500 N upwards and 375 N inwards each. The bar of 40 N hangs on two lines of 520 N.
    const found = solved(
      [ring('low', at(0, 0, 2), 1000, toBar('bar', 0), toBar('bar', 3)), bar({ weightN: 40 })],
      [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9)],
    );
    expect(tensionsOf(found)).toEqual({ low1: about(625), low2: about(625), l1: about(520), l2: about(520) });
    expect(found.anchors).toEqual([
      { id: 'a', xN: about(0), yN: about(0), downN: about(520) },
      { id: 'b', xN: about(0), yN: about(0), downN: about(520) },
    ]);
    expect(found.spreaders).toEqual([{ id: 'bar', compressionN: about(375) }]);
  });
  test('a load a third along the bar: two thirds and one third', () => {
    const found = solved([bar({ loads: [{ atM: 1, loadN: 900 }] })], [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9)]);
    expect(tensionsOf(found)).toEqual({ l1: about(600), l2: about(300) });
    expect(found.spreaders).toEqual([{ id: 'bar', compressionN: about(0) }]);
  });
  test('a lifting beam under one ring: the slings push the beam together', () => {
    // Slings 1.5 aside and 2 up to the ring, 800 N at both ends: 800·5/4 each, 600 N along the bar.
    const beam = bar({
      loads: [
        { atM: 0, loadN: 800 },
        { atM: 3, loadN: 800 },
      ],
      lines: [
        { id: 'l1', atM: 0, to: toRing('top') },
        { id: 'l2', atM: 3, to: toRing('top') },
      ],
    });
    const found = solved(
      [beam, ring('top', at(0, 0, 6), 0, toAnchor('a'), toAnchor('b'))],
      [anchor('a', -3, 0, 10), anchor('b', 3, 0, 10)],
    );
    expect(tensionsOf(found)).toEqual({ l1: about(1000), l2: about(1000), top1: about(1000), top2: about(1000) });
    expect(found.spreaders).toEqual([{ id: 'bar', compressionN: about(600) }]);
  });
  test('a sloping bar on plumb lines shares by plan distance', () => {
    const found = solved(
      [
        bar({
          ends: [at(-1.5, 0, 4), at(1.5, 0, 5)],
          loads: [{ atM: Math.sqrt(10) / 3, loadN: 900 }],
          lines: [
            { id: 'l1', atM: 0, to: toAnchor('a') },
            { id: 'l2', atM: Math.sqrt(10), to: toAnchor('b') },
          ],
        }),
      ],
      [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9)],
    );
    expect(tensionsOf(found)).toEqual({ l1: about(600), l2: about(300) });
  });
  test('a sloping bar between plumb lines: whatever happens below, the lines share the load by plan distance', () => {
    // Bar, legs and load as one body: the load is plumb under the middle, so each line has half.
    const sloping = bar({
      ends: [at(-1.5, 0, 4), at(1.5, 0, 5)],
      lines: [
        { id: 'l1', atM: 0, to: toAnchor('a') },
        { id: 'l2', atM: Math.sqrt(10), to: toAnchor('b') },
      ],
    });
    const low = ring('low', at(0, 0, 2), 1000, toBar('bar', 0), toBar('bar', Math.sqrt(10)));
    const found = solved([low, sloping], [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9)]);
    expect(tensionsOf(found)).toMatchObject({ l1: about(500), l2: about(500) });
  });
});

// A leg pulls the bar down by 1000 N and aside by 200, below a ring of 1200 N that another leg holds; the lines of the bar lean 1 in 5.
const HELD_ALONG = {
  tiers: [ring('low', at(-0.4, 0, 2), 1200, toBar('bar', 1.5), toAnchor('e')), bar({})],
  roof: [anchor('a', -0.5, 0, 9), anchor('b', 2.5, 0, 9), anchor('e', -2.4, 0, 4)],
};
const HELD_ACROSS = {
  tiers: [ring('low', at(-0.5, -0.4, 2), 1200, toBar('bar', 1), toAnchor('e')), bar({})],
  roof: [anchor('a', -1.5, 1, 9), anchor('b', 1.5, 1, 9), anchor('e', -0.5, -2.4, 4)],
};
test('a bar on lines that lean, held by a leg that pulls the other way', () => {
  const lean = Math.sqrt(26) / 5;
  const along = solved(HELD_ALONG.tiers, HELD_ALONG.roof);
  expect(tensionsOf(along)).toMatchObject({ l1: about(500 * lean), l2: about(500 * lean), low1: about(200 * Math.sqrt(26)) });
  expect(along.anchors.slice(0, 2)).toEqual(['a', 'b'].map((id) => ({ id, xN: about(-100), yN: about(0), downN: about(500) })));
  // A third along: two thirds and one third, and of the pull across too.
  const across = solved(HELD_ACROSS.tiers, HELD_ACROSS.roof);
  expect(tensionsOf(across)).toMatchObject({ l1: about((2000 / 3) * lean), l2: about((1000 / 3) * lean) });
  expect(across.anchors[0]).toEqual({ id: 'a', xN: about(0), yN: about(-400 / 3), downN: about(2000 / 3) });
});
test('drawn 6 mm further along, it says so', () => {
  const roof = HELD_ALONG.roof.map((one) => (one.id === 'e' ? one : { ...one, xM: one.xM + 0.006 }));
  expect(solveTiers(HELD_ALONG.tiers, roof)).toMatchObject({ error: { code: 'spreader-out-of-plumb', offM: about(0.006, 7) } });
});
test('with all of it below one line, the other hangs slack and swings nowhere, whatever the rounding of its places', () => {
  for (let tenths = 1; tenths < 29; tenths++) {
    const [atM, nearly] = [tenths / 10, tenths * 0.1]; // some of them differ in their last digit
    const xM = atM - 1.5;
    const below = bar({
      lines: [
        { id: 'l1', atM: nearly, to: toAnchor('a') },
        { id: 'l2', atM: 3, to: toAnchor('b') },
      ],
    });
    const low = ring('low', at(xM, -0.4, 2), 1200, toBar('bar', atM), toAnchor('e'));
    const found = solved([low, below], [anchor('a', xM, 1, 9), anchor('b', 1.5, 1, 9), anchor('e', xM, -2.4, 4)]);
    expect(found.legs.filter(({ tier }) => tier === 'bar').map(({ id, slack }) => [id, slack])).toEqual([
      ['l1', false],
      ['l2', true],
    ]);
  }
});
test('loads straight below the lines of a sloping bar push nothing', () => {
  const lengthM = Math.sqrt(10);
  const sloping = bar({
    ends: [at(-1.5, 0, 5), at(1.5, 0, 4)],
    loads: [0, lengthM].map((atM) => ({ atM, loadN: 900 })),
    lines: [
      { id: 'l1', atM: 0, to: toAnchor('a') },
      { id: 'l2', atM: lengthM, to: toAnchor('b') },
    ],
  });
  expect(solved([sloping], [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9)]).spreaders).toEqual([{ id: 'bar', compressionN: about(0) }]);
});

describe('laws', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  // Below a micronewton a double's smallest steps would be seen.
  const forceUpTo = (max: number) => fc.oneof(fc.constant(0), number(1e-6, max));
  /** A tree like the first one above, out of shape: each ring's anchors lie in the plane of its leg's pull. */
  const trees = fc.record({
    load: number(1, 1e5),
    sides: fc.tuple(
      ...[-1, 1].map((sign) =>
        fc.record({
          outM: number(0.5, 4).map((m) => m * sign),
          upM: number(1, 5),
          onM: number(0.4, 2),
          wideM: fc.tuple(number(0.5, 4), number(0.5, 4)),
        }),
      ),
    ),
  });
  test('every ring is in equilibrium and the roof feels the load, straight down', () => {
    fc.assert(
      fc.property(trees, ({ load, sides }) => {
        const rings = sides.map(({ outM, upM }, index) =>
          ring(`r${index}`, at(outM, 0, 2 + upM), 0, toAnchor(`${index}a`), toAnchor(`${index}b`)),
        );
        const anchors = sides.flatMap(({ outM, upM, onM, wideM }, index) => [
          anchor(`${index}a`, outM * (1 + onM), -wideM[0], 2 + upM * (1 + onM)),
          anchor(`${index}b`, outM * (1 + onM), wideM[1], 2 + upM * (1 + onM)),
        ]);
        const found = solved([ring('low', at(0, 0, 2), load, toRing('r0'), toRing('r1')), ...rings], anchors);
        const tension = tensionsOf(found);
        for (const [index, { apex }] of rings.entries()) {
          const below = tension[`low${index + 1}`] ?? NaN;
          const lower = [0 - apex.xM, 0 - apex.yM, 2 - apex.zM];
          const balance = lower.map((part) => (part / Math.hypot(...lower)) * below);
          for (const [leg, end] of [`${index}a`, `${index}b`].entries()) {
            const to = anchors.find(({ id }) => id === end) ?? anchor('', NaN, NaN, NaN);
            const way = [to.xM - apex.xM, to.yM - apex.yM, to.zM - apex.zM];
            for (const axis of [0, 1, 2])
              balance[axis] = (balance[axis] ?? NaN) + ((way[axis] ?? NaN) / Math.hypot(...way)) * (tension[`r${index}${leg + 1}`] ?? NaN);
          }
          for (const rest of balance) expect(Math.abs(rest)).toBeLessThanOrEqual(1e-9 * load);
        }
        const total = (of: (seen: SolvedTiers['anchors'][number]) => number) => found.anchors.reduce((sum, seen) => sum + of(seen), 0);
        expect(Math.abs(total(({ downN }) => downN) - load)).toBeLessThanOrEqual(1e-9 * load);
        expect(Math.abs(total(({ xN }) => xN))).toBeLessThanOrEqual(1e-9 * load);
        expect(Math.abs(total(({ yN }) => yN))).toBeLessThanOrEqual(1e-9 * load);
      }),
    );
  });
  test('one tier is a bridle', () => {
    fc.assert(
      fc.property(forceUpTo(1e6), number(-2.9, 2.9), number(0, 8), (loadN, xM, zM) => {
        const anchors = [anchor('a', -3, 0, 10), anchor('b', 3, 0, 11)];
        const plain = solveBridle(loadN, at(xM, 0, zM), anchors);
        if (!plain.ok) return;
        const tier = solved([ring('r', at(xM, 0, zM), loadN, toAnchor('a'), toAnchor('b'))], anchors);
        for (const [index, leg] of plain.value.legs.entries())
          expect(Math.abs((tier.legs[index]?.tensionN ?? NaN) - leg.tensionN)).toBeLessThanOrEqual(1e-9 * loadN);
      }),
    );
  });
  test('a bar shares its loads like a beam on two supports', () => {
    const places = fc.array(fc.record({ atM: number(0.5, 2.5), loadN: forceUpTo(1e4) }), { maxLength: 8 });
    fc.assert(
      fc.property(places, forceUpTo(500), (loads, weightN) => {
        const found = solved([bar({ loads, weightN })], [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 7)]);
        const total = loads.reduce((sum, { loadN }) => sum + loadN, weightN);
        const second = loads.reduce((sum, { atM, loadN }) => sum + (loadN * atM) / 3, weightN / 2);
        const tension = tensionsOf(found);
        expect(Math.abs((tension.l2 ?? NaN) - second)).toBeLessThanOrEqual(1e-9 * total);
        expect(Math.abs((tension.l1 ?? NaN) - (total - second))).toBeLessThanOrEqual(1e-9 * total);
      }),
    );
  });
});

describe('refusals name the tier', () => {
  const anchors = [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9), anchor('c', 0, 2, 9), anchor('d', 0, -2, 9)];
  const low = ring('low', at(0, 0, 2), 1000, toAnchor('a'), toAnchor('b'));
  const cases: { name: string; tiers: Tier[]; roof?: Anchor[]; error: object }[] = [
    {
      name: 'four legs on one ring',
      tiers: [ring('low', at(0, 0, 2), 1, ...['a', 'b', 'c', 'd'].map(toAnchor))],
      error: { code: 'indeterminate', tier: 'low' },
    },
    { name: 'one leg', tiers: [ring('low', at(0, 0, 2), 1, toAnchor('a'))], error: { code: 'too-few-legs', tier: 'low' } },
    {
      name: 'a ring that is pulled out of the plane of its legs',
      tiers: [ring('low', at(0, 0, 2), 100, toRing('r'), toAnchor('b')), ring('r', at(-1.5, 0, 7), 0, toAnchor('c'), toAnchor('d'))],
      error: { code: 'apex-out-of-plane', tier: 'r' },
    },
    { name: 'an apex outside', tiers: [{ ...low, apex: at(2, 0, 2) }], error: { code: 'leg-in-compression', tier: 'low', legs: ['low1'] } },
    { name: 'a place that is no number', tiers: [{ ...low, apex: at(NaN, 0, 2) }], error: { code: 'not-finite', tier: 'low' } },
    {
      name: 'an end that is no number',
      tiers: [bar({ ends: [at(0, 0, 4), at(3, Infinity, 4)] })],
      error: { code: 'not-finite', tier: 'bar' },
    },
    {
      name: 'an anchor that is no number',
      tiers: [low],
      roof: [...anchors, anchor('x', NaN, 0, 9)],
      error: { code: 'not-finite', tier: 'x' },
    },
    { name: 'a load that is no number', tiers: [{ ...low, loadN: NaN }], error: { code: 'not-finite', tier: 'low' } },
    { name: 'a negative weight', tiers: [bar({ weightN: -1 })], error: { code: 'load-negative', tier: 'bar' } },
    {
      name: 'an unknown anchor',
      tiers: [ring('low', at(0, 0, 2), 1, toAnchor('a'), toAnchor('z'))],
      error: { code: 'unknown-support', leg: 'low2', support: 'z' },
    },
    {
      name: 'a ring taken for a spreader',
      tiers: [low, ring('x', at(0, 0, 1), 1, toBar('low', 0), toAnchor('a'))],
      error: { code: 'unknown-support', leg: 'x1', support: 'low' },
    },
    { name: 'an id given twice', tiers: [low, { ...low, legs: [] }], error: { code: 'id-repeated', id: 'low' } },
    { name: 'an anchor given twice', tiers: [low], roof: [...anchors, anchor('a', 0, 0, 12)], error: { code: 'id-repeated', id: 'a' } },
    {
      name: 'tiers that hang on each other',
      tiers: [low, ring('x', at(0, 0, 4), 1, toRing('y'), toAnchor('a')), ring('y', at(0, 0, 5), 1, toRing('x'), toAnchor('b'))],
      error: { code: 'tiers-go-round', tiers: ['x', 'y'] },
    },
    {
      name: 'a load beside the bar',
      tiers: [bar({ loads: [{ atM: 3.1, loadN: 1 }] })],
      error: { code: 'off-the-spreader', spreader: 'bar', atM: 3.1 },
    },
    {
      name: 'a leg beside the bar',
      tiers: [ring('low', at(0, 0, 2), 1, toBar('bar', -0.1), toBar('bar', 3)), bar({})],
      error: { code: 'off-the-spreader', spreader: 'bar', atM: -0.1 },
    },
    {
      name: 'both lines at one place',
      tiers: [
        bar({
          lines: [
            { id: 'l1', atM: 1.5, to: toAnchor('a') },
            { id: 'l2', atM: 1.5, to: toAnchor('b') },
          ],
        }),
      ],
      error: { code: 'spreader-lines-coincide', tier: 'bar' },
    },
    { name: 'an upright bar', tiers: [bar({ ends: [at(0, 0, 2), at(0, 0, 5)] })], error: { code: 'spreader-lines-coincide', tier: 'bar' } },
    {
      name: 'a bar without length',
      tiers: [
        bar({
          ends: [at(0, 0, 2), at(0, 0, 2)],
          lines: [
            { id: 'l1', atM: 0, to: toAnchor('a') },
            { id: 'l2', atM: 0, to: toAnchor('b') },
          ],
        }),
      ],
      error: { code: 'spreader-lines-coincide', tier: 'bar' },
    },
    {
      name: 'a load that tips the bar',
      tiers: [
        bar({
          lines: [
            { id: 'l1', atM: 1, to: toAnchor('a') },
            { id: 'l2', atM: 2, to: toAnchor('b') },
          ],
          loads: [{ atM: 0, loadN: 100 }],
        }),
      ],
      roof: [anchor('a', -0.5, 0, 9), anchor('b', 0.5, 0, 9)],
      error: { code: 'leg-in-compression', tier: 'bar', legs: ['l2'] },
    },
    {
      name: 'a line along a steep bar',
      tiers: [
        bar({
          ends: [at(0, 0, 2), at(0.1, 0, 5)],
          lines: [
            { id: 'l1', atM: 0, to: toAnchor('e') },
            { id: 'l2', atM: 3, to: toAnchor('f') },
          ],
        }),
      ],
      roof: [anchor('e', 0, 0, 9), anchor('f', 0.2, 0, 8)],
      error: { code: 'line-too-flat', tier: 'bar', line: 'l2' },
    },
    {
      name: 'a line without length',
      tiers: [bar({ ends: [at(-1.5, 0, 9), at(1.5, 0, 9)] })],
      error: { code: 'line-too-flat', tier: 'bar', line: 'l1' },
    },
    {
      name: 'a bar above its anchors',
      tiers: [bar({ ends: [at(-1.5, 0, 10), at(1.5, 0, 10)] })],
      error: { code: 'line-too-flat', tier: 'bar', line: 'l1' },
    },
    {
      name: 'one leg pulling the bar aside',
      tiers: [ring('low', at(0, 0, 2), 1000, toBar('bar', 0), toAnchor('b')), bar({})],
      error: { code: 'spreader-out-of-plumb', tier: 'bar' },
    },
    {
      name: 'one leg pulling the bar across',
      tiers: [ring('low', at(-1.5, -2, 2), 1000, toBar('bar', 0), toAnchor('e')), bar({})],
      roof: [...anchors, anchor('e', -1.5, -4, 9)],
      error: { code: 'spreader-out-of-plumb', tier: 'bar' },
    },
  ];
  test.each(cases)('$name', ({ tiers, roof, error }) => expect(solveTiers(tiers, roof ?? anchors)).toMatchObject({ ok: false, error }));

  test('turned about the vertical, every answer and every refusal is turned with it', () => {
    const plumb = [anchor('a', -1.5, 0, 9), anchor('b', 1.5, 0, 9)];
    const trees = [
      ...cases.map(({ tiers, roof }) => ({ tiers, roof: roof ?? anchors })),
      HELD_ALONG,
      HELD_ACROSS,
      { tiers: [bar({ loads: [{ atM: 0, loadN: 100 }] })], roof: plumb },
      { tiers: [bar({ loads: [{ atM: 3, loadN: 100 }], ends: [at(-1.5, 0, 4), at(1.5, 0, 5)] })], roof: plumb },
      { tiers: [ring('low', at(0, 0, 2), 1000, toBar('bar', 0), toBar('bar', 3)), bar({ weightN: 40 })], roof: plumb },
    ];
    fc.assert(
      fc.property(fc.constantFrom(...trees), fc.double({ min: -3, max: 3, noNaN: true }), ({ tiers, roof }, angle) => {
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const turned = <P extends ReturnType<typeof at>>(place: P): P => ({
          ...place,
          xM: c * place.xM - s * place.yM,
          yM: s * place.xM + c * place.yM,
        });
        const after = solveTiers(
          tiers.map((tier): Tier =>
            tier.kind === 'ring' ? { ...tier, apex: turned(tier.apex) } : { ...tier, ends: [turned(tier.ends[0]), turned(tier.ends[1])] },
          ),
          roof.map(turned),
        );
        const before = solveTiers(tiers, roof);
        if (!before.ok || !after.ok) {
          expect([before.ok, after.ok]).toEqual([false, false]);
          const was: object = before.ok ? {} : before.error;
          const more = {
            ...('offM' in was ? { offM: about(Number(was.offM)) } : {}),
            ...('nearestApex' in was ? { nearestApex: aboutPlace(turned(was.nearestApex as ReturnType<typeof at>)) } : {}),
          };
          expect(after.ok ? {} : after.error).toEqual({ ...was, ...more });
          return;
        }
        for (const [index, { tensionN }] of before.value.legs.entries()) expect(after.value.legs[index]?.tensionN).toBeCloseTo(tensionN, 8);
        for (const [index, { id, xN, yN, downN }] of before.value.anchors.entries())
          expect(after.value.anchors[index]).toEqual({
            id,
            xN: about(c * xN - s * yN, 8),
            yN: about(s * xN + c * yN, 8),
            downN: about(downN, 8),
          });
        for (const [index, { compressionN }] of before.value.spreaders.entries())
          expect(after.value.spreaders[index]?.compressionN).toBeCloseTo(compressionN, 8);
      }),
      { seed: 2, numRuns: 400 },
    );
  });

  test.each([
    { sideways: [0.004, 0], fits: true },
    { sideways: [0.006, 0], fits: false },
    { sideways: [0, 0.004], fits: true },
    { sideways: [0, 0.006], fits: false },
  ])('lines of a loaded bar $sideways m off plumb', ({ sideways: [x = NaN, y = NaN], fits }) => {
    const loads = [{ atM: 1.2, loadN: 100 }];
    const found = solveTiers([bar({ loads })], [anchor('a', -1.5 + x, y, 9), anchor('b', 1.5 + x, -y, 9)]);
    expect(found.ok).toBe(fits);
    if (!found.ok) expect(found.error).toMatchObject({ code: 'spreader-out-of-plumb', offM: about(0.006, 6), tier: 'bar' });
  });
});
