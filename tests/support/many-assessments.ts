import { assess } from '../../src/domain/assessment/assess.ts';
import type { NeighbourLoad } from '../../src/domain/assessment/assessment.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type { Attachment, Hang, HoistData, PartData, PickUp, Plan } from '../../src/domain/plan/plan.ts';
import type { PublishedRoof } from '../../src/domain/roof/structure.ts';
import { seeded } from '../domain/seeded.ts';
import { group, member, point, publish } from '../domain/roof-samples.ts';

// Runs in a browser as in Node: nothing of either. Everything is invented; odd numbers on purpose, so that last digits are at work.
const SHOW = { from: '2026-03-10T10:00:00.000Z', to: '2026-03-12T04:00:00.000Z' };
const POINTS = 12;

const HOIST: HoistData = {
  kind: 'hoist',
  name: 'hoist',
  wllKg: 1000,
  wllIsNetOf: 'hook',
  bodyKg: 41.3,
  chainKgPerM: 1.07,
  falls: 1,
  bagKg: 5.1,
  liftM: 24,
  speedMPerMin: 4,
  variableSpeed: false,
  dynamicFactor: 1.27,
  shortestHookToHookM: 0.61,
  chainStiffnessKnPerM: 470,
  limiterFactor: 1.6,
  mayHoldOverPeople: true,
  mayMoveOverPeople: true,
  needsSecondary: false,
};
const STEEL: PartData = { kind: 'part', name: 'steel', part: 'wireRope', lengthM: 1.5, massKg: 2.3, wllKg: 3150, breakingKn: null };

/** Hashes of the assessments of `count` plans that follow from `seed`: every kind of hang, direct and on bridles, among neighbours. */
export function manyHashes(count: number, seed: number, sha256: (text: string) => string): string[] {
  const random = seeded(seed);
  const roof = roofFrom();
  return Array.from({ length: count }, (_, n) => {
    const plan = planFrom(random, n);
    const checked = checkPlan(plan, SHOW);
    if (!checked.ok) throw new Error(`plan ${n} of seed ${seed}: ${JSON.stringify(checked.error)}`);
    const { assessmentHash } = assess({
      roof,
      revisionHash: 'revision',
      policyHash: 'policy',
      planHash: `plan ${n}`,
      plan: checked.value,
      show: SHOW,
      neighbours: neighboursFrom(random),
      asOf: '2026-01-01T00:00:00.000Z',
      sha256,
    });
    return assessmentHash;
  });
}

function roofFrom(): PublishedRoof {
  const points = Array.from({ length: POINTS }, (_, n) => {
    const on = n < 4 ? [{ memberId: 'm1', stationM: 1.3 + 2.1 * n, share: 1 }] : [];
    return point(pointId(n), { xM: 1.37 * n, yM: n % 3, zM: 12.1 + 0.07 * n, on, maxAngleDeg: 50, maxSidewaysKn: 6 });
  });
  return publish({
    points,
    members: [member('m1')],
    limits: [
      group(
        'g1',
        points.map(({ id }) => id),
        6000,
      ),
    ],
  });
}
const pointId = (n: number): string => `p${String(n % POINTS).padStart(2, '0')}`;

function neighboursFrom(random: () => number): NeighbourLoad[] {
  return Array.from({ length: Math.floor(random() * 3) }, (_, n) => {
    const pull = { xKn: random() - 0.5, yKn: random() - 0.5, downKn: 4 * random() };
    const moving = { xKn: pull.xKn * 1.25, yKn: pull.yKn * 1.25, downKn: pull.downKn * 1.25 };
    const at = pointId(Math.floor(random() * POINTS));
    return {
      ref: `n${n}`,
      status: 'agreed',
      planHash: 'np',
      hangId: `nh${n}`,
      pointId: at,
      ...SHOW,
      resting: pull,
      moving,
      isLowerBound: false,
    };
  });
}

function planFrom(random: () => number, n: number): Plan {
  const hangs = Array.from({ length: 1 + Math.floor(random() * 2) }, (_, k) =>
    hangFrom(random, `h${n}-${k}`, Math.floor(random() * POINTS)),
  );
  return { format: 1, hangs, equipment: { hoist: { from: null, data: HOIST }, steel: { from: null, data: STEEL } } };
}

const PARTS = [{ equipment: 'steel', count: 1, hitch: 'straight' as const }];

function lineFrom(random: () => number, id: string, at: number): PickUp {
  const xM = 1.37 * (at % POINTS);
  const attachment: Attachment =
    random() < 0.3 && at % POINTS < POINTS - 3
      ? {
          kind: 'bridle',
          apex: { xM: xM + 2.055, yM: ((at % 3) + ((at + 3) % 3)) / 2, zM: 9.3 + random() },
          legs: [at, at + 3].map((leg) => ({ pointId: pointId(leg), parts: PARTS })),
          apexParts: [],
        }
      : { kind: 'direct', pointId: pointId(at), parts: PARTS };
  const place = attachment.kind === 'bridle' ? { xM: attachment.apex.xM, yM: attachment.apex.yM } : { xM, yM: at % 3 };
  return {
    id,
    chalk: id,
    position: { ...place, zM: 5 + random() },
    hoist: { equipment: 'hoist', mount: random() < 0.5 ? 'bodyDown' : 'bodyUp', chainLengthM: 24, bag: 'withBody' },
    lineItems: [],
    cableShare: [],
    attachment,
    givenLoad: null,
  };
}

function hangFrom(random: () => number, id: string, at: number): Hang {
  const kg = (most: number) => most * random();
  const common = {
    id,
    label: id,
    department: null,
    suppliedBy: 'tour' as const,
    liftOrder: null,
    cue: random() < 0.5 ? 'cue 1' : null,
    up: null,
    trim: null,
    box: null,
    wind: null,
    support: 'hoist' as const,
    cables: [],
  };
  const items = [{ what: 'load', count: 1, massKg: kg(900), basis: 'estimated' as const }];
  const kind = Math.floor(random() * 4);
  if (kind === 0) return { ...common, kind: 'single', items, pickUps: [lineFrom(random, `${id}-0`, at)] };
  if (kind === 1) {
    const hung = Math.min(at, POINTS - 3);
    const pickUps = [lineFrom(random, `${id}-0`, hung), lineFrom(random, `${id}-1`, hung + 1)];
    return { ...common, kind: 'array', items: [], pickUps, build: arrayFrom(random, pickUps) };
  }
  const count = kind === 2 ? 3 : 4;
  const from = Math.min(at, POINTS - count);
  const pickUps = Array.from({ length: count }, (_, k) => lineFrom(random, `${id}-${k}`, from + k));
  const section = {
    selfKgPerM: 9.7,
    eiKnm2: 1900,
    gaKn: kind === 2 ? 900 : null,
    gjKnm2: null,
    saggingKnm: 30,
    hoggingKnm: 28,
    shearKn: 20,
    nodeSpacingM: 0.5,
    allowablesBasis: 'maker',
  };
  const pointLoads = Array.from({ length: 3 }, (_, k) => ({ what: 'x', atM: 0.5 + k, massKg: kg(120), basis: 'weighed' as const }));
  return {
    ...common,
    kind: 'truss',
    items: [],
    pickUps,
    build: {
      lengthM: 1.37 * (count - 1) + 1,
      start: { xM: 1.37 * from - 0.5, yM: from % 3, zM: 5 },
      azimuthDeg: 0,
      section,
      pickUps: pickUps.map(({ id: pickUpId }, k) => ({ pickUpId, atM: 0.5 + 1.37 * k, levelMm: 0 })),
      pointLoads,
      spreadLoads: [{ what: 'cloth', fromM: 0.3, toM: 2.9, kgPerM: kg(30), basis: 'documented' }],
    },
  };
}

function arrayFrom(random: () => number, pickUps: readonly PickUp[]): Extract<Hang, { kind: 'array' }>['build'] {
  const massKg = 30 + 30 * random();
  const element = {
    equipment: null,
    massKg,
    basis: 'weighed' as const,
    cg: { uM: -0.31, vM: -0.147 },
    bottomPivot: { uM: 0, vM: -0.293 },
    corners: [],
  };
  return {
    azimuthDeg: 360 * random(),
    framePitchDeg: 4 * random() - 2,
    frame: {
      equipment: null,
      massKg: 61,
      basis: 'weighed',
      cg: { uM: 0.01, vM: 0 },
      bottomPivot: { uM: 0.49, vM: -0.1 },
      holes: [
        { id: 'front', wllKg: 1000, uM: 0.7, vM: 0.1 },
        { id: 'rear', wllKg: 1000, uM: -0.67, vM: 0.1 },
      ],
    },
    elements: Array.from({ length: 6 }, () => ({ ...element, splayDeg: 10 * random() })),
    extras: [],
    holes: pickUps.map(({ id: pickUpId }, k) => ({ pickUpId, holeId: k === 0 ? 'front' : 'rear' })),
    stackSizes: [3, 3],
    permittedConfiguration: { document: 'M', covers: 'six' },
  };
}
