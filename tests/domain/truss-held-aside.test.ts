import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/domain/foundation/result.ts';
import type { HeldTruss, TrussHook, TrussLine } from '../../src/domain/statics/truss-held-aside.ts';
import { TrussHeldAside } from '../../src/domain/statics/truss-held-aside.ts';
import { restOfBar, springOf } from './bar-on-lines.ts';
import { seeded } from './seeded.ts';

function expectOk<T, E>(result: Result<T, E>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
function codeOf<T, E extends { code: string }>(result: Result<T, E>): string {
  return result.ok ? 'ok' : result.error.code;
}
const at = (xM: number, yM: number, zM: number) => ({ xM, yM, zM });
const about = (value: number, digits = 9): number => expect.closeTo(value, digits) as number;
type Pair<T> = readonly [T, T];
const line = (hook: 0 | 1, to: TrussLine['to'], change: Partial<TrussLine> = {}): TrussLine => ({
  id: `line ${hook}`,
  hook,
  to,
  pretensionN: null,
  ...change,
});
const held = (hooks: Pair<TrussHook>, lines: TrussLine[], loadsN: Pair<number> = [2000, 1000]): HeldTruss =>
  expectOk(expectOk(TrussHeldAside.drawn(hooks, lines)).under(loadsN));

// 8 m apart at 6 m, chains 6 m high. Drawn 0.3 m aside of its point a chain leans 1 in 20.
const hook = (xM: number, leanX = 0, leanY = 0): TrussHook => ({ place: at(xM, 0, 6), top: at(xM - leanX, -leanY, 12) });

describe('worked by hand', () => {
  test('a level line across the truss at one hook takes a twentieth of what hangs there, and the other hook knows nothing of it', () => {
    const found = held([hook(0, 0, 0.3), hook(8)], [line(0, at(0, 5, 6))]);
    expect(found.lines[0]?.tensionN).toBeCloseTo(100, 9);
    expect(found.lines[0]?.pull).toEqual({ xN: about(0), yN: about(-100), downN: about(0) });
    expect(found.chains).toEqual([
      { xN: about(0), yN: about(100), downN: about(2000) },
      { xN: about(0), yN: about(0), downN: about(1000) },
    ]);
    expect([found.axialN, found.swingM]).toEqual([about(0), about(0)]);
  });
  test('a level line along it takes a twentieth of both, and the truss hands on what the far hook gives', () => {
    const found = held([hook(0, 0.3), hook(8, 0.3)], [line(1, at(20, 0, 6))]);
    expect(found.lines[0]?.tensionN).toBeCloseTo(150, 9);
    expect(found.chains.map(({ xN }) => xN)).toEqual([about(100), about(50)]);
    expect(found.axialN).toBeCloseTo(100, 9); // the chain of the first hook pulls it away from the line
  });
  test('down at 45° it loads the chain, up at 45° it relieves it', () => {
    // Lean 1/20: T sideways U/20 = P/√2, U = 2000 ± P/√2: P/√2 = 2000/19 down, 2000/21 up.
    const down = held([hook(0, 0, 0.3), hook(8)], [line(0, at(0, 6, 0))]);
    expect(down.lines[0]?.tensionN).toBeCloseTo((Math.SQRT2 * 2000) / 19, 9);
    expect(down.chains[0]).toEqual({ xN: about(0), yN: about(2000 / 19), downN: about(2000 + 2000 / 19) });
    const up = held([hook(0, 0, 0.3), hook(8)], [line(0, at(0, 6, 12))]);
    expect(up.chains[0]).toEqual({ xN: about(0), yN: about(2000 / 21), downN: about(2000 - 2000 / 21) });
  });
  test('lines at both hooks that splay: what they pull along stays in the truss as a push or pull', () => {
    // Each chain leans 1/20 across; lines at 45° in plan pull as much along: 100 N outwards at one, 50 at the other, whose chains lean for it.
    const outwards = held([hook(0, -0.3, 0.3), hook(8, 0.3, 0.3)], [line(0, at(-5, 5, 6)), line(1, at(13, 5, 6))]);
    expect(outwards.lines.map(({ tensionN }) => tensionN)).toEqual([about(100 * Math.SQRT2), about(50 * Math.SQRT2)]);
    expect(outwards.axialN).toBeCloseTo(0, 9);
    const even = held([hook(0, 0, 0.3), hook(8, 0, 0.3)], [line(0, at(-5, 5, 6)), line(1, at(13, 5, 6))], [1000, 1000]);
    expect([even.axialN, even.swingM]).toEqual([about(50), about(0)]);
  });
  test('two guys across against each other pull with their pretension alone', () => {
    const guys = [5, -5].map((yM, n) => line(0, at(0, yM, 6), { id: `g${n}`, pretensionN: 300 }));
    const found = held([hook(0), hook(8)], guys);
    expect(found.chains.map(({ yN, downN }) => [yN, downN])).toEqual([
      [about(0), about(2000)],
      [about(0), about(1000)],
    ]);
  });
});

/** Chains that lean just so that these lines hold the truss under these loads: built forwards, from the pulls. */
function balanced(random: () => number, count: number) {
  const turn = 6.28 * random();
  const axis = { x: Math.cos(turn), y: Math.sin(turn) };
  const places = [at(1, 2, 5), at(1 + 8 * axis.x, 2 + 8 * axis.y, 5)] as const;
  const loadsN = [1000 + 4000 * random(), 1000 + 4000 * random()] as const;
  const hooksOf = ([0, 1, 0] as const).slice(0, count);
  const lines = hooksOf.map((of, index) => {
    const [reach, bearing] = [3 + 6 * random(), turn + (index === 2 ? 0.2 * random() : (random() < 0.5 ? 1 : -1) * (0.6 + 1.9 * random()))];
    const place = places[of];
    return line(of, at(place.xM + reach * Math.cos(bearing), place.yM + reach * Math.sin(bearing), 5 + 6 * random() - 3), {
      id: `l${index}`,
    });
  });
  const pulls = lines.map(() => 50 + 400 * random());
  const axialN = 400 * random() - 200;
  const hooks = ([0, 1] as const).map((of): TrussHook => {
    const place = places[of];
    let [x, y, up] = [(of === 0 ? 1 : -1) * axialN * axis.x, (of === 0 ? 1 : -1) * axialN * axis.y, -loadsN[of]];
    for (const [index, { hook: own, to }] of lines.entries()) {
      if (own !== of) continue;
      const way = [to.xM - place.xM, to.yM - place.yM, to.zM - place.zM] as const;
      const long = Math.hypot(...way);
      const pull = (pulls[index] ?? 0) / long;
      [x, y, up] = [x + pull * way[0], y + pull * way[1], up + pull * way[2]];
    }
    const heightM = 4 + 6 * random();
    return { place, top: at(place.xM + (x / up) * heightM, place.yM + (y / up) * heightM, place.zM + heightM) };
  }) as unknown as Pair<TrussHook>;
  return { hooks, lines, pulls, loadsN, axialN };
}
const triple = ({ xM, yM, zM }: TrussLine['to']) => [xM, yM, zM] as const;

test('drawn where given pulls hold it, the pulls are found again, whatever the lines and their number', () => {
  const random = seeded(21);
  let worst = 0;
  for (let round = 0; round < 1000; round++) {
    const { hooks, lines, pulls, loadsN, axialN } = balanced(random, 1 + (round % 3));
    const found = held(hooks, lines, loadsN);
    for (const [index, pull] of pulls.entries()) worst = Math.max(worst, Math.abs((found.lines[index]?.tensionN ?? NaN) / pull - 1));
    worst = Math.max(worst, Math.abs(found.axialN - axialN) / 1000, found.swingM);
  }
  expect(worst).toBeLessThan(1e-9);
});

test('a second way: a rigid bar on stiff lines, moved downhill until it rests, pulls the same', () => {
  const random = seeded(22);
  let worst = 0;
  for (let round = 0; round < 40; round++) {
    const { hooks, lines, loadsN } = balanced(random, 1 + (round % 3));
    const found = held(hooks, lines, loadsN);
    const chainN = found.chains.map(({ xN, yN, downN }) => Math.hypot(xN, yN, downN));
    // Let go of a little away from where it is drawn, with lines that know only their lengths.
    const springs = [
      ...([0, 1] as const).map((of) => springOf(of, triple(hooks[of].place), triple(hooks[of].top), chainN[of] ?? 0)),
      ...lines.map(({ hook: of, to }, index) => springOf(of, triple(hooks[of].place), triple(to), found.lines[index]?.tensionN ?? 0)),
    ];
    const start = hooks.map(({ place: { xM, yM, zM } }) => [xM + 0.004, yM - 0.003, zM - 0.002] as const) as unknown as Parameters<
      typeof restOfBar
    >[0];
    const rest = restOfBar(start, loadsN, springs);
    expect(rest.leftN).toBeLessThan(1e-3);
    for (const [index, tensionN] of [...chainN, ...found.lines.map((one) => one.tensionN)].entries())
      worst = Math.max(worst, Math.abs((rest.tensions[index] ?? NaN) - tensionN) / (loadsN[0] + loadsN[1]));
  }
  console.log(`largest difference to the second way ${worst}`);
  expect(worst).toBeLessThan(1e-6);
});

test('under other loads it comes to rest elsewhere: one step tells its pulls to the square of the swing', () => {
  const random = seeded(23);
  let [worst, seen, farthestM] = [0, 0, 0];
  for (let round = 0; round < 120; round++) {
    const { hooks, lines, loadsN } = balanced(random, 1 + (round % 3));
    const drawn = expectOk(TrussHeldAside.drawn(hooks, lines));
    const asStated = expectOk(drawn.under(loadsN));
    const otherN = [loadsN[0] * (1 + 0.5 * random()), loadsN[1] * (1 - 0.5 * random())] as const;
    const other = drawn.under(otherN);
    if (!other.ok || other.value.swingM > 0.05) continue;
    seen++;
    farthestM = Math.max(farthestM, other.value.swingM);
    const chainN = asStated.chains.map(({ xN, yN, downN }) => Math.hypot(xN, yN, downN));
    const springs = [
      ...([0, 1] as const).map((of) => springOf(of, triple(hooks[of].place), triple(hooks[of].top), chainN[of] ?? 0)),
      ...lines.map(({ hook: of, to }, index) => springOf(of, triple(hooks[of].place), triple(to), asStated.lines[index]?.tensionN ?? 0)),
    ];
    const rest = restOfBar(hooks.map(({ place }) => triple(place)) as unknown as Parameters<typeof restOfBar>[0], otherN, springs);
    for (const [index, { tensionN }] of other.value.lines.entries()) {
      const off = Math.abs((rest.tensions[index + 2] ?? NaN) - tensionN) / (loadsN[0] + loadsN[1]);
      worst = Math.max(worst, off);
    }
  }
  console.log(`largest difference after a swing ${worst} of the loads, in ${seen} cases of up to ${farthestM} m`);
  expect(seen).toBeGreaterThan(60);
  expect(worst).toBeLessThan(1e-3);
});

const any = fc.record({ seed: fc.integer({ min: 1, max: 1e6 }), count: fc.integer({ min: 1, max: 3 }) });
describe('laws', () => {
  test('forces balance at each hook and in the truss, to 1e-9 of the loads', () => {
    fc.assert(
      fc.property(any, fc.double({ min: 0.5, max: 1.5, noNaN: true }), ({ seed, count }, times) => {
        const { hooks, lines, loadsN } = balanced(seeded(seed), count);
        const otherN = [loadsN[0] * times, loadsN[1]] as const;
        const result = expectOk(TrussHeldAside.drawn(hooks, lines)).under(otherN);
        if (!result.ok) return;
        const { chains, lines: pulls, axialN } = result.value;
        const way = [hooks[1].place.xM - hooks[0].place.xM, hooks[1].place.yM - hooks[0].place.yM] as const;
        const long = Math.hypot(...way);
        for (const of of [0, 1] as const) {
          const own = [chains[of], ...pulls.filter((_, index) => lines[index]?.hook === of).map(({ pull }) => pull)];
          const truss = ((of === 0 ? 1 : -1) * axialN) / long;
          const left = [
            truss * way[0] - own.reduce((sum, { xN }) => sum + xN, 0),
            truss * way[1] - own.reduce((sum, { yN }) => sum + yN, 0),
            own.reduce((sum, { downN }) => sum + downN, 0) - otherN[of],
          ];
          for (const forceN of left) expect(Math.abs(forceN)).toBeLessThan(1e-9 * (otherN[0] + otherN[1]));
        }
      }),
    );
  });
  test('mirrored, turned and with its hooks exchanged it pulls the same', () => {
    fc.assert(
      fc.property(any, ({ seed, count }) => {
        const { hooks, lines, loadsN } = balanced(seeded(seed), count);
        const found = held(hooks, lines, loadsN);
        const mirror = <P extends { xM: number }>(place: P): P => ({ ...place, xM: -place.xM });
        const mirrored = held(
          hooks.map(({ place, top }) => ({ place: mirror(place), top: mirror(top) })) as unknown as Pair<TrussHook>,
          lines.map((one) => ({ ...one, to: mirror(one.to) })),
          loadsN,
        );
        const exchanged = held(
          [hooks[1], hooks[0]],
          lines.map((one) => ({ ...one, hook: one.hook === 0 ? 1 : 0 })),
          [loadsN[1], loadsN[0]],
        );
        const scale = loadsN[0] + loadsN[1];
        for (const [index, { tensionN, pull }] of found.lines.entries()) {
          expect((mirrored.lines[index]?.tensionN ?? NaN) / scale).toBeCloseTo(tensionN / scale, 9);
          expect((mirrored.lines[index]?.pull.xN ?? NaN) / scale).toBeCloseTo(-pull.xN / scale, 9);
          expect((exchanged.lines[index]?.tensionN ?? NaN) / scale).toBeCloseTo(tensionN / scale, 9);
        }
        expect(exchanged.axialN / scale).toBeCloseTo(found.axialN / scale, 9);
      }),
    );
  });
  test('all pulls grow with the loads, and a line of a plumb truss pulls nothing', () => {
    fc.assert(
      fc.property(any, fc.double({ min: 1, max: 3, noNaN: true }), ({ seed, count }, times) => {
        const { hooks, lines, loadsN } = balanced(seeded(seed), count);
        const [before, after] = [loadsN, [loadsN[0] * times, loadsN[1] * times] as const].map((loads) => held(hooks, lines, loads));
        for (const [index, { tensionN }] of (before?.lines ?? []).entries())
          expect((after?.lines[index]?.tensionN ?? NaN) / (times * tensionN)).toBeCloseTo(1, 9);
        const plumb = hooks.map(({ place, top }) => ({ place, top: { ...place, zM: top.zM } })) as unknown as Pair<TrussHook>;
        const idle = held(plumb, lines, loadsN);
        for (const { tensionN } of idle.lines) expect(tensionN).toBeCloseTo(0, 6);
        for (const of of [0, 1] as const) expect(idle.chains[of]).toEqual({ xN: about(0), yN: about(0), downN: about(loadsN[of]) });
      }),
    );
  });
});

describe('refused', () => {
  const bent = [hook(0, 0, 0.3), hook(8)] as const;
  const across = line(0, at(0, 5, 6));
  test.each<[string, Pair<TrussHook>, TrussLine[]]>([
    ['not-finite', [{ ...hook(0), top: at(NaN, 0, 1) }, hook(8)], [across]],
    ['not-finite', bent, [line(0, at(0, Infinity, 6))]],
    ['not-finite', bent, [line(0, at(0, 5, 6), { pretensionN: -1 })]],
    ['hooks-coincide', [hook(0), hook(0.05)], [across]],
    ['hook-not-below-point', [{ place: at(0, 0, 6), top: at(0, 0, 6) }, hook(8)], [across]],
    ['line-has-no-length', bent, [line(0, at(0, 0, 6))]],
    ['line-beside-chain', bent, [line(0, at(0, -0.31, 12))]],
    ['lines-share-by-stiffness', bent, [across, line(0, at(0, -5, 6))]],
    ['lines-share-by-stiffness', bent, [line(0, at(-5, 0, 6)), line(1, at(13, 0, 6))]],
    ['lines-share-by-stiffness', bent, [0, 1, 2].map((n) => line(0, at(n, 5, 6), { id: `l${n}` }))],
    ['lines-share-by-stiffness', bent, [0, 1, 2, 3].map((n) => line(n % 2 === 0 ? 0 : 1, at(n, 5, 6), { id: `l${n}` }))],
  ])('%s', (code, hooks, lines) => {
    expect(codeOf(TrussHeldAside.drawn(hooks, lines))).toBe(code);
  });
  test('under the loads: a push, a hook lifted, hooks at two heights, a truss that would turn out sideways, no number', () => {
    const under = (hooks: Pair<TrussHook>, lines: TrussLine[], loadsN: Pair<number> = [2000, 1000]) =>
      codeOf(expectOk(TrussHeldAside.drawn(hooks, lines)).under(loadsN));
    expect(under(bent, [line(0, at(0, -5, 6))])).toBe('line-would-push');
    expect(under([hook(0, 0, 0.3), hook(8)], [line(0, at(0, 0.5, 7), { pretensionN: 9000 })])).toBe('lines-lift-the-hook');
    const raised = { place: at(8, 0, 6.2), top: at(7.7, 0, 12) };
    expect(under([hook(0, 0.3), raised], [line(1, at(20, 0, 6.2))])).toBe('hooks-not-level');
    // Two points 3.9 m inside of hooks that are 8 m apart push the truss by 650 N each way: beyond half of what its chains hold.
    expect(under([hook(0, -3.9), hook(8, 3.9)], [across], [1000, 1000])).toBe('truss-would-turn');
    expect(under([hook(0, -0.3), hook(8, 0.3)], [across], [1000, 1000])).toBe('ok');
    expect(under(bent, [across], [NaN, 1])).toBe('not-finite');
    expect(under(bent, [across], [0, 0])).toBe('ok');
  });
});
