import { z } from 'zod';
import { radToDeg } from '../../domain/foundation/elementary.ts';
import { ok } from '../../domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../domain/foundation/units.ts';
import { makeUpLegs, USUAL_LIMITS, type MadeLeg } from '../../domain/statics/make-up.ts';
import { makeUpBridle, type OneStepOff } from '../../domain/statics/make-up-bridle.ts';
import { Anchor, BridleView, presentBridle } from './bridle.ts';
import { calculator } from './calculator.ts';
import { Cautions, Figure, NotNegative, PartId, Place, named } from './figures.ts';

const Available = z.int().min(0).nullable().default(null).describe('null = as many as wanted');
const Body = z.strictObject({
  wanted: z
    .union([
      z.strictObject({ legs: named(z.strictObject({ id: PartId, lengthM: Figure }), 20) }),
      z.strictObject({ loadKg: NotNegative.default(0), apex: Place, anchors: named(Anchor, 20) }),
    ])
    .describe('legs of these lengths, bearing to bearing; or the bridle that brings its apex here'),
  toleranceMm: NotNegative.describe('of each leg; of the apex of a bridle'),
  stock: z.strictObject({
    pieces: named(z.strictObject({ id: PartId, lengthM: Figure, available: Available }), 200).default([]),
    adjusters: named(
      z.strictObject({ id: PartId, shortestM: Figure, stepM: Figure, steps: z.int().min(0), available: Available }),
      50,
    ).default([]),
    jointM: NotNegative.default(0).describe('what joins two parts'),
    endsM: NotNegative.default(0).describe('what every leg has at its two ends together'),
  }),
  mostPartsPerLeg: z.int().min(1).max(50).default(USUAL_LIMITS.mostPartsPerLeg),
  answers: z.int().min(1).max(50).default(USUAL_LIMITS.answers),
});

const View = z
  .object({
    makeUps: z.array(
      z.object({
        parts: z.int(),
        offMm: Figure.describe('largest difference of a leg; of a bridle, of its apex'),
        legs: z.array(
          z.object({
            id: z.string(),
            wantedM: Figure,
            madeM: Figure,
            offMm: Figure,
            pieces: z.array(z.object({ id: z.string(), count: z.int() })),
            adjuster: z.object({ id: z.string(), setting: z.int().describe('steps from the shortest') }).nullable(),
          }),
        ),
        bridle: z
          .object({
            apex: z.object({ xM: Figure, yM: Figure, zM: Figure }),
            made: BridleView,
            oneStepOff: z.object({
              settings: z.int(),
              legs: z.array(z.object({ id: z.string(), tensionKn: Figure, angleOffVerticalDeg: Figure })),
              apexOffMm: Figure,
              withinTolerance: z.boolean(),
              settingsThatCannotBe: z.int(),
            }),
          })
          .nullable(),
      }),
    ),
    complete: z.boolean().describe('false: the search was cut short, so fewer parts or nearer lengths may exist'),
    cautions: Cautions,
  })
  .meta({ id: 'LegPartsCalculation' });

const presentLeg = ({ id, wantedM, madeM, offM, pieces, adjuster }: MadeLeg) => ({
  id,
  wantedM,
  madeM,
  offMm: offM * 1000,
  pieces: [...pieces],
  adjuster: adjuster === null ? null : { id: adjuster.id, setting: adjuster.setting },
});
const presentStepsOff = ({ settings, legs, apexOffM, withinTolerance, refused }: OneStepOff) => ({
  settings,
  legs: legs.map(({ id, tensionN, angleOffVerticalRad }) => ({
    id,
    tensionKn: tensionN / 1000,
    angleOffVerticalDeg: radToDeg(angleOffVerticalRad),
  })),
  apexOffMm: apexOffM * 1000,
  withinTolerance,
  settingsThatCannotBe: refused.length,
});

const NOT_RATED = 'Lengths alone are looked at: whether the parts are rated for what they carry is not.';
const cautionsOf = (complete: boolean, somethingCannotBe: boolean): string[] => [
  NOT_RATED,
  ...(complete ? [] : ['The search was cut short: fewer parts or nearer lengths may exist.']),
  ...(somethingCannotBe ? ['With an adjuster one step off, a make-up cannot hang: its worst is not known, so it is no pass.'] : []),
];

export const legParts = calculator({
  name: 'leg-parts',
  operationId: 'calculateLegParts',
  summary: 'Which parts of a stock make legs of wanted lengths, fewest parts first',
  body: Body,
  view: View,
  example: {
    wanted: {
      loadKg: 1000,
      apex: { xM: 0, yM: 0, zM: 6 },
      anchors: [
        { id: 'left', xM: -3, yM: 0, zM: 10 },
        { id: 'right', xM: 3, yM: 0, zM: 10 },
      ],
    },
    toleranceMm: 50,
    stock: {
      pieces: [
        { id: 'steel 1.5 m', lengthM: 1.5, available: 10 },
        { id: 'steel 3 m', lengthM: 3, available: 10 },
      ],
      adjusters: [{ id: 'chain 0.5 m', shortestM: 0.1, stepM: 0.1, steps: 5, available: 4 }],
      jointM: 0,
      endsM: 0,
    },
  },
  answer: ({ wanted, toleranceMm, stock, mostPartsPerLeg, answers }) => {
    const search = { mostPartsPerLeg, answers };
    if ('legs' in wanted) {
      const legs = wanted.legs.map(({ id, lengthM }) => ({ id, wantedM: lengthM }));
      const found = makeUpLegs(legs, toleranceMm / 1000, stock, search);
      if (!found.ok) return found;
      const { complete } = found.value;
      const makeUps = found.value.answers.map(({ parts, offM, legs: made }) => ({
        parts,
        offMm: offM * 1000,
        legs: made.map(presentLeg),
        bridle: null,
      }));
      return ok({ makeUps, complete, cautions: cautionsOf(complete, false) });
    }
    const found = makeUpBridle(wanted.loadKg * STANDARD_GRAVITY, wanted.apex, wanted.anchors, toleranceMm / 1000, stock, search);
    if (!found.ok) return found;
    const { complete } = found.value;
    const makeUps = found.value.answers.map(({ parts, offM, legs, apex, made, oneStepOff }) => ({
      parts,
      offMm: offM * 1000,
      legs: legs.map(presentLeg),
      bridle: { apex, made: presentBridle(made), oneStepOff: presentStepsOff(oneStepOff) },
    }));
    const somethingCannotBe = makeUps.some(({ bridle }) => bridle.oneStepOff.settingsThatCannotBe > 0);
    return ok({ makeUps, complete, cautions: cautionsOf(complete, somethingCannotBe) });
  },
  reckon: ({ stock }, { makeUps }) =>
    makeUps.flatMap(({ legs }, answer) =>
      legs.map(({ id, wantedM, madeM, offMm, pieces, adjuster }) => ({
        formula: `answer ${answer + 1}, ${id}: ends + joints + parts = made; made - wanted = off`,
        numbers: { endsM: stock.endsM, jointM: stock.jointM, madeM, wantedM, offMm },
        unit: 'm',
        source: [
          ...pieces.map(({ id: piece, count }) => `${count} × ${piece}`),
          ...(adjuster === null ? [] : [`${adjuster.id} at ${adjuster.setting}`]),
        ].join(' + '),
      })),
    ),
});
