import { Matrix, solve } from 'ml-matrix';

type At = readonly [number, number, number];
export type Spring = { readonly hook: 0 | 1; readonly to: At; readonly restM: number };

/** N/m: at a load of 1 kN a line is 0.01 mm longer. */
const STIFF = 1e8;

/** Of a line that carries so much where it is drawn. */
export const springOf = (hook: 0 | 1, from: At, to: At, tensionN: number): Spring => ({
  hook,
  to,
  restM: distance(from, to) - tensionN / STIFF,
});

/**
 * A slow second way: a rigid bar between two hooks on stiff lines that only pull, let go near the place given, moved downhill in potential
 * energy until nothing pulls any more. Knows nothing of slopes, levers or least squares.
 * @returns tension of each spring [N] and where the hooks came to rest [m]
 */
export function restOfBar(hooks: readonly [At, At], loadsN: readonly [number, number], springs: readonly Spring[]) {
  const lengthM = distance(hooks[0], hooks[1]);
  const [dx, dy, dz] = [0, 1, 2].map((axis) => (hooks[1][axis] ?? 0) - (hooks[0][axis] ?? 0)) as [number, number, number];
  // Middle of the bar, its turn in plan and its tilt.
  let state = [
    ...[0, 1, 2].map((axis) => ((hooks[0][axis] ?? 0) + (hooks[1][axis] ?? 0)) / 2),
    Math.atan2(dy, dx),
    Math.asin(dz / lengthM),
  ];
  const endsOf = (q: readonly number[]): [At, At] => {
    const [x = 0, y = 0, z = 0, turn = 0, tilt = 0] = q;
    const half = lengthM / 2;
    const way = [Math.cos(turn) * Math.cos(tilt) * half, Math.sin(turn) * Math.cos(tilt) * half, Math.sin(tilt) * half] as const;
    return [
      [x - way[0], y - way[1], z - way[2]],
      [x + way[0], y + way[1], z + way[2]],
    ];
  };
  const tension = (end: At, { to, restM }: Spring) => Math.max(0, (distance(end, to) - restM) * STIFF);
  const energy = (q: readonly number[]) => {
    const ends = endsOf(q);
    const stretched = springs.reduce((sum, spring) => sum + tension(ends[spring.hook], spring) ** 2 / (2 * STIFF), 0);
    return stretched + loadsN[0] * ends[0][2] + loadsN[1] * ends[1][2];
  };
  /** How the ends move with each of the five: by differences of a smooth function, good to 1e-10. */
  const forceOn = (q: readonly number[]): number[] => {
    const ends = endsOf(q);
    const push = ends.map((end, hook) => {
      const sum = [0, 0, -(loadsN[hook] ?? 0)];
      for (const spring of springs.filter((one) => one.hook === hook)) {
        const [pull, long] = [tension(end, spring), distance(end, spring.to)];
        for (const axis of [0, 1, 2]) sum[axis] = (sum[axis] ?? 0) + (pull * ((spring.to[axis] ?? 0) - (end[axis] ?? 0))) / long;
      }
      return sum;
    });
    return q.map((_, at) => {
      const step = 1e-5;
      const [more, less] = [step, -step].map((by) => endsOf(q.map((value, index) => (index === at ? value + by : value))));
      return [0, 1].reduce(
        (sum, hook) =>
          sum +
          [0, 1, 2].reduce(
            (work, axis) => work + ((push[hook]?.[axis] ?? 0) * ((more?.[hook]?.[axis] ?? 0) - (less?.[hook]?.[axis] ?? 0))) / (2 * step),
            0,
          ),
        0,
      );
    });
  };
  for (let round = 0; round < 200; round++) {
    const force = forceOn(state);
    const size = Math.sqrt(force.reduce((sum, value) => sum + value * value, 0));
    if (size < 1e-6) break;
    const step = 1e-7;
    const columns = state.map((_, at) => {
      const [more, less] = [step, -step].map((by) => forceOn(state.map((value, index) => (index === at ? value + by : value))));
      return state.map((__, row) => -((more?.[row] ?? 0) - (less?.[row] ?? 0)) / (2 * step));
    });
    const stiffness = new Matrix(columns).transpose();
    const way = solve(stiffness, Matrix.columnVector(force)).to1DArray();
    let share = 1;
    while (share > 1e-6 && energy(state.map((value, at) => value + share * (way[at] ?? 0))) > energy(state) + 1e-9) share /= 2;
    state = state.map((value, at) => value + share * (way[at] ?? 0));
  }
  const ends = endsOf(state);
  return { tensions: springs.map((spring) => tension(ends[spring.hook], spring)), ends, leftN: Math.max(...forceOn(state).map(Math.abs)) };
}

function distance(a: At, b: At): number {
  return Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2);
}
