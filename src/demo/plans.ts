import { demoId } from './arena.ts';
import type { EquipmentUsed, Hang, Plan } from '../domain/plan/plan.ts';
import type { RoofPoint } from '../domain/roof/structure.ts';

const EQUIPMENT: Record<string, EquipmentUsed> = {
  hoist: {
    from: null,
    data: {
      kind: 'hoist',
      name: 'Chain hoist, 1 t, climbing',
      wllKg: 1000,
      wllIsNetOf: 'hook',
      bodyKg: 50,
      chainKgPerM: 1,
      falls: 1,
      bagKg: 3,
      liftM: 20,
      speedMPerMin: 4,
      variableSpeed: false,
      dynamicFactor: 1.25,
      shortestHookToHookM: 0.6,
      chainStiffnessKnPerM: null,
      limiterFactor: 1.6,
      mayHoldOverPeople: true,
      mayMoveOverPeople: false,
      needsSecondary: false,
    },
  },
  shackle: {
    from: null,
    data: { kind: 'part', name: 'Bow shackle, 4.7 t', part: 'shackle', lengthM: 0.08, massKg: 1.3, wllKg: 4700, breakingKn: 280 },
  },
};

type Picked = {
  name: string;
  point: RoofPoint;
  what: string;
  massKg: number;
  basis: 'weighed' | 'documented' | 'estimated';
  trimM: number;
  lowM: number;
};

/** One thing on one climbing hoist, straight under its point. */
export function hangOf({ name, point, what, massKg, basis, trimM, lowM }: Picked): Hang {
  return {
    id: demoId(`hang ${name} ${point.id}`),
    label: name,
    kind: 'single',
    department: 'sound',
    suppliedBy: 'tour',
    liftOrder: null,
    cue: null,
    up: null,
    trim: { heightM: lowM, of: 'lowestCorner' },
    box: { xM: point.xM, yM: point.yM, alongM: 1.2, acrossM: 0.8, azimuthDeg: 0, bottomZM: lowM, topZM: trimM },
    wind: null,
    support: 'hoist',
    items: [{ what, count: 1, massKg, basis }],
    cables: [{ what: 'multicore', count: 1, lengthM: 8, kgPerM: 0.5, basis: 'documented' }],
    pickUps: [
      {
        id: demoId(`pick-up ${name} ${point.id}`),
        chalk: name,
        position: { xM: point.xM, yM: point.yM, zM: trimM },
        hoist: { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 20, bag: 'withBody' },
        lineItems: [],
        cableShare: [],
        attachment: { kind: 'direct', pointId: point.id, parts: [{ equipment: 'shackle', count: 1, hitch: 'straight' }] },
        givenLoad: null,
      },
    ],
  };
}

export const planWith = (hangs: Hang[]): Plan => ({ format: 1, hangs, equipment: EQUIPMENT });
