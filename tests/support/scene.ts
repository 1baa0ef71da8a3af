import { randomUUID } from 'node:crypto';
import { EXAMPLE_PLAN } from '../../src/routes/schemas/plan-example.ts';
import type { Actor, OrgKind } from '../../src/auth/can.ts';
import type { Party } from '../../src/domain/agreement/parties.ts';
import type { Hang, Plan } from '../../src/domain/plan/plan.ts';
import { offeredPolicies } from '../../src/domain/roof/offered-policies.ts';
import type { CapacityTerms, Limit, Member, RoofPoint } from '../../src/domain/roof/structure.ts';
import type { Scope } from '../../src/store/database.ts';
import type { Answer, Reply } from '../../src/store/once.ts';
import type { Proposal } from '../../src/store/proposals/rows.ts';
import type { Space } from '../../src/store/register/venues.ts';
import type { Show } from '../../src/store/shows.ts';
import type { Store } from '../../src/store/store.ts';

/** A person of the tests: as the store, the policy and history know them. */
export type TestPerson = { actor: Actor; author: { personId: string; orgId: string; name: string }; scope: Scope };

/** An act without a key, that hands back what the store returned. */
export function plainly<T>(): { reply: Reply<T>; value: () => T } {
  let kept: T | undefined;
  return {
    reply: {
      once: { key: null, route: 'test', bodyHash: '' },
      present: (value): Answer => {
        kept = value;
        return { status: 200, body: null };
      },
    },
    value: () => kept as T,
  };
}

export async function done<I, T, E>(
  operation: (scope: Scope, input: I, reply: Reply<T>) => Promise<{ ok: true; value: Answer } | { ok: false; error: E }>,
  scope: Scope,
  input: I,
): Promise<T> {
  const { reply, value } = plainly<T>();
  const result = await operation(scope, input, reply);
  if (!result.ok) throw new Error(`refused: ${JSON.stringify(result.error)}`);
  return value();
}

let emails = 0;
export async function somebody(store: Store, kind: OrgKind, name: string, roles: string[]): Promise<TestPerson> {
  emails += 1;
  const made = await store.accounts.signUp(
    {
      email: `${name.toLowerCase().replaceAll(' ', '.')}.${emails}@test.example`,
      displayName: name,
      passwordHash: 'none',
      organisation: { name: `${name}'s`, kind },
    },
    randomUUID(),
    'test',
  );
  if (!made.ok) throw new Error(made.error.code);
  const { personId, orgId } = made.value;
  return personOf(personId, orgId, kind, name, roles);
}
export const personOf = (personId: string, orgId: string, orgKind: OrgKind, name: string, roles: string[]): TestPerson => ({
  actor: { personId, orgId, orgKind, roles, scopes: null },
  author: { personId, orgId, name },
  scope: { personId, orgId },
});
export const partyOn = (side: 'venue' | 'tour', { actor }: TestPerson): Party => ({ side, personId: actor.personId, roles: actor.roles });

export const STATED: CapacityTerms = {
  basis: { kind: 'report', day: '2026-03-01', role: 'structural engineer', document: 'R-1', standard: null },
  format: { kind: 'working' },
  dynamic: { kind: 'notIncluded' },
  mustInclude: ['load', 'hoist', 'chain', 'legParts'],
  holdsWithOthersLoaded: true,
};

export const pointAt = (label: string, xM: number, yM: number, wllKg: number | null, id: string = randomUUID()): RoofPoint => ({
  id,
  label,
  xM,
  yM,
  zM: 14,
  on: [],
  wllKg,
  reductions: [],
  maxAngleDeg: null,
  maxSidewaysKn: null,
  attachment: 'eye',
  access: null,
  state: 'inService',
  stateReason: null,
  outOfService: [],
  inspectionDueDay: '2099-01-01',
  stiffnessKnPerM: null,
  terms: STATED,
});
export const groupOf = (label: string, points: RoofPoint[], maxKg: number): Limit => ({
  id: randomUUID(),
  label,
  kind: 'group',
  pointIds: points.map(({ id }) => id),
  maxKg,
  minKg: null,
  hard: true,
  terms: STATED,
});

export type Scene = { store: Store; manager: TestPerson; rigger: TestPerson; space: Space; points: RoofPoint[]; limits: Limit[] };

/** An invented venue with a published roof, and a production that it lets in. `beside`: another space of the same venue, for the same people. */
export async function publishedScene(
  store: Store,
  {
    points,
    limits = [],
    members = [],
    until = new Date('2099-01-01T00:00:00Z'),
    beside,
  }: { points: RoofPoint[]; limits?: Limit[]; members?: Member[]; until?: Date; beside?: Scene | undefined },
): Promise<Scene> {
  const manager = beside?.manager ?? (await somebody(store, 'venueOperator', 'Manager', ['technicalManager', 'decider']));
  const rigger = beside?.rigger ?? (await somebody(store, 'production', 'Rigger', ['headRigger', 'productionOffice']));
  const venueId =
    beside?.space.venueId ??
    (
      await done(store.register.createVenue, manager.scope, {
        actor: manager.author,
        name: 'Hall',
        place: 'Town',
        timeZone: 'Europe/Amsterdam',
        contactRole: 'technical manager',
      })
    ).id;
  const space = await done(store.register.createSpace, manager.scope, {
    actor: manager.author,
    venueId,
    name: 'Bowl',
    exposure: 'indoor' as const,
  });
  await done(store.register.changeItems, manager.scope, {
    actor: manager.author,
    spaceId: space.id,
    because: 'test',
    changes: [
      ...points.map((body) => ({ kind: 'point' as const, id: body.id, ifMatch: null, body })),
      ...members.map((body) => ({ kind: 'member' as const, id: body.id, ifMatch: null, body })),
      ...limits.map((body) => ({ kind: 'limit' as const, id: body.id, ifMatch: null, body })),
    ],
  });
  await signPolicy(store, manager, space.id);
  await publishNow(store, manager, space.id, 'first');
  await letIn(store, manager, rigger, space.id, until);
  return { store, manager, rigger, space, points, limits };
}

export async function signPolicy(store: Store, manager: TestPerson, spaceId: string): Promise<void> {
  const structure = await store.register.structure(manager.scope, spaceId);
  const { policy } = offeredPolicies()[0]!;
  await done(store.register.signPolicy, manager.scope, {
    actor: manager.author,
    spaceId,
    ifMatch: structure!.version,
    policy: { policy, signedBy: manager.author.name, signerRole: 'technical manager', signedAt: '2026-01-01T00:00:00.000Z' },
  });
}

export async function publishNow(store: Store, manager: TestPerson, spaceId: string, note: string) {
  const structure = await store.register.structure(manager.scope, spaceId);
  return done(store.register.publish, manager.scope, {
    actor: manager.author,
    spaceId,
    ifMatch: structure!.version,
    note,
    dayStartOf: (day: string) => `${day}T00:00:00.000Z`,
  });
}

/** What the background work does after a publication, done now. Tells what came of it, by proposal. */
export async function settledNow(
  store: Store,
  { scope }: TestPerson,
  spaceId: string,
  revision: number,
): Promise<Map<string, string | null>> {
  while ((await store.register.reAssessNext(scope, spaceId, revision)) === 'more');
  const found = await store.register.reAssessment(scope, spaceId, revision);
  return new Map(found?.agreements.map(({ proposalId, outcome }) => [proposalId, outcome]));
}

export async function letIn(store: Store, manager: TestPerson, rigger: TestPerson, spaceId: string, until: Date): Promise<void> {
  const asked = await done(store.access.ask, rigger.scope, { actor: rigger.author, spaceId, note: '', until });
  await done(store.access.decide, manager.scope, {
    actor: manager.author,
    id: asked.id,
    ifMatch: asked.version,
    reply: '',
    answer: 'grant' as const,
    until,
  });
}

export async function openShow(store: Store, rigger: TestPerson, spaceId: string, from: string, to: string): Promise<Show> {
  const production = await done(store.shows.createProduction, rigger.scope, { actor: rigger.author, name: 'Tour' });
  return done(store.shows.createShow, rigger.scope, {
    actor: rigger.author,
    productionId: production.id,
    spaceId,
    name: 'Night',
    startsAt: new Date(from),
    endsAt: new Date(to),
    calls: [],
  });
}

/** One hang of `massKg` dead-hung from one point: nothing but the mass comes to the point, so that tests can count in kg. */
export const deadHang = (point: RoofPoint, massKg: number | null): Hang => ({
  ...EXAMPLE_PLAN.hangs[0]!,
  id: randomUUID(),
  kind: 'single',
  label: 'Hang',
  items: [{ what: 'load', count: 1, massKg, basis: 'weighed' }],
  cables: [],
  box: null,
  pickUps: [
    {
      ...EXAMPLE_PLAN.hangs[0]!.pickUps[0]!,
      id: randomUUID(),
      hoist: null,
      position: { xM: point.xM, yM: point.yM, zM: point.zM - 2 },
      attachment: { kind: 'direct', pointId: point.id, parts: [] },
    },
  ],
});
export const planOf = (...hangs: Hang[]): Plan => ({ format: 1, hangs, equipment: {} });

/** A proposal with this plan, put to the venue. */
export async function submitted(store: Store, rigger: TestPerson, show: Show, plan: Plan): Promise<Proposal> {
  const begun = await done(store.proposals.create, rigger.scope, { actor: rigger.author, showId: show.id, name: 'Rig' });
  const party = partyOn('tour', rigger);
  const edited = await done(store.proposals.edit, rigger.scope, {
    actor: rigger.author,
    party,
    proposalId: begun.id,
    ifMatch: begun.version,
    unagree: false,
    edit: { kind: 'whole' as const, plan },
  });
  const { proposal } = await done(store.proposals.submit, rigger.scope, {
    actor: rigger.author,
    party,
    proposalId: begun.id,
    ifMatch: edited.version,
    note: '',
  });
  return proposal;
}

/** The input of a yes to what is on the table, with every tick that it wants. */
export async function yesTo(store: Store, decider: TestPerson, proposal: Proposal, capacity: 'decider' | 'engineer' = 'decider') {
  const last = await store.proposals.lastAssessment(decider.scope, proposal.id);
  const checks = last!.assessment.outcome.checks.filter(({ verdict }) => verdict !== 'fits');
  return {
    actor: decider.author,
    party: partyOn('venue', decider),
    proposalId: proposal.id,
    spaceId: proposal.spaceId,
    ifMatch: proposal.version,
    answer: 'agree' as const,
    capacity,
    assessmentHash: last!.kept.assessmentHash,
    ticks: checks.map(({ id, demand, capacity: limit }) => ({ checkId: id, demand, capacity: limit })),
    conditions: [],
    reason: '',
    validUntil: null,
  };
}
