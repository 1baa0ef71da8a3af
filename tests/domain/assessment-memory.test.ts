import { expect, test } from 'vitest';
import { assess } from '../../src/domain/assessment/assess.ts';
import type { NeighbourLoad } from '../../src/domain/assessment/assessment.ts';
import { AssessmentMemory } from '../../src/domain/assessment/memory.ts';
import { canonicalBytes } from '../../src/domain/foundation/canonical.ts';
import type { Hang, Plan } from '../../src/domain/plan/plan.ts';
import type { PublishedRoof } from '../../src/domain/roof/structure.ts';
import { dead, direct, documented, hoist, inputOf, neighbour, pickUp, planOf, SHOW, single } from './plan-samples.ts';
import { group, member, point, publish, terms } from './roof-samples.ts';
import { seeded } from './seeded.ts';

// The soak makes many more, each time from another seed.
const SEQUENCES = Number(process.env.MEMORY_SEQUENCES ?? 40);
const SEED = Number(process.env.MEMORY_SEED ?? 20260311);

// Everything is invented; odd numbers on purpose, so that last digits are at work.
const POINTS = Array.from({ length: 8 }, (_, n) => `p${n}`);
const SHOWS = [SHOW, { from: '2026-03-11T08:00:00.000Z', to: '2026-03-14T04:00:00.000Z' }];
const HOURS = ['2026-03-11T09:00:00.000Z', '2026-03-11T13:00:00.000Z', '2026-03-11T18:30:00.000Z', '2026-03-12T02:00:00.000Z'];

/** Of every kind of limit; the second rates some points lower, and the third is not indoors. */
const ROOFS = [0, 1, 2].map(roofAs);

function roofAs(which: number): PublishedRoof {
  const common = (id: string) => ({ id, label: id, hard: true, terms });
  return publish({
    exposure: which === 2 ? 'covered' : 'indoor',
    points: POINTS.map((id, n) =>
      point(id, {
        xM: 1.1 * n,
        yM: n % 2,
        zM: 12.3,
        wllKg: which === 1 && n % 3 === 0 ? 350 : 1000,
        on: n < 4 ? [{ memberId: 'm1', stationM: 1.1 + 2.1 * n, share: 1 }] : [],
        ...(n % 2 === 0 ? {} : { maxAngleDeg: 30, maxSidewaysKn: 2 }),
      }),
    ),
    members: [member('m1')],
    limits: [
      group('g1', POINTS.slice(0, 5), 1500),
      group('g2', POINTS.slice(3), 2000),
      { ...common('w1'), kind: 'weighted', weights: [{ pointId: 'p1', factor: 1 }, { pointId: 'p5', factor: -0.4 }], maxKg: 600, minKg: -100 }, // prettier-ignore
      { ...common('s1'), kind: 'spacing', memberId: 'm1', minSpacingM: 3, reducedKg: 300 },
      { ...common('c1'), kind: 'count', pointIds: POINTS.slice(2, 7), maxLoaded: 3 },
      { ...common('h1'), kind: 'sideways', memberId: 'm1', acrossKn: 1, alongKn: 1 },
      { ...common('d1'), kind: 'density', memberId: 'm1', windowM: 3, maxKg: 700 },
      { ...common('a1'), kind: 'areaDensity', area: [{ xM: -1, yM: -1 }, { xM: 4, yM: -1 }, { xM: 4, yM: 2 }, { xM: -1, yM: 2 }], maxKgPerM2: 60 }, // prettier-ignore
    ],
    standingLoads: [
      { id: 'fixed', label: 'fixed', permanent: true, fromDay: null, untilDay: null, points: [{ pointId: 'p1', massKg: 31 }], memberLoads: [] },
      { id: 'season', label: 'season', permanent: false, fromDay: '2026-03-12', untilDay: '2026-03-13', points: [{ pointId: 'p3', massKg: 47 }], memberLoads: [{ memberId: 'm1', fromM: 2, toM: 5, kgPerM: 9 }] },
    ], // prettier-ignore
  });
}

/** What an editor has before it: every part is replaced by an edit, and nothing is changed in place. */
type Desk = { roof: PublishedRoof; show: (typeof SHOWS)[number]; plan: Plan; neighbours: readonly NeighbourLoad[]; asOf: string };
type Pick = <T>(items: readonly T[]) => T;
type Edit = (desk: Desk, pick: Pick, random: () => number) => Desk;

const place = (pointId: string, offM: number) => ({ xM: 1.1 * Number(pointId.slice(1)) + offM, yM: Number(pointId.slice(1)) % 2, zM: 6 });

function hangFrom(id: string, pick: Pick, random: () => number): Hang {
  const massKg = Math.round(4000 * random()) / 7;
  const items = [{ what: 'load', count: 1, massKg, basis: pick(['weighed', 'estimated'] as const) }];
  const common = { items, cue: pick([null, '1', '2']), up: pick([null, { from: HOURS[0]!, to: pick(HOURS.slice(1)) }]) };
  const pointId = pick(POINTS.slice(0, 6));
  const other = `p${Number(pointId.slice(1)) + 2}`;
  const line = (name: string, on: string) => pickUp(`${id}-${name}`, { attachment: direct(on), position: place(on, pick([0, 0, 0.4])) });
  if (random() < 0.25) return dead(id, pointId, massKg, { ...common, pickUps: [{ ...line('1', pointId), hoist: null }] });
  if (random() < 0.4) {
    const apex = { ...place(pointId, 1.1), zM: 9 };
    const legs = [pointId, other].map((on) => ({ pointId: on, parts: [] }));
    const attachment = { kind: 'bridle' as const, apex, legs, apexParts: [] };
    return single(id, { ...common, pickUps: [pickUp(`${id}-1`, { position: { ...apex, zM: 6 }, attachment })] });
  }
  const pickUps = [line('1', pointId), line('2', other)];
  if (random() < 0.4) return single(id, { ...common, pickUps: pickUps.slice(0, 1) });
  const section = { selfKgPerM: 9.7, eiKnm2: 1900, gaKn: null, gjKnm2: null, saggingKnm: 30, hoggingKnm: 28, shearKn: 20, nodeSpacingM: 0.5, allowablesBasis: 'maker' }; // prettier-ignore
  const build = {
    lengthM: 3.2,
    start: { ...place(pointId, -0.5), zM: 6 },
    azimuthDeg: 0,
    section,
    pickUps: pickUps.map(({ id: pickUpId }, n) => ({ pickUpId, atM: 0.5 + 2.2 * n, levelMm: 0 })),
    pointLoads: [{ what: 'load', atM: 2, massKg, basis: 'documented' as const }],
    spreadLoads: [],
  };
  return { ...single(id, { ...common, items: [] }), kind: 'truss', pickUps, build };
}

const withHangs = (desk: Desk, hangs: Hang[]): Desk => ({ ...desk, plan: { ...desk.plan, hangs } });
const replaced = (desk: Desk, pick: Pick, change: (hang: Hang) => Hang): Desk => {
  const chosen = pick(desk.plan.hangs);
  return withHangs(
    desk,
    desk.plan.hangs.map((hang) => (hang === chosen ? change(hang) : hang)),
  );
};

const EDITS: Record<string, Edit> = {
  'hang moved': (desk, pick, random) =>
    replaced(desk, pick, (hang) => ({
      ...hang,
      pickUps: hang.pickUps.map((line) => ({ ...line, position: { ...line.position, xM: line.position.xM + random() / 3 } })),
    })),
  'mass changed': (desk, pick, random) =>
    replaced(desk, pick, (hang) => ({
      ...hang,
      items: [{ what: 'load', count: 1, massKg: pick([null, 700 * random()]), basis: 'documented' }],
    })),
  'cue and time changed': (desk, pick) =>
    replaced(desk, pick, (hang) => ({ ...hang, cue: pick([null, '1', '2']), up: pick([null, { from: HOURS[0]!, to: HOURS[3]! }]) })),
  'hang added': (desk, pick, random) =>
    withHangs(
      desk,
      [...desk.plan.hangs, hangFrom(freeId(desk), pick, random)].sort(() => random() - 0.5),
    ),
  'hang removed': (desk, pick) => {
    const chosen = pick(desk.plan.hangs);
    return desk.plan.hangs.length < 2
      ? desk
      : withHangs(
          desk,
          desk.plan.hangs.filter((hang) => hang !== chosen),
        );
  },
  'another hang in its place': (desk, pick, random) => replaced(desk, pick, ({ id }) => hangFrom(id, pick, random)),
  'attached to another point': (desk, pick) =>
    replaced(desk, pick, (hang) => ({
      ...hang,
      pickUps: hang.pickUps.map((line) =>
        line.attachment.kind === 'direct' ? { ...line, attachment: direct(pick([...POINTS, 'nowhere'])) } : line,
      ),
    })),
  'equipment changed': (desk, pick) => ({
    ...desk,
    plan: { ...desk.plan, equipment: { ...desk.plan.equipment, hoist: documented(hoist({ wllKg: pick([null, 500, 1000]), bodyKg: pick([40, 55.5]) })) } }, // prettier-ignore
  }),
  'floor closed': (desk, pick) => ({
    ...desk,
    plan: {
      ...desk.plan,
      closedAreas: pick([
        undefined,
        [{ what: 'stage', ...SHOWS[0]!, corners: [{ xM: -1, yM: -1 }, { xM: 5, yM: -1 }, { xM: 5, yM: 3 }, { xM: -1, yM: 3 }] }],
      ]),
    },
  }), // prettier-ignore
  'neighbour comes': (desk, pick, random) => ({ ...desk, neighbours: [...desk.neighbours, neighbourFrom(freeRef(desk), pick, random)] }),
  'neighbour goes': (desk, pick) => {
    const chosen = desk.neighbours.length === 0 ? null : pick(desk.neighbours);
    return { ...desk, neighbours: desk.neighbours.filter((load) => load !== chosen) };
  },
  'neighbour changes': (desk, pick, random) => {
    const chosen = desk.neighbours.length === 0 ? null : pick(desk.neighbours);
    return { ...desk, neighbours: desk.neighbours.map((load) => (load === chosen ? neighbourFrom(load.ref, pick, random) : load)) };
  },
  'time passes': (desk, pick) => ({ ...desk, asOf: pick(['2026-01-01T00:00:00.000Z', '2026-03-11T15:00:00.000Z']) }),
  'roof changed': (desk, pick) => ({ ...desk, roof: pick(ROOFS) }),
  'show moved': (desk, pick) => ({ ...desk, show: pick(SHOWS) }),
  'nothing done': (desk) => desk,
};

const freeId = ({ plan }: Desk): string => ['h0', 'h1', 'h2', 'h3', 'h4', 'h5', 'h6', 'h7', 'h8'].find((id) => plan.hangs.every((hang) => hang.id !== id)) ?? `h${plan.hangs.length}`; // prettier-ignore
const freeRef = ({ neighbours }: Desk): string => `n${neighbours.reduce((last, { ref }) => Math.max(last, Number(ref.slice(1))), 0) + 1}`;

function neighbourFrom(ref: string, pick: Pick, random: () => number): NeighbourLoad {
  const load = neighbour(pick(POINTS), 300 * random(), { ref, hangId: `hang of ${ref}`, from: HOURS[0]!, to: pick(HOURS.slice(1)) });
  return { ...load, status: pick(['agreed', 'agreed', 'submitted']), isLowerBound: random() < 0.2 };
}

test('an assessment with a memory is the fresh one, byte for byte, whatever was edited before', () => {
  const random = seeded(SEED);
  const pick: Pick = (items) => items[Math.floor(random() * items.length)]!;
  const done = new Map<string, number>();
  for (let sequence = 0; sequence < SEQUENCES; sequence += 1) {
    const memory = new AssessmentMemory();
    const hangs = [0, 1, 2].map((n) => hangFrom(`h${n}`, pick, random));
    let desk: Desk = { roof: ROOFS[0]!, show: SHOWS[0]!, plan: planOf(hangs), neighbours: [], asOf: '2026-01-01T00:00:00.000Z' };
    for (let step = 0; step < 5; step += 1) {
      const edit = step === 0 ? 'nothing done' : pick(Object.keys(EDITS));
      desk = EDITS[edit]!(desk, pick, random);
      done.set(edit, (done.get(edit) ?? 0) + 1);
      const { plan, ...around } = desk;
      const input = inputOf(plan, around);
      const [kept, fresh] = [canonicalBytes(assess(input, memory)), canonicalBytes(assess(input))];
      if (kept !== fresh) expect.fail(`stale after "${edit}" (sequence ${sequence}, step ${step}): ${firstDifference(kept, fresh)}`);
    }
  }
  expect([...done.keys()].sort()).toEqual(Object.keys(EDITS).sort());
}, 120_000);

function firstDifference(kept: string, fresh: string): string {
  let at = 0;
  while (kept[at] === fresh[at]) at += 1;
  return `${kept.slice(Math.max(0, at - 80), at + 40)} instead of ${fresh.slice(Math.max(0, at - 80), at + 40)}`;
}
