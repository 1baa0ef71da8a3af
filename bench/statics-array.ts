import { pathToFileURL } from 'node:url';
import { solveArray } from '../src/domain/statics/array.ts';
import type { ArrayBuild } from '../src/domain/statics/array-assembly.ts';

type BenchRow = { name: string; medianUs: number; goalUs: number };

const box = [
  { uM: 0.05, vM: 0 },
  { uM: -0.5, vM: -0.02 },
  { uM: -0.5, vM: -0.28 },
  { uM: 0.05, vM: -0.3 },
];
/** 16 invented cabinets under one frame, with a cable and a tie-off. */
const build: ArrayBuild = {
  frame: {
    massKg: 70,
    cg: { uM: 0, vM: 0 },
    bottomPivot: { uM: 0.3, vM: -0.1 },
    holes: [
      { id: 'front', uM: 0.5, vM: 0.1 },
      { id: 'rear', uM: -0.5, vM: 0.1 },
    ],
  },
  elements: Array.from({ length: 16 }, (_, index) => ({
    massKg: 50,
    cg: { uM: -0.25, vM: -0.15 },
    bottomPivot: { uM: 0, vM: -0.3 },
    splayRad: index * 0.005,
    corners: box,
  })),
  extraMasses: [
    { on: 'frame', uM: -0.4, vM: 0, massKg: 12 },
    { on: 15, uM: -0.5, vM: -0.2, massKg: 3 },
  ],
};
const hanging = { on: 'two-holes', frontHole: 'front', rearHole: 'rear', framePitchRad: -0.03 } as const;

/** Median over batches after warm-up, in processor time: on a machine that others use too, the clock would measure them. */
function medianUs(work: () => unknown): number {
  const [batches, perBatch] = [51, 400];
  for (let warm = 0; warm < 20_000; warm += 1) work();
  const batchUs: number[] = [];
  for (let batch = 0; batch < batches; batch += 1) {
    const before = process.cpuUsage();
    for (let round = 0; round < perBatch; round += 1) work();
    const { user, system } = process.cpuUsage(before);
    batchUs.push((user + system) / perBatch);
  }
  batchUs.sort((a, b) => a - b);
  return batchUs[(batches - 1) / 2] ?? NaN;
}

export function run(): BenchRow[] {
  if (!solveArray(build, hanging, [4, 4, 4, 4]).ok) throw new Error('the benchmark array must hold');
  return [
    { name: 'array, 16 cabinets', medianUs: medianUs(() => solveArray(build, hanging)), goalUs: 20 },
    { name: 'array, 16 cabinets, 4 build stages', medianUs: medianUs(() => solveArray(build, hanging, [4, 4, 4, 4])), goalUs: 20 },
  ];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) console.table(run());
