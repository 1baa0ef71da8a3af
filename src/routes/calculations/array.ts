import { z } from 'zod';
import { ok } from '../../domain/foundation/result.ts';
import { answerArray } from '../../domain/statics/array-answer.ts';
import { calculator } from './calculator.ts';
import { Cautions, Figure, MassAndForce, NotNegative, PartId, named } from './figures.ts';

const MOST_ELEMENTS = 200;
const Side = z.strictObject({ uM: Figure, vM: Figure });
const Body = z.strictObject({
  framePitchDeg: Figure.optional().describe('absent with one hole: the array then finds its own; nose up positive'),
  frame: z.strictObject({
    massKg: NotNegative,
    cg: Side,
    bottomPivot: Side,
    holes: named(z.strictObject({ id: PartId, ...Side.shape }), 200),
  }),
  elements: z
    .array(
      z.strictObject({
        massKg: NotNegative,
        cg: Side,
        bottomPivot: Side,
        corners: z.array(Side).max(100).optional(),
        splayDeg: Figure.describe('to the part above; opens downwards'),
      }),
    )
    .max(MOST_ELEMENTS)
    .describe('from the top; the own top pivot of each is (0, 0); u forward, v up'),
  extraMasses: z
    .array(z.strictObject({ on: z.union([z.literal('frame'), z.int().min(0)]), ...Side.shape, massKg: NotNegative }))
    .max(1000)
    .default([]),
  hang: z.union([z.strictObject({ holes: z.tuple([PartId, PartId]) }), z.strictObject({ hole: PartId })]).describe('holes: front, rear'),
  stackSizes: z.array(z.int().min(1)).max(MOST_ELEMENTS).optional().describe('elements pinned at each step of the build'),
});
const SideView = z.object({ uM: Figure, vM: Figure });
const Reactions = z.array(MassAndForce.extend({ hole: z.string() }));
const View = z
  .object({
    totalMassKg: Figure,
    cg: SideView,
    reactions: Reactions,
    freeHangDeg: Figure.nullable(),
    holdableDeg: z.object({ from: Figure, to: Figure }).nullable(),
    lowest: SideView.extend({ element: z.union([z.literal('frame'), z.int()]) }),
    heightM: Figure,
    depthM: Figure,
    elements: z.array(z.object({ pitchDeg: Figure, top: SideView })),
    stages: z.array(z.object({ elements: z.int(), at: z.enum(['level', 'final']), reactions: Reactions.nullable() })),
    cautions: Cautions,
  })
  .meta({ id: 'ArrayCalculation' });

export const array = calculator({
  name: 'array',
  operationId: 'calculateArray',
  summary: 'Loads of an array on one or two holes of its frame, its pitch range, its shape and its build stages',
  body: Body,
  view: View,
  example: {
    framePitchDeg: 0,
    frame: {
      massKg: 60,
      cg: { uM: 0, vM: 0 },
      bottomPivot: { uM: 0.5, vM: -0.1 },
      holes: [
        { id: 'front', uM: 0.4, vM: 0.1 },
        { id: 'rear', uM: -0.4, vM: 0.1 },
      ],
    },
    elements: [
      { massKg: 50, cg: { uM: -0.3, vM: -0.15 }, bottomPivot: { uM: 0, vM: -0.3 }, splayDeg: 0 },
      { massKg: 50, cg: { uM: -0.3, vM: -0.15 }, bottomPivot: { uM: 0, vM: -0.3 }, splayDeg: 10 },
    ],
    extraMasses: [],
    hang: { holes: ['front', 'rear'] },
    stackSizes: [1, 1],
  },
  answer: (question) => {
    const answered = answerArray(question);
    if (!answered.ok) return answered;
    const { reactions, elements, stages, cautions, ...rest } = answered.value;
    return ok({
      ...rest,
      reactions: [...reactions],
      elements: [...elements],
      stages: stages.map((stage) => ({ ...stage, reactions: stage.reactions === null ? null : [...stage.reactions] })),
      cautions: [...cautions],
    });
  },
  reckon: (_question, { totalMassKg, cg, reactions, freeHangDeg }) => {
    const [front, rear] = reactions;
    const source = 'equilibrium; level axes from the front (or only) hole';
    if (rear === undefined || front === undefined)
      return [
        {
          formula: 'the centre of gravity hangs plumb under the hole',
          numbers: { cgUM: cg.uM, freeHangDeg: freeHangDeg ?? 0 },
          unit: '°',
          source,
        },
      ];
    const numbers = { totalMassKg, cgUM: cg.uM, frontKg: front.massKg, rearKg: rear.massKg };
    return [
      { formula: 'rear · u of the rear hole = total · u of the centre of gravity; front = total - rear', numbers, unit: 'kg', source },
    ];
  },
});
