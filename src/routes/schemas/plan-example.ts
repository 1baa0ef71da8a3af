import type { Hang, Plan } from '../../domain/plan/plan.ts';

/** An invented delay speaker on one hoist, picked straight from a point: what the documentation and the README's walk-through hang. */
export const EXAMPLE_HANG: Hang = {
  id: '3e0c1f7a-52b4-4a43-9d0e-6c1b7a8f9e10',
  label: 'Delay left',
  kind: 'single',
  department: 'sound',
  suppliedBy: 'tour',
  liftOrder: 1,
  cue: null,
  up: null,
  trim: { heightM: 8, of: 'lowestCorner' },
  box: { xM: -6, yM: -12, alongM: 1.2, acrossM: 0.8, azimuthDeg: 0, bottomZM: 8, topZM: 11 },
  wind: null,
  support: 'hoist',
  items: [{ what: 'Delay cluster with frame', count: 1, massKg: 320, basis: 'documented' }],
  cables: [{ what: 'Loudspeaker multicore', count: 2, lengthM: 10, kgPerM: 0.4, basis: 'estimated' }],
  pickUps: [
    {
      id: 'a1b2c3d4-0000-4000-8000-000000000001',
      chalk: 'DL',
      position: { xM: -6, yM: -12, zM: 11 },
      hoist: { equipment: 'hoist', mount: 'bodyDown', chainLengthM: 18, bag: 'withBody' },
      lineItems: [],
      cableShare: [],
      attachment: {
        kind: 'direct',
        pointId: 'b0000000-0000-4000-8000-000000000001',
        parts: [{ equipment: 'shackle', count: 1, hitch: 'straight' }],
      },
      givenLoad: null,
    },
  ],
};

export const EXAMPLE_PLAN: Plan = {
  format: 1,
  hangs: [EXAMPLE_HANG],
  equipment: {
    hoist: {
      from: null,
      data: {
        kind: 'hoist',
        name: 'Chain hoist, 1 t',
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
      data: { kind: 'part', name: 'Bow shackle, 3 t', part: 'shackle', lengthM: 0.08, massKg: 1, wllKg: 3000, breakingKn: 180 },
    },
  },
};
