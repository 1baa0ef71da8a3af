import { assess } from '../../src/domain/assessment/assess.ts';
import type { NeighbourLoad, Outcome } from '../../src/domain/assessment/assessment.ts';
import { atan2, cos, radToDeg, sin, degToRad } from '../../src/domain/foundation/elementary.ts';
import { checkPlan } from '../../src/domain/plan/check-plan.ts';
import type {
  ArrayBuild,
  Attachment,
  Hang,
  HoistData,
  LineOffPlumb,
  PartData,
  PickUp,
  Plan,
  Position,
  Tier,
  TrussSection,
} from '../../src/domain/plan/plan.ts';
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

/**
 * Hashes of the assessments of `count` plans that follow from `seed`: every kind of hang, direct, on bridles and on tiers of them, held aside
 * by lines off plumb, among neighbours.
 * @param seen  is given each outcome, so that a test can tell that what it wants hashed was solved at all
 */
export function manyHashes(
  count: number,
  seed: number,
  sha256: (text: string) => string,
  seen?: (plan: Plan, outcome: Outcome) => void,
): string[] {
  const random = seeded(seed);
  const roof = roofFrom();
  return Array.from({ length: count }, (_, n) => {
    const plan = planFrom(random, n);
    const checked = checkPlan(plan, SHOW);
    if (!checked.ok) throw new Error(`plan ${n} of seed ${seed}: ${JSON.stringify(checked.error)}`);
    const { assessmentHash, outcome } = assess({
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
    seen?.(plan, outcome);
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
  const hangs = Array.from({ length: 1 + Math.floor(random() * 2) }, (_, k) => {
    const [id, at] = [`h${n}-${k}`, Math.floor(random() * POINTS)];
    const odd = random();
    if (odd < 0.15) return onTiers(random, id, at);
    if (odd < 0.3) return { hang: heldAside(random, id, at), equipment: {} };
    if (odd < 0.45) return { hang: pulledArray(random, id, at), equipment: {} };
    if (odd < 0.5) return { hang: frameFrom(random, id, at), equipment: {} };
    if (odd < 0.6) return { hang: tabledTruss(random, id, at), equipment: {} };
    if (odd < 0.67) return { hang: heldTruss(random, id, at), equipment: {} };
    if (odd < 0.72) return heldBelowBridle(random, id, at);
    return { hang: hangFrom(random, id, at), equipment: {} };
  });
  const equipment: Plan['equipment'] = { hoist: { from: null, data: HOIST }, steel: { from: null, data: STEEL } };
  return { format: 1, hangs: hangs.map(({ hang }) => hang), equipment: Object.assign(equipment, ...hangs.map((one) => one.equipment)) as Plan['equipment'] }; // prettier-ignore
}

const PARTS = [{ equipment: 'steel', count: 1, hitch: 'straight' as const }];

function lineFrom(random: () => number, id: string, at: number, position: Position | null = null): PickUp {
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
    position: position ?? { ...place, zM: 5 + random() },
    hoist: { equipment: 'hoist', mount: random() < 0.5 ? 'bodyDown' : 'bodyUp', chainLengthM: 24, bag: 'withBody' },
    lineItems: [],
    cableShare: [],
    attachment,
    givenLoad: null,
  };
}

const SECTION: TrussSection = {
  selfKgPerM: 9.7,
  eiKnm2: 1900,
  gaKn: null,
  gjKnm2: null,
  saggingKnm: 30,
  hoggingKnm: 28,
  shearKn: 20,
  nodeSpacingM: 0.5,
  allowablesBasis: 'maker',
};
const TABLE: TrussSection['spanTable'] = [1.1, 2, 4].map((spanM) => ({ spanM, evenKgPerM: 130 - 20 * spanM, points: null }));

const commonOf = (random: () => number, id: string) => ({
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
});

function hangFrom(random: () => number, id: string, at: number): Hang {
  const kg = (most: number) => most * random();
  const common = commonOf(random, id);
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
  const section = { ...SECTION, gaKn: kind === 2 ? 900 : null };
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

const placeOf = (n: number): Position => {
  const k = n % POINTS;
  return { xM: 1.37 * k, yM: k % 3, zM: 12.1 + 0.07 * k };
};
/** A share of the way from one place to another. */
const towards = (from: Position, to: Position, share: number): Position => ({
  xM: from.xM + share * (to.xM - from.xM),
  yM: from.yM + share * (to.yM - from.yM),
  zM: from.zM + share * (to.zM - from.zM),
});
function distance(a: Position, b: Position): number {
  const [x, y, z] = [a.xM - b.xM, a.yM - b.yM, a.zM - b.zM];
  return Math.sqrt(x * x + y * y + z * z);
}
const loadItems = (random: () => number) => [{ what: 'load', count: 1, massKg: 900 * random(), basis: 'estimated' as const }];
const lineAt = (id: string, position: Position, attachment: Attachment): PickUp => ({
  id,
  chalk: id,
  position,
  hoist: { equipment: 'hoist', mount: 'bodyUp', chainLengthM: 24, bag: 'withBody' },
  lineItems: [],
  cableShare: [],
  attachment,
  givenLoad: null,
});

/** Two bridles below four points with a third between them, or a bar below two points; every leg as long as it is drawn. */
function onTiers(random: () => number, id: string, at: number): { hang: Hang; equipment: Plan['equipment'] } {
  const from = Math.min(at, POINTS - 4);
  const equipment: Plan['equipment'] = {};
  const part = (lengthM: number, kind: PartData['part'], massKg = 2.3) => {
    const key = `${id} ${Object.keys(equipment).length}`;
    equipment[key] = { from: null, data: { ...STEEL, part: kind, lengthM, massKg } };
    return [{ equipment: key, count: 1, hitch: 'straight' as const }];
  };
  const [a, b, c, d] = [0, 1, 2, 3].map((k) => placeOf(from + k)) as [Position, Position, Position, Position];
  const leg = (tier: Position, k: number) => ({
    to: { pointId: pointId(from + k) },
    parts: part(distance(tier, placeOf(from + k)), 'wireRope'),
  });
  let tiers: Tier[];
  let hook: Position;
  let atM: number | null = null;
  if (random() < 0.5) {
    const barZM = 9 + random();
    const [start, end] = [
      { ...a, zM: barZM },
      { ...b, zM: barZM },
    ];
    const lengthM = distance(start, end);
    atM = lengthM * (0.2 + 0.6 * random());
    hook = { ...towards(start, end, atM / lengthM), zM: 5 };
    const lines = [
      { ...leg(start, 0), atM: 0 },
      { ...leg(end, 1), atM: lengthM },
    ];
    tiers = [{ kind: 'spreader', id: 'low', start, end, parts: part(lengthM, 'spreader'), useBasis: 'M', lines }];
  } else {
    // Each upper apex lies in one plane with its points and the lower one, and the lower one between both in plan: so they come to rest, as
    // long as nothing hangs on the upper ones besides.
    const [left, right] = [towards(a, b, 0.5), towards(c, d, 0.5)];
    const low = { ...towards(left, right, 0.3 + 0.4 * random()), zM: 7.5 + random() };
    const apexes = [left, right].map((middle) => towards(low, middle, 0.4 + 0.2 * random())) as [Position, Position];
    hook = { ...low, zM: 5 };
    const ring = (ringId: string, apex: Position, first: number): Tier => ({
      kind: 'ring',
      id: ringId,
      apex,
      parts: [],
      legs: [leg(apex, first), leg(apex, first + 1)],
    });
    const lower = apexes.map((apex, k) => ({ to: { tierId: k === 0 ? 'left' : 'right', atM: null }, parts: part(distance(low, apex), 'wireRope', 0) })); // prettier-ignore
    tiers = [{ kind: 'ring', id: 'low', apex: low, parts: [], legs: lower }, ring('left', apexes[0], 0), ring('right', apexes[1], 2)];
  }
  const attachment: Attachment = { kind: 'tiers', foot: { tierId: 'low', atM, parts: [] }, tiers };
  const hang: Hang = { ...commonOf(random, id), kind: 'single', items: loadItems(random), pickUps: [lineAt(`${id}-0`, hook, attachment)] };
  return { hang, equipment };
}

const aside = (id: string, to: LineOffPlumb['to'], change: Partial<LineOffPlumb> = {}): LineOffPlumb => ({
  id,
  kind: 'breastline',
  at: null,
  to,
  parts: PARTS,
  pretensionKn: null,
  ...change,
});

/** A hook that a breastline holds aside of its point, now and then with two guys against each other. */
function heldAside(random: () => number, id: string, at: number): Hang {
  const [top, turn] = [placeOf(at), 6 * random()];
  const along = { xM: cos(turn), yM: sin(turn) };
  const from = (place: Position, outM: number, upM: number): Position => ({
    xM: place.xM + outM * along.xM,
    yM: place.yM + outM * along.yM,
    zM: place.zM + upM,
  });
  const hook = from(top, 0.2 + 2 * random(), -5 - random());
  const end = (outM: number, upM: number) => ({ place: from(hook, outM, upM), holdsKn: 9, basis: 'M' });
  const lines = [aside(`${id}-b`, end(3 + 5 * random(), 6 * random() - 3))];
  if (random() < 0.3) {
    const pretensionKn = random();
    for (const [k, outM] of [4, -4].entries()) lines.push(aside(`${id}-g${k}`, end(outM, -1), { kind: 'guy', pretensionKn }));
  }
  const pickUps = [lineAt(`${id}-0`, hook, { kind: 'direct', pointId: pointId(at), parts: PARTS })];
  return { ...commonOf(random, id), kind: 'single', items: loadItems(random), pickUps, linesOffPlumb: lines };
}

/** A truss on two hoists, each hook drawn aside across by its own line, or one of them; now and then a line along it besides. */
function heldTruss(random: () => number, id: string, at: number): Hang {
  const first = Math.min(at, POINTS - 4);
  const isAlong = random() < 0.3;
  const alongM = isAlong ? 0.02 + 0.1 * random() : 0;
  const asides = [0.05 + 0.5 * random(), random() < 0.5 ? 0 : 0.05 + 0.5 * random()];
  const tops = [placeOf(first), placeOf(first + 3)];
  // Along it both chains lean alike for each metre of their height.
  const hooks = tops.map(({ xM, yM, zM }, k) => ({ xM: xM + alongM * ((zM - 6) / 6), yM: yM + (asides[k] ?? 0), zM: 6 }));
  const pickUps = hooks.map((hook, k) => lineAt(`${id}-${k}`, hook, { kind: 'direct', pointId: pointId(first + 3 * k), parts: PARTS }));
  const lines = hooks.flatMap((hook, k) => {
    if (asides[k] === 0) return [];
    const place = { xM: hook.xM, yM: hook.yM + 3 + 2 * random(), zM: 6 + 3 * random() - 1.5 };
    return [aside(`${id}-l${k}`, { place, holdsKn: 9, basis: 'M' }, { pickUpId: `${id}-${k}` })];
  });
  const far = hooks[1] ?? { xM: 0, yM: 0, zM: 0 };
  if (isAlong) lines.push(aside(`${id}-a`, { place: { ...far, xM: far.xM + 5 }, holdsKn: 9, basis: 'M' }, { pickUpId: `${id}-1` }));
  const [one, other] = hooks;
  const [x, y] = one && other ? [other.xM - one.xM, other.yM - one.yM] : [1, 0];
  const apartM = Math.sqrt(x * x + y * y);
  const massKg = 300 * random();
  return {
    ...commonOf(random, id),
    kind: 'truss',
    items: [],
    pickUps,
    linesOffPlumb: lines,
    build: {
      lengthM: apartM,
      start: { ...(one ?? far), zM: 5.7 },
      azimuthDeg: radToDeg(atan2(y, x)),
      section: SECTION,
      pickUps: pickUps.map(({ id: pickUpId }, k) => ({ pickUpId, atM: k * apartM, levelMm: 0 })),
      pickUpsAboveM: 0.3,
      pointLoads: [{ what: 'x', atM: 0.3 * apartM, massKg, basis: random() < 0.5 ? 'weighed' : 'estimated', besideM: 0, aboveM: -0.2 }],
      spreadLoads: [],
    },
  };
}

/** A hook drawn aside below a bridle of three legs. */
function heldBelowBridle(random: () => number, id: string, at: number): { hang: Hang; equipment: Plan['equipment'] } {
  const first = Math.min(at - (at % 3), POINTS - 6) + 1;
  const places = [0, 1, 2].map((k) => placeOf(first + k));
  const middle = (of: 'xM' | 'yM') => places.reduce((sum, place) => sum + place[of] / 3, 0);
  const apex = { xM: middle('xM'), yM: middle('yM'), zM: 9.5 + random() };
  const legs = places.map((_, k) => ({ pointId: pointId(first + k), parts: [{ equipment: `${id} leg ${k}`, count: 1, hitch: 'straight' as const }] })); // prettier-ignore
  const equipment: Plan['equipment'] = Object.fromEntries(
    places.map((place, k) => [`${id} leg ${k}`, { from: null, data: { ...STEEL, lengthM: distance(apex, place) } }]),
  );
  const [turn, lean] = [6 * random(), 0.05 + 0.3 * random()];
  const way = { xM: lean * cos(turn), yM: lean * sin(turn) };
  const hook = { xM: apex.xM + way.xM, yM: apex.yM + way.yM, zM: 5 };
  const place = { xM: hook.xM + 9 * way.xM, yM: hook.yM + 9 * way.yM, zM: 4 + 2 * random() };
  const attachment: Attachment = { kind: 'bridle', apex, legs, apexParts: [] };
  const hang: Hang = {
    ...commonOf(random, id),
    kind: 'single',
    items: loadItems(random),
    pickUps: [lineAt(`${id}-0`, hook, attachment)],
    linesOffPlumb: [aside(`${id}-b`, { place, holdsKn: 9, basis: 'M' })],
  };
  return { hang, equipment };
}

/** An array on one hole or two, pulled to the rear in its own plane. */
function pulledArray(random: () => number, id: string, at: number): Hang {
  const isOnTwo = random() < 0.5;
  const ids = isOnTwo ? [`${id}-0`, `${id}-1`] : [`${id}-0`];
  // Two points a row apart, so that the chains stand nearly as far apart as the holes.
  const first = Math.min(at - (at % 3), POINTS - 3);
  const tops = isOnTwo ? [first + 1, first] : [at];
  const [front, rear] = [placeOf(tops[0] ?? 0), placeOf(tops[1] ?? 0)];
  const azimuthDeg = isOnTwo ? radToDeg(atan2(rear.xM - front.xM, rear.yM - front.yM)) : 360 * random();
  const forward = { xM: -sin(degToRad(azimuthDeg)), yM: -cos(degToRad(azimuthDeg)) };
  const from = (place: Position, outM: number, zM: number): Position => ({ xM: place.xM + outM * forward.xM, yM: place.yM + outM * forward.yM, zM }); // prettier-ignore
  const middle = from(isOnTwo ? towards(rear, front, 0.5) : front, -0.5 * random(), 6);
  const hooks = isOnTwo ? [from(middle, 0.685, 6), from(middle, -0.685, 6)] : [middle];
  const pickUps = hooks.map((hook, k) => lineAt(ids[k] ?? '', hook, { kind: 'direct', pointId: pointId(tops[k] ?? 0), parts: PARTS }));
  const build: ArrayBuild | null = arrayFrom(random, pickUps);
  if (build === null) throw new Error('an array has a build');
  const to = { place: from(middle, -3 - 4 * random(), 3 + 3 * random()), holdsKn: 9, basis: 'M' };
  const pull = aside(`${id}-p`, to, { kind: 'pullBack', at: { on: 5, uM: -0.5, vM: -0.2 } });
  const framePitchDeg = isOnTwo ? 10 * random() - 8 : -20 * random();
  return {
    ...commonOf(random, id),
    kind: 'array',
    items: [],
    pickUps,
    build: { ...build, azimuthDeg, framePitchDeg },
    linesOffPlumb: [pull],
  };
}

/** A truss on two hoists at its ends, with a table of spans alone. */
function tabledTruss(random: () => number, id: string, at: number): Hang {
  const from = Math.min(at, POINTS - 2);
  const pickUps = [lineFrom(random, `${id}-0`, from), lineFrom(random, `${id}-1`, from + 1)];
  return {
    ...commonOf(random, id),
    kind: 'truss',
    items: [],
    pickUps,
    build: {
      lengthM: 1.37,
      start: placeOf(from),
      azimuthDeg: 0,
      section: { ...SECTION, saggingKnm: null, hoggingKnm: null, shearKn: null, spanTable: TABLE },
      pickUps: pickUps.map(({ id: pickUpId }, k) => ({ pickUpId, atM: 1.37 * k, levelMm: 0 })),
      pointLoads: [],
      spreadLoads: [{ what: 'cloth', fromM: 0, toM: 1.37, kgPerM: 120 * random(), basis: 'documented' }],
    },
  };
}

/** Four hoists at the corners of a square. */
function frameFrom(random: () => number, id: string, at: number): Hang {
  const from = Math.min(at, POINTS - 4);
  const corners = [0, 1, 2, 3].map((k) => ({ xM: k === 1 || k === 2 ? 4 : 0, yM: k > 1 ? 4 : 0 }));
  const pickUps = corners.map(({ xM, yM }, k) => lineFrom(random, `${id}-${k}`, from + k, { xM, yM, zM: 5 }));
  const pointLoads = [{ what: 'x', atM: 1, massKg: 200 * random(), basis: 'weighed' as const, besideM: 0 }];
  return {
    ...commonOf(random, id),
    kind: 'trussFrame',
    items: [],
    pickUps,
    build: {
      corners,
      closed: true,
      section: { ...SECTION, gjKnm2: random() < 0.5 ? 140 : null, spanTable: TABLE },
      cornersStiff: random() < 0.5 ? true : null,
      sides: corners.map((_, side) => ({ pointLoads: side === 0 ? pointLoads : [], spreadLoads: [] })),
      pickUps: pickUps.map(({ id: pickUpId }, side) => ({ pickUpId, side, atM: 0, levelMm: 0 })),
    },
  };
}
