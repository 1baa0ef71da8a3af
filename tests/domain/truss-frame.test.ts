import { describe, expect, test } from 'vitest';
import type { SolvedTrussFrame, TrussFrameCase, TrussFrameHang } from '../../src/domain/statics/truss-frame.ts';
import { solveTrussFrame } from '../../src/domain/statics/truss-frame.ts';
import { forceExtremes } from '../../src/domain/statics/beam-extremes.ts';
import { seeded } from './seeded.ts';
import { denseFrame } from './truss-frame-dense-solver.ts';

const empty = { pointLoads: [], spreadLoads: [] };
/** 8 m along x, 6 m along y, hoists on the corners; side 0 runs along x at y = 0. */
const rectangle = (change: Partial<TrussFrameHang> = {}): TrussFrameHang => ({
  corners: [
    { xM: 0, yM: 0 },
    { xM: 8, yM: 0 },
    { xM: 8, yM: 6 },
    { xM: 0, yM: 6 },
  ],
  closed: true,
  selfNPerM: 100,
  eiNm2: 3e6,
  gaN: null,
  gjNm2: 4e5,
  cornerJoint: 'stiff',
  sides: [empty, empty, empty, empty],
  hoists: [0, 1, 2, 3].map((side) => ({ id: `h${side + 1}`, side, atM: 0 })),
  ...change,
});
const onSide = (side: number, atM: number, forceN: number) =>
  [0, 1, 2, 3].map((index) => (index === side ? { pointLoads: [{ atM, forceN }], spreadLoads: [] } : empty));
const level = { restM: 0, movingM: 0 };
const solved = (hang: TrussFrameHang, tolerances = level, visit?: (one: TrussFrameCase) => void): SolvedTrussFrame => {
  const found = solveTrussFrame(hang, tolerances, visit);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
};
const refusal = (hang: TrussFrameHang) => {
  const found = solveTrussFrame(hang, level);
  return found.ok ? null : found.error;
};
const restingN = (hang: TrussFrameHang) => solved(hang).resting.map(({ reactions }) => reactions.map(({ forceN }) => forceN));
const near = (value: number): number => expect.closeTo(value, 6) as number;

describe('worked by hand', () => {
  test('an even rectangle on its corners shares evenly', () => {
    expect(restingN(rectangle())).toEqual([[700, 700, 700, 700].map(near)]);
  });
  test('three hoists are given by moments alone, however stiff the frame is', () => {
    // 2800 N at (4, 3) and 1000 N at (8, 3), on (0, 0), (8, 0) and (4, 6). Heights: y: 3800·3 = 6·R3. x: 2800·4 + 1000·8 = 8·R2 + 4·R3.
    const hoists = [
      { id: 'a', side: 0, atM: 0 },
      { id: 'b', side: 1, atM: 0 },
      { id: 'c', side: 2, atM: 4 },
    ];
    for (const gjNm2 of [1e3, 1e6]) {
      expect(restingN(rectangle({ hoists, gjNm2, sides: onSide(1, 3, 1000) }))).toEqual([[450, 1450, 1900].map(near)]);
    }
  });
  test('hinged corners make simple beams of the sides: a load goes to the two ends of its side', () => {
    const hang = rectangle({ cornerJoint: 'hinged', gjNm2: null, sides: onSide(0, 2, 1000) });
    expect(restingN(hang)).toEqual([[1450, 950, 700, 700].map(near)]);
    const side = solved(hang).resting[0]?.sides[0];
    expect(side && forceExtremes(side)).toMatchObject({ minMomentNm: { value: 0 }, maxMomentNm: { atM: 2 } });
    // 1000·2·6/8 + 100·2·6/2 at the load.
    expect(side && forceExtremes(side).maxMomentNm.value).toBeCloseTo(2100, 6);
  });
  test('hinged short sides hang from the overhangs of the long ones', () => {
    const hoists = [0, 2].flatMap((side) => [2, 6].map((atM) => ({ id: `s${side}-${atM}`, side, atM })));
    const [frame] = solved(rectangle({ cornerJoint: 'hinged', hoists })).resting;
    // Each end of a long side carries half a short side, 300 N, besides its own 2 m: -(300·2 + 100·2·1) at the hoist.
    expect(frame?.reactions.map(({ forceN }) => forceN)).toEqual([700, 700, 700, 700].map(near));
    expect(frame?.sides[0] && forceExtremes(frame.sides[0]).minMomentNm).toEqual({ value: near(-800), atM: 2 });
    expect(frame?.sides[1] && forceExtremes(frame.sides[1]).maxMomentNm).toEqual({ value: near((100 * 36) / 8), atM: 3 });
  });
  test('a square loaded evenly has equal corners: bending of each side turns the corner against the torsion of the next', () => {
    // By symmetry each corner turns about the diagonal, so a side's end moment X and its neighbour's torsion are equal and opposite to
    // each other's; a side of an even square is not twisted (both ends turn alike), so there is no moment at the corners.
    const square = rectangle({
      corners: [
        [0, 0],
        [6, 0],
        [6, 6],
        [0, 6],
      ].map(([xM = 0, yM = 0]) => ({ xM, yM })),
      gjNm2: 1e7,
    });
    const extremes = solved(square).resting[0]?.sides.map((side) => forceExtremes(side).maxMomentNm.value);
    expect(extremes?.[0]).toBeGreaterThan(0);
    for (const value of extremes ?? []) expect(value).toBeCloseTo(extremes?.[0] ?? NaN, 6);
  });
});

describe('what is not known', () => {
  test('corners and torsion not stated: both extremes, and the worse is told', () => {
    const hang = rectangle({ cornerJoint: null, gjNm2: null, sides: onSide(0, 2, 3000) });
    const { resting, restEnvelope, cautions } = solved(hang);
    expect(resting.map(({ assumption }) => assumption)).toEqual(['rigid', 'soft']);
    for (const [hoist, { mostN, leastN }] of restEnvelope.hoists.entries()) {
      const both = resting.map(({ reactions }) => reactions[hoist]?.forceN ?? NaN);
      expect([leastN, mostN]).toEqual([Math.min(...both), Math.max(...both)]);
    }
    // Hinged, three quarters of the load go to the near corner.
    expect(resting[1]?.reactions[0]?.forceN).toBeCloseTo(700 + 2250, 6);
    expect(cautions[0]).toContain('corners');
  });
  test('a frame that hangs only if its corners are stiff needs to have that stated', () => {
    const midSides = [0, 1, 2, 3].map((side) => ({ id: `m${side}`, side, atM: side % 2 === 0 ? 4 : 3 }));
    expect(refusal(rectangle({ hoists: midSides, cornerJoint: 'stiff' }))).toBeNull();
    expect(refusal(rectangle({ hoists: midSides, cornerJoint: 'hinged' }))).toMatchObject({ code: 'unstable' });
    expect(refusal(rectangle({ hoists: midSides, cornerJoint: null }))).toEqual({ code: 'stiffness-needed', what: 'corners' });
  });
});

describe('contact', () => {
  test('the centre of gravity outside the hoists tips the frame', () => {
    const hoists = [
      { id: 'a', side: 0, atM: 0 },
      { id: 'b', side: 0, atM: 3 },
      { id: 'c', side: 3, atM: 3 },
    ];
    expect(refusal(rectangle({ hoists }))).toMatchObject({ code: 'unstable' });
  });
  test('one hoist 100 mm low lets go, and the other three hold by moments alone', () => {
    const hoists = rectangle().hoists.map((hoist, index) => ({ ...hoist, levelM: index === 2 ? -0.1 : 0 }));
    const [frame] = solved(rectangle({ hoists, sides: onSide(0, 0, 500), eiNm2: 3e8, gjNm2: 4e7 })).resting;
    expect(frame?.reactions.map(({ slack }) => slack)).toEqual([false, false, true, false]);
    // Without the far corner the even frame's centre lies on the line between its neighbours.
    expect(frame?.reactions.map(({ forceN }) => forceN)).toEqual([500, 1400, 0, 1400].map(near));
  });
  test('each hoist lost in turn, and the two diagonals', () => {
    const { lost, diagonals } = solved(rectangle({ sides: onSide(0, 2, 800) }));
    // 2800 N at (4, 3) and 800 N at (2, 0): the centre (3.56, 2.33) lies beyond the line of h2 and h4 from h3, and of h1 and h3 from h4.
    expect(lost.map(({ tips }) => tips)).toEqual([true, true, false, false]);
    expect(diagonals.map(({ carriedBy }) => carriedBy)).toEqual([
      ['h1', 'h3'],
      ['h2', 'h4'],
    ]);
    for (const { reactions } of diagonals) {
      const sum = (arm: (hoist: number) => number) => reactions.reduce((total, { forceN }, hoist) => total + forceN * arm(hoist), 0);
      expect(sum(() => 1)).toBeCloseTo(3600, 6);
      expect(sum((hoist) => [0, 8, 8, 0][hoist] ?? NaN)).toBeCloseTo(2800 * 4 + 800 * 2, 6);
      expect(sum((hoist) => [0, 0, 6, 6][hoist] ?? NaN)).toBeCloseTo(2800 * 3, 6);
      expect(reactions.some(({ slack }) => slack)).toBe(true);
    }
    // The first diagonal carries most when h4 is slack, as that hoist lost says too.
    const lostReactions = lost.find(({ lost: id }) => id === 'h4')?.reactions?.map(({ forceN }) => near(forceN));
    expect(diagonals[0]?.reactions.map(({ forceN }) => forceN)).toEqual([...(lostReactions ?? []), 0]);
  });
  test('no level error takes a hoist past its diagonal', () => {
    const hang = rectangle({ sides: onSide(0, 2, 800), eiNm2: 3e7, gjNm2: 4e6 });
    const { movingEnvelope, diagonals } = solved(hang, { restM: 0.01, movingM: 0.2 });
    for (const [hoist, { mostN }] of movingEnvelope.hoists.entries()) {
      const bound = Math.max(...diagonals.map(({ reactions }) => reactions[hoist]?.forceN ?? NaN));
      expect(mostN).toBeLessThan(bound * (1 + 1e-9));
      expect(mostN).toBeGreaterThan(bound * 0.99); // and 200 mm of a stiff frame goes all the way
    }
  });
  test('every case is shown to the checks', () => {
    const seen = new Map<string, number>();
    solved(rectangle({ cornerJoint: null }), { restM: 0.01, movingM: 0.025 }, (one) => seen.set(one.case, (seen.get(one.case) ?? 0) + 1));
    // Level and 14 patterns, twice; each hoist lost under both assumptions where it holds; two diagonals.
    expect(Object.fromEntries(seen)).toEqual({ resting: 30, moving: 30, slack: 4, diagonal: 2 });
  });
});

describe('refusals', () => {
  const hoistAt = (side: number, atM: number) => ({ id: 'x', side, atM });
  const withHoist = (hoist: { id: string; side: number; atM: number }) => rectangle({ hoists: [...rectangle().hoists.slice(0, 3), hoist] });
  test.each<[string, TrussFrameHang, object]>([
    ['no EI', rectangle({ eiNm2: null }), { code: 'stiffness-needed', what: 'ei' }],
    ['two hoists', rectangle({ hoists: rectangle().hoists.slice(0, 2) }), { code: 'unstable', slack: [] }],
    [
      'hoists in one line',
      rectangle({ hoists: [0, 4, 8].map((atM) => ({ id: `l${atM}`, side: 0, atM })) }),
      { code: 'unstable', slack: [] },
    ],
    ['a hoist off its side', withHoist(hoistAt(3, 6.5)), { code: 'support-off-beam', id: 'x', atM: 6.5, lengthM: 6 }],
    ['a hoist on no side', withHoist(hoistAt(7, 1)), { code: 'side-missing', side: 7, sides: 4 }],
    ['two hoists on one corner from two sides', withHoist(hoistAt(0, 7.9995)), { code: 'supports-coincide', ids: ['x', 'h2'], atM: 0 }],
    ['a side without loads', rectangle({ sides: [empty, empty] }), { code: 'side-missing', side: 2, sides: 4 }],
    [
      'a load off its side',
      rectangle({ sides: onSide(1, 7, 1) }),
      { code: 'load-off-beam', what: 'point load 0 of side 1', atM: 7, lengthM: 6 },
    ],
    [
      'a corner that does not turn',
      rectangle({
        corners: [
          [0, 0],
          [4, 0],
          [8, 0],
          [4, 5],
        ].map(([xM = 0, yM = 0]) => ({ xM, yM })),
      }),
      { code: 'corner-straight', corner: 1 },
    ],
    [
      'a ring that crosses itself',
      rectangle({
        corners: [
          [0, 0],
          [8, 6],
          [8, 0],
          [0, 6],
        ].map(([xM = 0, yM = 0]) => ({ xM, yM })),
      }),
      { code: 'polygon-crosses-itself', edges: [0, 2] },
    ],
    ['torsion of nothing', rectangle({ gjNm2: 0 }), { code: 'stiffness-not-positive', what: 'gj' }],
    [
      'a corner nowhere',
      rectangle({ corners: [...rectangle().corners.slice(0, 3), { xM: NaN, yM: 0 }] }),
      { code: 'not-finite', what: 'corner 3' },
    ],
    ['a weight without end', rectangle({ selfNPerM: Infinity }), { code: 'not-finite', what: 'self weight of side 0' }],
  ])('%s', (_, hang, error) => expect(refusal(hang)).toEqual(error));
});

describe('numbers at the edge', () => {
  test('1e-9 and 1e9 newtons together', () => {
    const [reactions] = restingN(rectangle({ selfNPerM: 1e-9, sides: onSide(0, 4, 1e9) }));
    expect((reactions ?? []).reduce((sum, forceN) => sum + forceN, 0)).toBeCloseTo(1e9, 3);
  });
  test('10,000 loads and 40 corners in bounded time', () => {
    const corners = Array.from({ length: 40 }, (_, k) => ({
      xM: 30 * Math.cos((2 * Math.PI * k) / 40),
      yM: 30 * Math.sin((2 * Math.PI * k) / 40),
    }));
    const sides = corners.map(() => ({
      pointLoads: Array.from({ length: 250 }, (_, k) => ({ atM: k / 60, forceN: 10 + (k % 9) })),
      spreadLoads: [],
    }));
    const hoists = corners.flatMap((_, side) => (side % 5 === 0 ? [{ id: `h${side}`, side, atM: 1 }] : []));
    const [frame] = solved(rectangle({ corners, sides, hoists })).resting;
    const weightN = sides.reduce(
      (sum, { pointLoads }) => pointLoads.reduce((s, { forceN }) => s + forceN, sum),
      100 * 40 * 60 * Math.sin(Math.PI / 40),
    );
    expect(frame?.reactions.reduce((sum, { forceN }) => sum + forceN, 0)).toBeCloseTo(weightN, 4);
  });
  test('no load at all: nothing is carried, and nothing is refused', () => {
    expect(restingN(rectangle({ selfNPerM: 0 }))).toEqual([[0, 0, 0, 0]]);
  });
});

describe('a second way', () => {
  function randomFrame(random: () => number): TrussFrameHang {
    const between = (low: number, high: number) => low + (high - low) * random();
    const count = 3 + Math.floor(between(0, 4));
    const closed = random() < 0.7;
    // Corners on a stretched, shaken circle: convex enough not to cross itself.
    const corners = Array.from({ length: count }, (_, index) => {
      const angle = (2 * Math.PI * (index + between(-0.2, 0.2))) / count;
      const radiusM = between(4, 7);
      return { xM: 20 + 1.3 * radiusM * Math.cos(angle), yM: -5 + radiusM * Math.sin(angle) };
    });
    const lengths = corners.map(({ xM, yM }, index) => {
      const next = corners[(index + 1) % count] ?? { xM, yM };
      return Math.sqrt((next.xM - xM) ** 2 + (next.yM - yM) ** 2);
    });
    const sides = Array.from({ length: closed ? count : count - 1 }, (_, side) => {
      const place = () => (lengths[side] ?? NaN) * (Math.floor(between(1, 40)) / 40);
      const [a, b] = [place(), place()];
      return {
        pointLoads: Array.from({ length: Math.floor(between(0, 3)) }, () => ({ atM: place(), forceN: between(0, 3000) })),
        spreadLoads: random() < 0.3 ? [{ fromM: Math.min(a, b), toM: Math.max(a, b), forceNPerM: between(0, 400) }] : [],
      };
    });
    const uneven = random() < 0.5;
    const places = new Set<string>();
    while (places.size < 3 + Math.floor(between(0, 4))) places.add(`${Math.floor(between(0, sides.length))}/${Math.floor(between(0, 20))}`);
    return {
      corners,
      closed,
      selfNPerM: between(20, 200),
      eiNm2: 10 ** between(5.5, 7),
      gaN: random() < 0.5 ? 10 ** between(6, 7.5) : null,
      gjNm2: 10 ** between(4.5, 6.5),
      cornerJoint: 'stiff',
      cornerN: random() < 0.5 ? 150 : 0,
      sides,
      hoists: [...places].map((text, index) => {
        const [side = 0, step = 0] = text.split('/').map(Number);
        return {
          id: `h${index}`,
          side,
          atM: ((lengths[side] ?? NaN) * step) / 20,
          levelM: uneven ? between(-0.02, 0.02) : 0,
          stiffnessNPerM: random() < 0.3 ? 10 ** between(5, 7) : null,
        };
      }),
    };
  }

  test('300 seeded frames agree with a dense solver that tries every set of taut hoists', () => {
    const random = seeded(42);
    let [largest, tipping, withSlack] = [0, 0, 0];
    for (let index = 0; index < 300; index++) {
      const hang = randomFrame(random);
      const fast = solveTrussFrame(hang, level);
      if (!fast.ok && fast.error.code !== 'unstable') {
        // The shaken circle makes a straight corner now and then.
        expect(fast.error.code, `frame ${index} ${JSON.stringify([fast.error, hang.hoists, hang.corners])}`).toBe('corner-straight');
        continue;
      }
      const slow = denseFrame(hang);
      if (slow === 'unstable' || !fast.ok) {
        tipping++;
        expect([fast.ok, slow], `frame ${index}`).toEqual([false, 'unstable']);
        continue;
      }
      const [frame] = fast.value.resting;
      if (frame?.reactions.some(({ slack }) => slack)) withSlack++;
      const sizeN = slow.reactionsN.reduce((sum, r) => sum + Math.abs(r), 0);
      const differences = [
        ...slow.reactionsN.map((wantedN, hoist) => (frame?.reactions[hoist]?.forceN ?? NaN) - wantedN),
        ...slow.endMomentsNm.flatMap(([startNm, endNm], side) => [
          ((frame?.sides[side]?.line.momentRightNm[0] ?? NaN) - startNm) / 10,
          ((frame?.sides[side]?.line.momentLeftNm.at(-1) ?? NaN) - endNm) / 10,
        ]),
        ...slow.torsionsNm.map((wantedNm, side) => ((frame?.sides[side]?.torsionNm ?? NaN) - wantedNm) / 10),
      ].map((difference) => Math.abs(difference) / sizeN);
      for (const difference of differences) expect(difference, `frame ${index}`).toBeLessThan(1e-7);
      largest = Math.max(largest, ...differences);
    }
    console.info(`300 frames, ${withSlack} with slack hoists, ${tipping} tipping. Largest difference, relative to the loads: ${largest}`);
    expect(withSlack).toBeGreaterThan(30);
    expect(tipping).toBeGreaterThan(20);
  }, 120_000);
});
