import type { OrgKind } from '../auth/can.ts';
import type { Party } from '../domain/agreement/parties.ts';
import type { Plan } from '../domain/plan/plan.ts';
import { offeredPolicies } from '../domain/roof/offered-policies.ts';
import type { Exposure, RoofPoint } from '../domain/roof/structure.ts';
import { hashOf, secretText } from '../routes/auth/secrets.ts';
import { startOfLocalDay } from '../routes/local-day.ts';
import type { Scope } from '../store/database.ts';
import type { Answer, Reply } from '../store/once.ts';
import type { Proposal } from '../store/proposals/rows.ts';
import type { Store } from '../store/store.ts';
import { arenaRoof, ballroomRoof, theatreRoof, type DemoRoof } from './arena.ts';
import { hangOf, planWith } from './plans.ts';

/** Everybody in the demonstration signs in with this. */
export const DEMO_PASSWORD = 'hang it from the moon';

type DemoPerson = { name: string; email: string; roles: string[] };
const VENUE = { name: 'Umbrel Quay Halls', kind: 'venueOperator' as const };
const VENUE_PEOPLE: DemoPerson[] = [
  { name: 'Tamsin Orrowby', email: 'tamsin@umbrelquay.example', roles: ['administrator', 'technicalManager', 'decider'] },
  { name: 'Ivo Brandelling', email: 'ivo@umbrelquay.example', roles: ['engineer'] },
  { name: 'Pell Harkaway', email: 'pell@umbrelquay.example', roles: ['houseRigger'] },
  { name: 'Juno Weatherlow', email: 'juno@umbrelquay.example', roles: ['crew'] },
];
const TOUR = { name: 'Moth and Meridian Touring', kind: 'production' as const };
const TOUR_PEOPLE: DemoPerson[] = [
  { name: 'Rook Sallowfield', email: 'rook@mothmeridian.example', roles: ['administrator', 'headRigger', 'productionOffice'] },
  { name: 'Etta Vanderquill', email: 'etta@mothmeridian.example', roles: ['systemDesigner'] },
  { name: 'Odalys Fenmarch', email: 'odalys@mothmeridian.example', roles: ['productionOffice'] },
];
const SECOND = { name: 'Grebe Stair Productions', kind: 'production' as const };
const SECOND_PEOPLE: DemoPerson[] = [
  { name: 'Bastian Thrupp', email: 'bastian@grebestair.example', roles: ['administrator', 'headRigger', 'productionOffice'] },
];

/** Who to be, and why. Printed at the start. */
export const DEMO_SIGN_INS = [
  { email: 'tamsin@umbrelquay.example', who: 'technical manager of the venue: decides' },
  { email: 'ivo@umbrelquay.example', who: "the venue's structural engineer" },
  { email: 'pell@umbrelquay.example', who: 'house rigger' },
  { email: 'rook@mothmeridian.example', who: 'head rigger on tour: plans and submits' },
  { email: 'etta@mothmeridian.example', who: 'system designer on tour' },
  { email: 'odalys@mothmeridian.example', who: 'production office' },
  { email: 'bastian@grebestair.example', who: 'head rigger of another production' },
] as const;

type Member = { author: { personId: string; orgId: string; name: string }; scope: Scope; roles: string[] };

/** Fills an empty service with an invented venue, two productions and a tour of three shows: one agreed, one over, one with questions. */
export async function loadDemo(store: Store, now: () => Date, hash: (password: string) => Promise<string>): Promise<void> {
  const passwordHash = await hash(DEMO_PASSWORD); // one salt for all: these passwords are printed anyway
  const [manager] = await organisation(store, VENUE, VENUE_PEOPLE, passwordHash);
  const [rigger] = await organisation(store, TOUR, TOUR_PEOPLE, passwordHash);
  const [other] = await organisation(store, SECOND, SECOND_PEOPLE, passwordHash);
  const arena = await venue(store, manager!, 'Umbrel Dome', 'Tarrowby', 'Bowl', arenaRoof());
  const ballroom = await venue(store, manager!, 'Saltwick Rooms', 'Lower Tarrowby', 'Ballroom', ballroomRoof());
  const theatre = await venue(store, manager!, 'Quillfen Playhouse', 'Tarrowby', 'Flytower', theatreRoof());

  const day = (days: number, hour: number) => {
    const at = new Date(now().getTime() + days * 86_400_000);
    return new Date(Date.UTC(at.getUTCFullYear(), at.getUTCMonth(), at.getUTCDate(), hour));
  };
  for (const space of [arena, ballroom, theatre]) await access(store, manager!, rigger!, space.spaceId, day(200, 0));
  await access(store, manager!, other!, arena.spaceId, day(200, 0));

  const tour = await done(store.shows.createProduction, rigger!.scope, { actor: rigger!.author, name: 'The Long Weather' });
  const fits = planWith(
    pick(arena.points, ['G3-6', 'G3-15', 'G4-6', 'G4-15']).map((point, n) =>
      hangOf({ name: `Sound ${n + 1}`, point, what: 'loudspeaker cluster with frame', massKg: 420, basis: 'weighed', trimM: 12, lowM: 8 }),
    ),
  );
  const agreed = await proposal(
    store,
    rigger!,
    { productionId: tour.id, spaceId: arena.spaceId, name: 'Night one, Umbrel Dome', from: day(30, 6), to: day(31, 4) },
    'Main rig',
    fits,
  );
  await decide(store, manager!, agreed, 'agree');

  const heavy = planWith(
    pick(ballroom.points, ['B2-3', 'B2-4']).map((point, n) =>
      hangOf({
        name: `Side ${n + 1}`,
        point,
        what: 'loudspeaker cluster with frame',
        massKg: 260,
        basis: 'documented',
        trimM: 4.5,
        lowM: 3,
      }),
    ),
  );
  await proposal(
    store,
    rigger!,
    { productionId: tour.id, spaceId: ballroom.spaceId, name: 'Night two, Saltwick Rooms', from: day(33, 6), to: day(34, 4) },
    'Main rig',
    heavy,
  );

  const asked = planWith(
    pick(theatre.points, ['T3-2', 'T3-6']).map((point, n) =>
      hangOf({ name: `Pros ${n + 1}`, point, what: 'loudspeaker cluster with frame', massKg: 180, basis: 'estimated', trimM: 9, lowM: 7 }),
    ),
  );
  const questioned = await proposal(
    store,
    rigger!,
    { productionId: tour.id, spaceId: theatre.spaceId, name: 'Night three, Quillfen Playhouse', from: day(36, 6), to: day(37, 4) },
    'Main rig',
    asked,
  );
  await decide(store, manager!, questioned, 'ask', 'Where do the multicores cross the safety curtain line?');

  const fair = await done(store.shows.createProduction, other!.scope, { actor: other!.author, name: 'Lantern fair' });
  const beside = planWith(
    pick(arena.points, ['G7-8', 'G7-13']).map((point, n) =>
      hangOf({ name: `Fair ${n + 1}`, point, what: 'lighting pod', massKg: 300, basis: 'documented', trimM: 12, lowM: 9 }),
    ),
  );
  await proposal(
    store,
    other!,
    { productionId: fair.id, spaceId: arena.spaceId, name: 'Fair weekend', from: day(30, 12), to: day(32, 4) },
    'Pods',
    beside,
  );
}

const pick = (points: readonly RoofPoint[], labels: readonly string[]): RoofPoint[] =>
  labels.map((label) => {
    const found = points.find((point) => point.label === label);
    if (!found) throw new Error(`the demonstration has no point ${label}`);
    return found;
  });

/** An operation of the store, done without a key; a refusal is a fault of the demonstration. */
async function done<I, T, E>(
  operation: (scope: Scope, input: I, reply: Reply<T>) => Promise<{ ok: true; value: Answer } | { ok: false; error: E }>,
  scope: Scope,
  input: I,
): Promise<T> {
  let made: { value: T } | null = null;
  const present = (value: T): Answer => {
    made = { value };
    return { status: 200, body: null };
  };
  const result = await operation(scope, input, { once: { key: null, route: 'demo', bodyHash: '' }, present });
  if (!result.ok) throw new Error(`the demonstration was refused: ${JSON.stringify(result.error)}`);
  return (made as unknown as { value: T }).value;
}

async function organisation(
  store: Store,
  { name, kind }: { name: string; kind: OrgKind },
  people: readonly DemoPerson[],
  passwordHash: string,
): Promise<Member[]> {
  const [founder, ...others] = people;
  const made = await store.accounts.signUp(
    { email: founder!.email, displayName: founder!.name, passwordHash, organisation: { name, kind } },
    hashOf(secretText()),
    'demonstration',
  );
  if (!made.ok) throw new Error(made.error.code);
  const { personId, orgId } = made.value;
  const members: Member[] = [{ author: { personId, orgId, name: founder!.name }, scope: { personId, orgId }, roles: founder!.roles }];
  for (const { name: displayName, email, roles } of others) {
    const token = hashOf(secretText());
    await done(store.accounts.invite, members[0]!.scope, { actor: members[0]!.author, email, roles, tokenHash: token });
    const offer = await store.accounts.invitationByToken(token);
    if (!offer) throw new Error('an invitation of the demonstration is not to be found');
    const joined = await store.accounts.acceptInvitation(offer, token, {
      kind: 'new',
      displayName,
      passwordHash,
      refreshHash: hashOf(secretText()),
      client: 'demonstration',
    });
    if (!joined.ok) throw new Error(joined.error.code);
    members.push({
      author: { personId: joined.value.personId, orgId, name: displayName },
      scope: { personId: joined.value.personId, orgId },
      roles,
    });
  }
  return members;
}

async function venue(
  store: Store,
  manager: Member,
  name: string,
  place: string,
  spaceName: string,
  roof: DemoRoof,
): Promise<{ spaceId: string; points: RoofPoint[] }> {
  const hall = await done(store.register.createVenue, manager.scope, {
    actor: manager.author,
    name,
    place,
    timeZone: 'Europe/Amsterdam',
    contactRole: 'technical manager',
  });
  const exposure: Exposure = 'indoor';
  const space = await done(store.register.createSpace, manager.scope, {
    actor: manager.author,
    venueId: hall.id,
    name: spaceName,
    exposure,
  });
  const changes = roof.items.map(({ kind, body }) => ({ kind, id: body.id, ifMatch: null, body }));
  const changed = await done(store.register.changeItems, manager.scope, {
    actor: manager.author,
    spaceId: space.id,
    changes,
    because: 'demonstration',
  });
  const { policy } = offeredPolicies()[0]!;
  const signed = await done(store.register.signPolicy, manager.scope, {
    actor: manager.author,
    spaceId: space.id,
    ifMatch: changed.version,
    policy: {
      policy: { ...policy, engineerAboveKg: 10_000 },
      signedBy: manager.author.name,
      signerRole: 'technical manager',
      signedAt: '2026-04-01T09:00:00.000Z',
    },
  });
  await done(store.register.publish, manager.scope, {
    actor: manager.author,
    spaceId: space.id,
    ifMatch: signed.version,
    note: 'From the report of the structural engineer.',
    dayStartOf: startOfLocalDay,
  });
  return { spaceId: space.id, points: roof.points };
}

async function access(store: Store, manager: Member, asker: Member, spaceId: string, until: Date): Promise<void> {
  const asked = await done(store.access.ask, asker.scope, { actor: asker.author, spaceId, note: 'For the coming tour.', until });
  await done(store.access.decide, manager.scope, {
    actor: manager.author,
    id: asked.id,
    ifMatch: asked.version,
    reply: '',
    answer: 'grant' as const,
    until,
  });
}

const partyOf = (side: Party['side'], { author, roles }: Member): Party => ({ side, personId: author.personId, roles });

async function proposal(
  store: Store,
  rigger: Member,
  show: { productionId: string; spaceId: string; name: string; from: Date; to: Date },
  name: string,
  plan: Plan,
): Promise<Proposal> {
  const { from: startsAt, to: endsAt, ...rest } = show;
  const opened = await done(store.shows.createShow, rigger.scope, {
    actor: rigger.author,
    ...rest,
    startsAt,
    endsAt,
    calls: [{ what: 'load-in', at: startsAt.toISOString() }],
  });
  const begun = await done(store.proposals.create, rigger.scope, { actor: rigger.author, showId: opened.id, name });
  const party = partyOf('tour', rigger);
  const edited = await done(store.proposals.edit, rigger.scope, {
    actor: rigger.author,
    party,
    proposalId: begun.id,
    ifMatch: begun.version,
    unagree: false,
    edit: { kind: 'whole' as const, plan },
  });
  const put = await done(store.proposals.submit, rigger.scope, {
    actor: rigger.author,
    party,
    proposalId: begun.id,
    ifMatch: edited.version,
    note: '',
  });
  return put.proposal;
}

async function decide(
  store: Store,
  manager: Member,
  { id, spaceId, version }: Proposal,
  answer: 'agree' | 'ask',
  reason = '',
): Promise<void> {
  const last = await store.proposals.lastAssessment(manager.scope, id);
  if (!last) throw new Error('a submission of the demonstration has no assessment');
  const ticks = last.assessment.outcome.checks
    .filter(({ verdict }) => verdict !== 'fits')
    .map(({ id: checkId, demand, capacity }) => ({ checkId, demand, capacity }));
  await done(store.proposals.review, manager.scope, {
    actor: manager.author,
    party: partyOf('venue', manager),
    proposalId: id,
    spaceId,
    ifMatch: version,
    answer,
    capacity: 'decider' as const,
    assessmentHash: last.kept.assessmentHash,
    ticks: answer === 'agree' ? ticks : [],
    conditions: [],
    reason,
    validUntil: null,
  });
}
