import { z } from 'zod';
import { radToDeg } from '../../domain/foundation/elementary.ts';
import { ok } from '../../domain/foundation/result.ts';
import { STANDARD_GRAVITY } from '../../domain/foundation/units.ts';
import { solveBridle, type Bridle } from '../../domain/statics/bridle.ts';
import { solveCutLegs } from '../../domain/statics/bridle-apex.ts';
import { bridleReckonings } from '../../domain/statics/bridle-reckoning.ts';
import { calculator } from './calculator.ts';
import { Cautions, Figure, NotNegative, PartId, Place, named } from './figures.ts';

/** More than three are refused as indeterminate, with a reason, and not as a list that is too long. */
const MOST_LEGS = 50;
export const Anchor = z.strictObject({ id: PartId, ...Place.shape });

const BRIDLE = {
  legs: z.array(
    z.object({
      id: z.string(),
      lengthM: Figure,
      tensionKn: Figure,
      angleOffVerticalDeg: Figure,
      slack: z.boolean(),
      atAnchor: z
        .object({ xKn: Figure, yKn: Figure, downKn: Figure })
        .describe('pull of the leg on the roof: x and y in space axes, towards the apex; down positive'),
    }),
  ),
  includedAngles: z.array(z.object({ between: z.tuple([z.string(), z.string()]), angleDeg: Figure })),
};
export const BridleView = z.object({ ...BRIDLE, cautions: Cautions }).meta({ id: 'BridleCalculation' });
const ApexView = z
  .object({ apex: z.object({ xM: Figure, yM: Figure, zM: Figure }), ...BRIDLE, cautions: Cautions })
  .meta({ id: 'BridleApexCalculation' });

/** Legs are weightless in these answers. */
export const presentBridle = ({ legs, includedAngles, cautions }: Bridle) => ({
  legs: legs.map(({ id, lengthM, tensionN, angleOffVerticalRad, slack, atAnchor }) => ({
    id,
    lengthM,
    tensionKn: tensionN / 1000,
    angleOffVerticalDeg: radToDeg(angleOffVerticalRad),
    slack,
    atAnchor: { xKn: atAnchor.xN / 1000, yKn: atAnchor.yN / 1000, downKn: atAnchor.downN / 1000 },
  })),
  includedAngles: includedAngles.map(({ between: [one, other], angleRad }): z.output<typeof BRIDLE.includedAngles>[number] => ({
    between: [one, other],
    angleDeg: radToDeg(angleRad),
  })),
  cautions: [
    'Legs are taken as weightless.',
    ...cautions.map(
      ({ movedM, apex: { xM, yM, zM } }) =>
        `The apex hangs in the plane of its two anchors, ${(movedM * 1000).toFixed(1)} mm from the place given: (${xM}, ${yM}, ${zM}).`,
    ),
  ],
});

export const bridle = calculator({
  name: 'bridle',
  operationId: 'calculateBridle',
  summary: 'Tensions of two or three legs and what they pull the roof with',
  body: z.strictObject({ loadKg: NotNegative, apex: Place, anchors: named(Anchor, MOST_LEGS) }),
  view: BridleView,
  example: {
    loadKg: 1000,
    apex: { xM: 0, yM: 0, zM: 6 },
    anchors: [
      { id: 'left', xM: -3, yM: 0, zM: 10 },
      { id: 'right', xM: 3, yM: 0, zM: 10 },
    ],
  },
  answer: ({ loadKg, apex, anchors }) => {
    const solved = solveBridle(loadKg * STANDARD_GRAVITY, apex, anchors);
    return solved.ok ? ok(presentBridle(solved.value)) : solved;
  },
  reckon: ({ loadKg, apex, anchors }) => {
    const solved = solveBridle(loadKg * STANDARD_GRAVITY, apex, anchors);
    return solved.ok ? bridleReckonings(loadKg * STANDARD_GRAVITY, apex, anchors, solved.value) : [];
  },
});

const CutLeg = z.strictObject({ ...Anchor.shape, legM: Figure });
export const bridleApex = calculator({
  name: 'bridle-apex',
  operationId: 'calculateBridleApex',
  summary: 'Where legs of known lengths meet, and what they carry there',
  body: z.strictObject({ loadKg: NotNegative.default(0), anchors: named(CutLeg, MOST_LEGS) }),
  view: ApexView,
  example: {
    loadKg: 500,
    anchors: [
      { id: 'left', xM: 0, yM: 0, zM: 8, legM: 4 },
      { id: 'right', xM: 6, yM: 0, zM: 8, legM: 5 },
    ],
  },
  answer: ({ loadKg, anchors }) => {
    const solved = solveCutLegs(loadKg * STANDARD_GRAVITY, anchors);
    if (!solved.ok) return solved;
    return ok({ apex: solved.value.apex, ...presentBridle(solved.value) });
  },
  reckon: ({ loadKg, anchors }, { apex }) => {
    const solved = solveBridle(loadKg * STANDARD_GRAVITY, apex, anchors);
    return solved.ok ? bridleReckonings(loadKg * STANDARD_GRAVITY, apex, anchors, solved.value) : [];
  },
});
