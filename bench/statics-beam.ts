import { pathToFileURL } from 'node:url';
import { Matrix, solve } from 'ml-matrix';
import { addToBand, factorBand, solveBand, zeroBand } from '../src/domain/statics/banded.ts';
import { deflectionExtremes, forceExtremes } from '../src/domain/statics/beam-extremes.ts';
import type { BeamInput } from '../src/domain/statics/beam.ts';
import { solveBeam } from '../src/domain/statics/beam.ts';
import type { TrussHang } from '../src/domain/statics/truss.ts';
import { solveTruss } from '../src/domain/statics/truss.ts';
import type { TrussFrameHang } from '../src/domain/statics/truss-frame.ts';
import { solveTrussFrame } from '../src/domain/statics/truss-frame.ts';

export type Row = { name: string; medianUs: number; goalUs: number | null };

/** Median of one call in batches after warm-up, in processor time: on a machine that others use too, the clock would measure them. */
function medianUs(call: () => void, batch: number): number {
  for (let warm = 0; warm < 400 * batch; warm++) call();
  const times: number[] = [];
  for (let round = 0; round < 300; round++) {
    const from = process.cpuUsage();
    for (let index = 0; index < batch; index++) call();
    const { user, system } = process.cpuUsage(from);
    times.push((user + system) / batch);
  }
  return times.sort((a, b) => a - b)[150] ?? NaN;
}

function mustSolve(input: BeamInput): void {
  const found = solveBeam(input);
  if (!found.ok) throw new Error(found.error.code);
  forceExtremes(found.value);
}

const eight: BeamInput = {
  lengthM: 28,
  selfNPerM: 100,
  eiNm2: 5e6,
  supports: [1, 5, 9, 13, 17, 21, 24, 27].map((atM, index) => ({ id: `h${index}`, atM, tensionOnly: true })),
  pointLoads: Array.from({ length: 10 }, (_, index) => ({ atM: 2 + 2.5 * index, forceN: 1000 + 100 * index })),
  spreadLoads: Array.from({ length: 5 }, (_, index) => ({ fromM: 1 + 5 * index, toM: 4 + 5 * index, forceNPerM: 200 })),
};
// The fifth hangs so low that it lets go.
const withSlack: BeamInput = { ...eight, supports: eight.supports.map((s, index) => (index === 4 ? { ...s, levelM: -0.05 } : s)) };

const fourHoists: TrussHang = {
  lengthM: 18,
  selfNPerM: 110,
  eiNm2: 5e6,
  gaN: null,
  hoists: [1, 6, 12, 17].map((atM, index) => ({ id: `h${index}`, atM })),
  pointLoads: Array.from({ length: 8 }, (_, index) => ({ atM: 2 + 2 * index, forceN: 700 })),
  spreadLoads: [],
};
const square: TrussFrameHang = {
  corners: [
    { xM: 0, yM: 0 },
    { xM: 9, yM: 0 },
    { xM: 9, yM: 6 },
    { xM: 0, yM: 6 },
  ],
  closed: true,
  selfNPerM: 110,
  eiNm2: 5e6,
  gaN: null,
  gjNm2: 6e5,
  cornerJoint: 'stiff',
  sides: [0, 1, 2, 3].map(() => ({ pointLoads: [1, 2, 3, 4].map((atM) => ({ atM, forceN: 500 })), spreadLoads: [] })),
  hoists: [0, 2].flatMap((side) => [1.5, 7.5].map((atM) => ({ id: `${side}-${atM}`, side, atM }))),
};
const level = { restM: 0, movingM: 0 };
const tolerances = { restM: 0.01, movingM: 0.025 };

export function run(): Row[] {
  // What a general library takes for the six moments of the same beam alone, loads and shape not counted.
  const small = new Matrix(6, 6);
  for (let row = 0; row < 6; row++) {
    small.set(row, row, 4);
    if (row > 0) small.set(row, row - 1, 1);
    if (row > 0) small.set(row - 1, row, 1);
  }
  const rightSide = Matrix.columnVector([1, 2, 3, 4, 5, 6]);
  return [
    { name: 'beam, 8 supports + 15 loads', medianUs: medianUs(() => mustSolve(eight), 50), goalUs: 20 },
    { name: 'the same with a slack support', medianUs: medianUs(() => mustSolve(withSlack), 20), goalUs: null },
    {
      name: 'the same with deflection extremes',
      medianUs: medianUs(() => {
        const found = solveBeam(eight);
        if (found.ok) deflectionExtremes(found.value);
      }, 50),
      goalUs: null,
    },
    {
      name: 'truss on 4 hoists, both envelopes, lost hoists',
      medianUs: medianUs(() => void solveTruss(fourHoists, tolerances), 10),
      goalUs: null,
    },
    { name: 'truss frame on 4 hoists', medianUs: medianUs(() => void solveTrussFrame(square, level), 5), goalUs: 2000 },
    { name: 'the same, both envelopes', medianUs: medianUs(() => void solveTrussFrame(square, tolerances), 5), goalUs: 2000 },
    {
      name: 'the same, torsion and corners not stated',
      medianUs: medianUs(() => void solveTrussFrame({ ...square, gjNm2: null, cornerJoint: null }, tolerances), 5),
      goalUs: null,
    },
    {
      name: 'own band, the same 6 x 6',
      medianUs: medianUs(() => {
        const band = zeroBand(6, 1);
        for (let row = 0; row < 6; row++) {
          addToBand(band, row, row, 4);
          if (row > 0) addToBand(band, row, row - 1, 1);
        }
        factorBand(band);
        solveBand(band, [1, 2, 3, 4, 5, 6]);
      }, 200),
      goalUs: null,
    },
    { name: 'ml-matrix, one 6 x 6 solve', medianUs: medianUs(() => void solve(small, rightSide), 200), goalUs: null },
  ];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) console.table(run());
