import { z } from 'zod';
import { ok } from '../../domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../domain/foundation/units.ts';
import { forceExtremes } from '../../domain/statics/beam-extremes.ts';
import type { LevelEnvelope } from '../../domain/statics/level-envelope.ts';
import { solveTrussFrame, type FrameCase, type FrameReaction } from '../../domain/statics/truss-frame.ts';
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

const MOST_HOISTS = 8; // every pattern of levels is solved: with more, one question would hold up everybody
const MOST_SIDES = 16;
const MOST_LOADS_PER_SIDE = 40;

const Body = z.strictObject({
  corners: z.array(z.strictObject({ xM: Figure, yM: Figure })).max(MOST_SIDES + 1),
  closed: z.boolean().default(true).describe('whether the last corner is joined to the first'),
  selfKgPerM: NotNegative,
  cornerKg: NotNegative.default(0).describe('of each corner piece'),
  ei: Ei.optional(),
  gaKn: Figure.nullable().default(null).describe('shear stiffness; null = shear does not bend it noticeably'),
  gjKnm2: Figure.nullable().default(null).describe('torsional stiffness; null = not known'),
  cornerJoint: z.enum(['stiff', 'hinged']).nullable().default(null).describe('null = not known'),
  sides: z
    .array(z.strictObject(loadsUpTo(MOST_LOADS_PER_SIDE)))
    .max(MOST_SIDES)
    .describe('side k runs from corner k to the next'),
  hoists: named(
    z.strictObject({
      id: PartId,
      side: z.int().min(0),
      atM: Figure,
      levelMm: Figure.default(0),
      stiffnessKnPerM: Figure.nullable().default(null).describe('chain and anchor together; null = rigid'),
    }),
    MOST_HOISTS,
  ),
  levelToleranceMm: z.strictObject({ rest: NotNegative, moving: NotNegative }).describe('how far any hoist may be off its level'),
});

const Reactions = z.array(MassAndForce.extend({ id: z.string(), slack: z.boolean() }));
const Range = z.array(
  z.object({ id: z.string(), least: MassAndForce, most: MassAndForce, slackIn: z.int().describe('patterns in which it hangs slack') }),
);
const View = z
  .object({
    resting: z.array(z.object({ assumption: z.enum(['as-stated', 'soft', 'rigid']), reactions: Reactions })),
    withinRestTolerance: Range,
    withinMovingTolerance: Range,
    hoistLost: z.array(z.object({ lost: z.string(), tips: z.boolean(), reactions: Reactions.nullable() })),
    diagonals: z.array(z.object({ carriedBy: z.tuple([z.string(), z.string()]), reactions: Reactions })),
    sides: z
      .array(z.object({ maxMomentKnm: AtPlace, minMomentKnm: AtPlace, maxShearKn: AtPlace, maxTorsionKnm: NotNegative }))
      .describe('the worst of every case, hoists lost among them'),
    cautions: Cautions,
  })
  .meta({ id: 'FrameCalculation' });

const presentReactions = (reactions: readonly FrameReaction[]) =>
  reactions.map(({ id, forceN, slack }) => ({ id, ...massAndForce(forceN), slack }));
const presentRange = ({ hoists }: LevelEnvelope) =>
  hoists.map(({ id, leastN, mostN, slackIn }) => ({ id, least: massAndForce(leastN), most: massAndForce(mostN), slackIn }));

type Extreme = { value: number; atM: number | null };
const NOWHERE: Extreme = { value: 0, atM: null };
const further = (one: Extreme, other: Extreme) => (Math.abs(other.value) > Math.abs(one.value) ? other : one);

/** Meets every case and keeps the worst of each side. */
function worstOfSides(count: number) {
  const sides = Array.from({ length: count }, () => ({ sagging: NOWHERE, hogging: NOWHERE, shear: NOWHERE, torsionNm: 0 }));
  return {
    sides,
    meet: (frame: FrameCase) => {
      for (const [index, side] of frame.sides.entries()) {
        const worst = sides[index];
        if (worst === undefined) continue;
        const { maxMomentNm, minMomentNm, maxShearN } = forceExtremes(side);
        worst.sagging = further(worst.sagging, maxMomentNm);
        worst.hogging = further(worst.hogging, minMomentNm);
        worst.shear = further(worst.shear, maxShearN);
        worst.torsionNm = Math.max(worst.torsionNm, Math.abs(side.torsionNm));
      }
    },
  };
}

export const frame = calculator({
  name: 'frame',
  operationId: 'calculateFrame',
  summary: 'What each hoist of a truss frame may carry, and what its sides see, with hoists off level and with one lost',
  body: Body,
  view: View,
  example: {
    corners: [
      { xM: 0, yM: 0 },
      { xM: 8, yM: 0 },
      { xM: 8, yM: 6 },
      { xM: 0, yM: 6 },
    ],
    closed: true,
    selfKgPerM: 10,
    ei: { eGpa: 70, iCm4: 4000 },
    gjKnm2: 400,
    cornerJoint: 'stiff',
    sides: [{ pointLoads: [{ atM: 2, massKg: 100 }], spreadLoads: [] }, {}, {}, {}],
    hoists: [
      { id: 'h1', side: 0, atM: 0, stiffnessKnPerM: 500 },
      { id: 'h2', side: 1, atM: 0, stiffnessKnPerM: 500 },
      { id: 'h3', side: 2, atM: 0, stiffnessKnPerM: 500 },
      { id: 'h4', side: 3, atM: 0, stiffnessKnPerM: 500 },
    ],
    levelToleranceMm: { rest: 10, moving: 25 },
  },
  answer: ({ corners, closed, selfKgPerM, cornerKg, ei, gaKn, gjKnm2, cornerJoint, sides, hoists, levelToleranceMm }) => {
    const worst = worstOfSides(sides.length);
    const solved = solveTrussFrame(
      {
        corners,
        closed,
        selfNPerM: selfKgPerM * STANDARD_GRAVITY,
        cornerN: cornerKg * STANDARD_GRAVITY,
        eiNm2: eiNm2Of(ei),
        gaN: thousandfold(gaKn),
        gjNm2: thousandfold(gjKnm2),
        cornerJoint,
        sides: sides.map(weightsOf),
        hoists: hoists.map(({ levelMm, stiffnessKnPerM, ...hoist }) => ({
          ...hoist,
          levelM: levelMm / 1000,
          stiffnessNPerM: thousandfold(stiffnessKnPerM),
        })),
      },
      { restM: levelToleranceMm.rest / 1000, movingM: levelToleranceMm.moving / 1000 },
      ({ frame: hung }) => worst.meet(hung),
    );
    if (!solved.ok) return solved;
    const { resting, restEnvelope, movingEnvelope, lost, diagonals, cautions } = solved.value;
    return ok({
      resting: resting.map(({ assumption, reactions }) => ({ assumption, reactions: presentReactions(reactions) })),
      withinRestTolerance: presentRange(restEnvelope),
      withinMovingTolerance: presentRange(movingEnvelope),
      hoistLost: lost.map(({ lost: id, tips, reactions }) => ({
        lost: id,
        tips,
        reactions: reactions === null ? null : presentReactions(reactions),
      })),
      diagonals: diagonals.map(({ carriedBy: [one, other], reactions }) => {
        const carriedBy: [string, string] = [one, other];
        return { carriedBy, reactions: presentReactions(reactions) };
      }),
      sides: worst.sides.map(({ sagging, hogging, shear, torsionNm }) => ({
        maxMomentKnm: inThousands(sagging),
        minMomentKnm: inThousands(hogging),
        maxShearKn: inThousands(shear),
        maxTorsionKnm: torsionNm / 1000,
      })),
      cautions: ['The dynamic factor is not in these numbers.', ...cautions],
    });
  },
  reckon: (_question, { resting }) =>
    resting.map(({ assumption, reactions }) => ({
      formula: `${assumption}: Σ reactions = weight of the frame and its loads`,
      numbers: { totalKg: reactions.reduce((sum, { massKg }) => sum + massKg, 0) },
      unit: 'kg',
      source: 'equilibrium; shares by the stiffness of a grillage',
    })),
});
