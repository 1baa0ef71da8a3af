import type { StagedHang, StagePart } from './staged-hang.ts';

export type Tipping = {
  /** Hoists that it would turn about: the last one of a truss, two at the edge of a truss frame. */
  readonly about: readonly number[];
  /** Least moment about them that keeps it on the others, whichever of its loads hang [N·m]. Below 0 it tips. */
  readonly rightingNm: number;
};

/** Three hoists nearer to one line than this share of the size are in line. */
const IN_LINE = 1e-9;

/**
 * Tension-only hoists hold a hang as long as its centre of gravity stays between them, however stiff they are: about each edge of the
 * hoists, what always hangs must outweigh all loads beyond that edge.
 * @source equilibrium of moments about each edge of the hoists
 */
export function tippingOf({ influence, always, loads, sizeM }: StagedHang): Tipping {
  let worst: Tipping = { about: [], rightingNm: Infinity };
  for (const { about, leverM } of edgesOf(influence.levers)) {
    // The reactions of a part balance it, so they have its moment.
    const momentOf = ({ reactionsN }: StagePart) => reactionsN.reduce((sum, reactionN, hoist) => sum + reactionN * (leverM[hoist] ?? 0), 0);
    const righting = loads.reduce((sum, load) => sum + Math.min(0, momentOf(load)), momentOf(always));
    if (righting * sizeM < worst.rightingNm) worst = { about, rightingNm: righting * sizeM };
  }
  return worst;
}

/** The edges of the places of the hoists, with the distance of every hoist from each, never negative, as a share of the size. */
function edgesOf(levers: StagedHang['influence']['levers']): { about: number[]; leverM: number[] }[] {
  const xs = levers.map((lever) => lever[1] ?? 0);
  const isFrame = (levers[0]?.length ?? 0) > 2;
  if (!isFrame) {
    const [least, most] = [Math.min(...xs), Math.max(...xs)];
    return [
      { about: [xs.indexOf(least)], leverM: xs.map((x) => x - least) },
      { about: [xs.indexOf(most)], leverM: xs.map((x) => most - x) },
    ];
  }
  const ys = levers.map((lever) => lever[2] ?? 0);
  const edges: { about: number[]; leverM: number[] }[] = [];
  for (let from = 0; from < xs.length; from++) {
    for (let to = 0; to < xs.length; to++) {
      const [alongX, alongY] = [(xs[to] ?? 0) - (xs[from] ?? 0), (ys[to] ?? 0) - (ys[from] ?? 0)];
      const length = Math.sqrt(alongX * alongX + alongY * alongY);
      if (from === to || !(length > 0)) continue;
      const leverM = xs.map((x, hoist) => (alongX * ((ys[hoist] ?? 0) - (ys[from] ?? 0)) - alongY * (x - (xs[from] ?? 0))) / length);
      if (leverM.every((lever) => lever >= -IN_LINE)) edges.push({ about: [from, to], leverM });
    }
  }
  return edges;
}
