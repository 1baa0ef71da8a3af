import { z } from 'zod';
import { ok } from '../../domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../domain/foundation/units.ts';
import { solveBeam } from '../../domain/statics/beam.ts';
import { beamReport } from '../../domain/statics/beam-diagram.ts';
import type { Reckoning } from '../../domain/statics/hoist-line-reckoning.ts';
import { calculator } from './calculator.ts';
import {
  AtPlace,
  Cautions,
  Ei,
  Figure,
  MassAndForce,
  NotNegative,
  PartId,
  eiNm2Of,
  inThousands,
  loadsUpTo,
  massAndForce,
  named,
  thousandfold,
  weightsOf,
} from './figures.ts';

const MOST_LOADS = 10_000;
const MOST_SUPPORTS = 100;

const Support = z.strictObject({
  id: PartId,
  atM: Figure,
  levelMm: Figure.default(0).describe('up positive'),
  stiffnessKnPerM: Figure.nullable().default(null).describe('null = rigid'),
  tensionOnly: z.boolean().default(false),
});
const Body = z.strictObject({
  lengthM: Figure,
  selfKgPerM: NotNegative.default(0),
  ei: Ei.optional(),
  supports: named(Support, MOST_SUPPORTS),
  ...loadsUpTo(MOST_LOADS),
});
const View = z
  .object({
    reactions: z.array(MassAndForce.extend({ id: z.string(), slack: z.boolean() })).describe('positive = the support carries weight'),
    maxMomentKnm: AtPlace.describe('sagging, at least 0'),
    minMomentKnm: AtPlace.describe('hogging, at most 0'),
    maxShearKn: AtPlace.describe('largest size'),
    maxDeflectionMm: AtPlace.nullable().describe('the largest in size, down positive; null without ei'),
    diagram: z
      .array(z.object({ atM: Figure, shearKn: Figure, momentKnm: Figure, deflectionMm: Figure.nullable() }))
      .describe('two rows at a jump; shear = sum of upward forces left of the cut'),
    cautions: Cautions,
  })
  .meta({ id: 'BeamCalculation' });

export const beam = calculator({
  name: 'beam',
  operationId: 'calculateBeam',
  summary: 'Reactions, shear, moment and deflection of a straight beam on any number of supports',
  body: Body,
  view: View,
  example: {
    lengthM: 12,
    selfKgPerM: 10,
    supports: [
      { id: 'left', atM: 2, tensionOnly: true },
      { id: 'right', atM: 10, tensionOnly: true },
    ],
    pointLoads: [{ atM: 12, massKg: 200 }],
    spreadLoads: [],
  },
  answer: ({ lengthM, selfKgPerM, ei, supports, ...loads }) => {
    const solved = solveBeam({
      lengthM,
      selfNPerM: selfKgPerM * STANDARD_GRAVITY,
      eiNm2: eiNm2Of(ei),
      supports: supports.map(({ id, atM, levelMm, stiffnessKnPerM, tensionOnly }) => ({
        id,
        atM,
        levelM: levelMm / 1000,
        stiffnessNPerM: thousandfold(stiffnessKnPerM),
        tensionOnly,
      })),
      ...weightsOf(loads),
    });
    if (!solved.ok) return solved;
    const { reactions, maxMomentNm, minMomentNm, maxShearN, maxDeflectionM, diagram, cautions } = beamReport(solved.value);
    return ok({
      reactions: reactions.map(({ id, forceN, slack }) => ({ id, ...massAndForce(forceN), slack })),
      maxMomentKnm: inThousands(maxMomentNm),
      minMomentKnm: inThousands(minMomentNm),
      maxShearKn: inThousands(maxShearN),
      maxDeflectionMm: maxDeflectionM === null ? null : { value: maxDeflectionM.value * 1000, atM: maxDeflectionM.atM },
      diagram: diagram.map(({ atM, shearN, momentNm, deflectionM }) => ({
        atM,
        shearKn: shearN / 1000,
        momentKnm: momentNm / 1000,
        deflectionMm: thousandfold(deflectionM),
      })),
      cautions: [...cautions],
    });
  },
  reckon: ({ lengthM, selfKgPerM, supports, pointLoads, spreadLoads }, { reactions }): Reckoning[] => {
    let loadKg = selfKgPerM * lengthM;
    let loadKgM = (loadKg * lengthM) / 2;
    for (const { atM, massKg } of pointLoads) {
      loadKg += massKg;
      loadKgM += massKg * atM;
    }
    for (const { fromM, toM, kgPerM } of spreadLoads) {
      loadKg += kgPerM * (toM - fromM);
      loadKgM += (kgPerM * (toM - fromM) * (fromM + toM)) / 2;
    }
    const heldKg = reactions.reduce((sum, { massKg }) => sum + massKg, 0);
    const heldKgM = reactions.reduce((sum, { massKg }, index) => sum + massKg * (supports[index]?.atM ?? 0), 0);
    const source = 'equilibrium';
    return [
      { formula: 'Σ reactions = self · length + Σ point + Σ spread · length', numbers: { heldKg, loadKg }, unit: 'kg', source },
      { formula: 'Σ reaction · at = Σ load · at, about the left end', numbers: { heldKgM, loadKgM }, unit: 'kg·m', source },
    ];
  },
});
