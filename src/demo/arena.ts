import { createHash } from 'node:crypto';
import type { CapacityTerms, KeepOut, Limit, Member, RoofNode, RoofPoint, StandingLoad } from '../domain/roof/structure.ts';
import type { Item, ItemKind } from '../store/register/structure.ts';

/** An invented roof. The same name gives the same id, so that the walk-through can be read beside the demonstration. */
export type DemoRoof = { items: { kind: ItemKind; body: Item }[]; points: RoofPoint[] };

/** A UUID (version 8: our own making) from a name. */
export function demoId(name: string): string {
  const hex = createHash('sha256').update(`roofbook demonstration: ${name}`).digest('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-a${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}

const termsOf = (document: string): CapacityTerms => ({
  basis: { kind: 'report', day: '2026-03-02', role: 'structural engineer', document, standard: null },
  format: { kind: 'working' },
  dynamic: { kind: 'notIncluded' },
  mustInclude: ['load', 'hoist', 'chain', 'legParts'],
  holdsWithOthersLoaded: true,
});

function pointOn(
  label: string,
  member: Member,
  at: { xM: number; yM: number; zM: number },
  stationM: number,
  wllKg: number,
  terms: CapacityTerms,
): RoofPoint {
  return {
    id: demoId(`point ${terms.basis!.document} ${label}`),
    label,
    ...at,
    on: [{ memberId: member.id, stationM, share: 1 }],
    wllKg,
    reductions: [],
    maxAngleDeg: null,
    maxSidewaysKn: null,
    attachment: 'eye',
    access: 'catwalk',
    state: 'inService',
    stateReason: null,
    outOfService: [],
    inspectionDueDay: '2039-03-31',
    stiffnessKnPerM: null,
    terms,
  };
}

const groupOf = (label: string, points: readonly RoofPoint[], maxKg: number, terms: CapacityTerms): Limit => ({
  id: demoId(`limit ${terms.basis!.document} ${label}`),
  label,
  kind: 'group',
  pointIds: points.map(({ id }) => id),
  maxKg,
  minKg: null,
  hard: true,
  terms,
});

type GirderPlan = {
  name: string;
  document: string;
  count: number;
  spacingM: number;
  lengthM: number;
  zM: number;
  perGirder: number;
  wllKg: (n: number) => number;
  allowKnm: number;
  allowKn: number;
  girderKg: number;
  selfKgPerM: number;
};

/** Parallel girders across the room, each on two columns, with points at even stations. */
function girders(plan: GirderPlan): { nodes: RoofNode[]; members: Member[]; points: RoofPoint[]; limits: Limit[] } {
  const terms = termsOf(plan.document);
  const half = plan.lengthM / 2;
  const made = { nodes: [] as RoofNode[], members: [] as Member[], points: [] as RoofPoint[], limits: [] as Limit[] };
  for (let girder = 1; girder <= plan.count; girder += 1) {
    const yM = (girder - (plan.count + 1) / 2) * plan.spacingM;
    const label = `${plan.name}${girder}`;
    const ends = [-half, half].map((xM, end): RoofNode => ({
      id: demoId(`node ${plan.document} ${label} ${end}`),
      label: `${label} ${end === 0 ? 'left' : 'right'}`,
      xM,
      yM,
      zM: plan.zM,
    }));
    const member: Member = {
      id: demoId(`member ${plan.document} ${label}`),
      label,
      fromNodeId: ends[0]!.id,
      toNodeId: ends[1]!.id,
      supports: [
        { id: 'left', atM: 0 },
        { id: 'right', atM: plan.lengthM },
      ],
      selfKgPerM: plan.selfKgPerM,
      deadLoads: [{ fromM: 0, toM: plan.lengthM, kgPerM: plan.selfKgPerM / 4 }],
      eGpa: 210,
      iCm4: 2_500_000,
      allowables: [{ fromM: 0, toM: plan.lengthM, saggingKnm: plan.allowKnm, hoggingKnm: plan.allowKnm / 4, shearKn: plan.allowKn }],
      allowableIs: 'imposed',
      terms,
      panelPoints: null,
      otherEffectsBasis: terms.basis,
    };
    const points = Array.from({ length: plan.perGirder }, (_, n) => {
      const stationM = ((n + 0.5) * plan.lengthM) / plan.perGirder;
      return pointOn(`${label}-${n + 1}`, member, { xM: stationM - half, yM, zM: plan.zM - 0.4 }, stationM, plan.wllKg(n), terms);
    });
    made.nodes.push(...ends);
    made.members.push(member);
    made.points.push(...points);
    made.limits.push(groupOf(`Girder ${label}`, points, plan.girderKg, terms));
  }
  return made;
}

const rectangle = (x0: number, x1: number, y0: number, y1: number) => [
  { xM: x0, yM: y0 },
  { xM: x1, yM: y0 },
  { xM: x1, yM: y1 },
  { xM: x0, yM: y1 },
];
const keepOut = (
  label: string,
  reason: KeepOut['reason'],
  area: KeepOut['area'],
  fromZM: number,
  toZM: number,
  hard: boolean,
): KeepOut => ({
  id: demoId(`keep-out ${label}`),
  label,
  reason,
  area,
  fromZM,
  toZM,
  hard,
  fromDay: null,
  untilDay: null,
});

const roofOf = (made: {
  nodes: RoofNode[];
  members: Member[];
  points: RoofPoint[];
  limits: Limit[];
  keepOuts?: KeepOut[];
  standing?: StandingLoad[];
}): DemoRoof => ({
  points: made.points,
  items: [
    ...made.nodes.map((body) => ({ kind: 'node' as const, body })),
    ...made.members.map((body) => ({ kind: 'member' as const, body })),
    ...made.points.map((body) => ({ kind: 'point' as const, body })),
    ...made.limits.map((body) => ({ kind: 'limit' as const, body })),
    ...(made.keepOuts ?? []).map((body) => ({ kind: 'keepOut' as const, body })),
    ...(made.standing ?? []).map((body) => ({ kind: 'standingLoad' as const, body })),
  ],
});

/** 200 points on ten girders, limits of several kinds, a scoreboard that hangs there always. */
export function arenaRoof(): DemoRoof {
  const document = 'Roof report A-26-014';
  const terms = termsOf(document);
  const made = girders({
    name: 'G',
    document,
    count: 10,
    spacingM: 6,
    lengthM: 60,
    zM: 18,
    perGirder: 20,
    wllKg: (n) => (n < 2 || n > 17 ? 500 : 1000),
    allowKnm: 1200,
    allowKn: 90,
    girderKg: 8000,
    selfKgPerM: 180,
  });
  const near = (girder: number) => made.points.filter(({ label }) => label.startsWith(`G${girder}-`));
  const limits: Limit[] = [
    ...made.limits,
    groupOf('Whole roof', made.points, 45_000, terms),
    {
      id: demoId('limit column line'),
      label: 'Column line under G5 and G6',
      kind: 'weighted',
      weights: [...near(5), ...near(6)].map(({ id }, n) => ({ pointId: id, factor: 0.9 - 0.02 * (n % 20) })),
      maxKg: 9000,
      minKg: null,
      hard: true,
      terms,
    },
    {
      id: demoId('limit count'),
      label: 'Upstage bay',
      kind: 'count',
      pointIds: near(10).map(({ id }) => id),
      maxLoaded: 8,
      hard: false,
      terms,
    },
  ];
  const standing: StandingLoad[] = [
    {
      id: demoId('standing scoreboard'),
      label: 'Scoreboard, parked high',
      permanent: true,
      points: [9, 10].flatMap((n) => [5, 6].map((girder) => ({ pointId: near(girder)[n]!.id, massKg: 450 }))),
      memberLoads: [],
      fromDay: null,
      untilDay: null,
    },
  ];
  const keepOuts = [
    keepOut('Catwalk', 'catwalk', rectangle(-30, 30, -0.8, 0.8), 15, 17.4, true),
    keepOut('Scoreboard', 'scoreboard', rectangle(-4, 4, -4, 4), 12, 17.6, true),
    keepOut('Smoke vent', 'smokeVent', rectangle(20, 24, 20, 24), 16.5, 17.6, false),
  ];
  return roofOf({ ...made, limits, standing, keepOuts });
}

export const ballroomRoof = (): DemoRoof =>
  roofOf(
    girders({
      name: 'B',
      document: 'Roof report B-25-003',
      count: 4,
      spacingM: 5,
      lengthM: 18,
      zM: 6.5,
      perGirder: 6,
      wllKg: () => 250,
      allowKnm: 90,
      allowKn: 20,
      girderKg: 1000,
      selfKgPerM: 45,
    }),
  );

export const theatreRoof = (): DemoRoof => {
  const made = girders({
    name: 'T',
    document: 'Grid report T-24-110',
    count: 6,
    spacingM: 2,
    lengthM: 14,
    zM: 16,
    perGirder: 7,
    wllKg: () => 400,
    allowKnm: 120,
    allowKn: 40,
    girderKg: 2000,
    selfKgPerM: 30,
  });
  return roofOf({ ...made, keepOuts: [keepOut('Safety curtain', 'safetyCurtain', rectangle(-8, 8, -6.2, -5.6), 0, 16, true)] });
};
