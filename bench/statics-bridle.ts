import { pathToFileURL } from 'node:url';
import { solveCutLegs } from '../src/domain/statics/bridle-apex.ts';
import { solveBridle } from '../src/domain/statics/bridle.ts';
import { makeUpBridle } from '../src/domain/statics/make-up-bridle.ts';

export type BenchRow = { readonly name: string; readonly medianUs: number; readonly goalUs: number | null };

const anchors = [
  { id: 'a', xM: 0, yM: 0, zM: 10 },
  { id: 'b', xM: 6, yM: 1, zM: 11 },
  { id: 'c', xM: 1.5, yM: 5, zM: 9 },
];

/** Median over batches, because one call is shorter than the clock can see. The place changes with each call, so none can be remembered. */
function medianUs(call: (step: number) => boolean, batch = 2000): number {
  const timesUs: number[] = [];
  for (let round = 0; round < 200; round += 1) {
    const begun = process.hrtime.bigint();
    for (let k = 0; k < batch; k += 1) if (!call(k / batch)) throw new Error('the bridle of the measurement was refused');
    timesUs.push(Number(process.hrtime.bigint() - begun) / 1000 / batch);
  }
  const sorted = timesUs.slice(50).sort((a, b) => a - b); // the first rounds warm up
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}

export function run(): BenchRow[] {
  const [first, second] = anchors;
  if (first === undefined || second === undefined) throw new Error('no anchors');
  const twoLegs = [
    { ...first, legM: 5 },
    { ...second, legM: 5.5 },
  ];
  const threeLegs = anchors.map((anchor, index) => ({ ...anchor, legM: [4.7, 5.8, 4.1][index] ?? 0 }));
  const apex = { xM: 2.5, yM: 2, zM: 6.5 };
  const pieces = [0.5, 1, 1.5, 2, 3, 5].map((lengthM) => ({ id: `steel ${lengthM}`, lengthM, available: null }));
  const adjusters = [{ id: 'adjuster', shortestM: 0.2, stepM: 0.035, steps: 20, available: null }];
  const stock = { pieces, adjusters, jointM: 0.05, endsM: 0.1 };
  return [
    {
      name: 'bridle, 3 legs',
      goalUs: 2,
      medianUs: medianUs((s) => solveBridle(15_000, { xM: 2.5 + 0.2 * s, yM: 2, zM: 6.5 }, anchors).ok),
    },
    {
      name: 'bridle, 2 legs',
      goalUs: 2,
      medianUs: medianUs((s) => solveBridle(15_000, { xM: 3, yM: 0.5, zM: 5 + s }, [first, second]).ok),
    },
    { name: 'apex of 3 cut legs', goalUs: null, medianUs: medianUs((s) => solveCutLegs(15_000 + s, threeLegs).ok) },
    {
      name: 'make-up of 3 legs from 6 lengths',
      goalUs: null,
      medianUs: medianUs((s) => makeUpBridle(15_000 + s, apex, anchors, 0.05, stock).ok, 2),
    },
    { name: 'apex of 2 cut legs', goalUs: null, medianUs: medianUs((s) => solveCutLegs(15_000 + s, twoLegs).ok) },
  ];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) console.table(run());
