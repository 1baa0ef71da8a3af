import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { ACCESS } from '../../src/auth/access-table.ts';
import type { OrgKind } from '../../src/auth/can.ts';
import { offeredPolicies } from '../../src/domain/roof/offered-policies.ts';
import { EXAMPLE_ITEM } from '../../src/routes/schemas/equipment-example.ts';
import {
  EXAMPLE_KEEP_OUT,
  EXAMPLE_LIMIT,
  EXAMPLE_MEMBER,
  EXAMPLE_NODE,
  EXAMPLE_STANDING_LOAD,
} from '../../src/routes/schemas/structure-example.ts';
import type { Called, Caller, RunningApp } from '../support/app.ts';
import { deadHang, planOf, pointAt } from '../support/scene.ts';
import type { Operation } from './operations.ts';

/** Stands in everything that only the two sides may read: found in what a third party receives, it has leaked. */
export const CANARY = 'Quokka-7f3a';

/** Who asks: a token, and the organisation it acts for where it belongs to several. */
export type Voice = { readonly token: string | null; readonly org?: string };
export type Role = string;

/** A venue and a production with an agreed proposal between them, everybody who works there, and three strangers. */
export type World = {
  readonly venue: Caller;
  readonly tour: Caller;
  /** Those who may do something on one of the sides, to be tried in turn. */
  readonly insiders: readonly Voice[];
  readonly voices: ReadonlyMap<Role, Voice>;
  readonly paramsOf: (operation: Operation, of?: 'venue' | 'tour') => Record<string, string>;
  /** The same example, with the ids of this world in place of its own. */
  readonly bodyOf: (operation: Operation) => unknown;
  readonly proposalId: string;
};

const EXPIRED_IN = '2027-01-01T00:00:00Z';
const sure = (called: Called): Called => {
  if (called.status >= 300) throw new Error(`${called.status} ${JSON.stringify(called.body)}`);
  return called;
};

export async function makeWorld(running: RunningApp): Promise<World> {
  const venue = await running.signUp('Venue manager', 'venueOperator');
  const tour = await running.signUp('Head rigger', 'production');
  const strangers = {
    thirdVenue: await running.signUp('Third venue', 'venueOperator'),
    thirdTour: await running.signUp('Third tour', 'production'),
    supplier: await running.signUp('Supplier', 'supplier'),
  };

  const hall = sure(
    await venue.call('POST', 'venues', { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'technical manager' }),
  );
  const bowl = sure(await venue.call('POST', `venues/${hall.body.id}/spaces`, { name: 'Bowl', exposure: 'indoor' }));
  const point = pointAt(`${CANARY} P1`, -12, -12, 1000);
  const farNode = { ...EXAMPLE_NODE, id: EXAMPLE_MEMBER.toNodeId, label: 'N3', xM: 12 };
  const labelled = <T extends { label: string }>(item: T): T => ({ ...item, label: `${CANARY} ${item.label}` });
  const items = {
    nodes: labelled(EXAMPLE_NODE),
    members: labelled(EXAMPLE_MEMBER),
    points: point,
    limits: { ...labelled(EXAMPLE_LIMIT), pointIds: [point.id] },
    'keep-outs': labelled(EXAMPLE_KEEP_OUT),
    'standing-loads': { ...labelled(EXAMPLE_STANDING_LOAD), points: [{ pointId: point.id, massKg: 20 }] },
  };
  const changes = [
    { kind: 'nodes', ifMatch: null, item: farNode },
    ...Object.entries(items).map(([kind, item]) => ({ kind, ifMatch: null, item })),
  ];
  const structure = `spaces/${bowl.body.id}/structure`;
  const added = sure(await venue.call('POST', `${structure}/batch`, { changes }));
  const policy = { policy: offeredPolicies()[0]!.policy, signerRole: 'technical manager' };
  const signed = sure(await venue.call('PUT', `${structure}/policy`, policy, { 'if-match': added.etag }));
  const publish = async (note: string, etag: string) =>
    sure(await venue.call('POST', `spaces/${bowl.body.id}/revisions`, { note }, { 'if-match': etag }));
  await publish(`${CANARY} first`, signed.etag);
  const raised = { ...items.nodes, zM: items.nodes.zM + 0.01 };
  const kept = await venue.call('GET', `${structure}/nodes/${raised.id}`);
  sure(await venue.call('PUT', `${structure}/nodes/${raised.id}`, raised, { 'if-match': kept.etag }));
  await publish(`${CANARY} second`, (await venue.call('GET', structure)).etag);

  const asked = sure(await tour.call('POST', `spaces/${bowl.body.id}/access`, { note: CANARY, until: EXPIRED_IN }));
  const grant = { answer: 'grant', until: EXPIRED_IN, reply: CANARY };
  sure(await venue.call('PATCH', `access/${asked.body.id}`, grant, { 'if-match': asked.etag }));
  const production = sure(await tour.call('POST', 'productions', { name: `${CANARY} tour` }));
  const show = sure(
    await tour.call('POST', `productions/${production.body.id}/shows`, {
      spaceId: bowl.body.id,
      name: `${CANARY} night`,
      from: '2026-07-01T08:00:00+02:00',
      to: '2026-07-02T04:00:00+02:00',
      calls: [{ what: CANARY, at: '2026-07-01T09:00:00+02:00' }],
    }),
  );
  // Clear of what is kept free, so that nothing is unknown and one yes is enough.
  const box = { xM: -12, yM: -12, alongM: 1, acrossM: 1, azimuthDeg: 0, bottomZM: 4, topZM: 5 };
  const hang = { ...deadHang(point, 300), label: `${CANARY} hang`, box };
  const proposal = sure(await tour.call('POST', 'proposals', { showId: show.body.id, name: `${CANARY} rig` }));
  const at = `proposals/${proposal.body.id}`;
  const edited = sure(await tour.call('PUT', `${at}/plan`, planOf(hang), { 'if-match': proposal.etag }));
  sure(await tour.call('POST', `${at}/submission`, { note: CANARY }, { 'if-match': edited.etag }));
  const comment = sure(
    await tour.call('POST', `${at}/comments`, { pinKind: 'proposal', pinId: null, text: `${CANARY} said`, blocking: false }),
  );
  await agree(venue, at);

  const voices = new Map<Role, Voice>([['signedOut', { token: null }]]);
  for (const [role, { token }] of Object.entries(strangers)) voices.set(role, { token });
  for (const role of ROLES.venue) voices.set(`venue:${role}`, await worker(running, venue.orgId, role));
  for (const role of ROLES.tour) voices.set(`tour:${role}`, await worker(running, tour.orgId, role));
  for (const [side, owner] of Object.entries({ venue, tour })) {
    for (const scope of ['read', 'write'] as const) {
      const made = await owner.call('POST', 'auth/api-keys', { name: `${side} ${scope}`, scopes: [scope], expiresInDays: 90 });
      voices.set(`${side}:key:${scope}`, { token: String(sure(made).body.secret) });
    }
  }

  await asSuperuser(running, async (client) => {
    // Names of organisations are for everybody, names of people are not.
    await client.query(
      `UPDATE person SET display_name = $1 || display_name WHERE id IN (SELECT person_id FROM membership WHERE org_id IN ($2, $3))`,
      [CANARY, venue.orgId, tour.orgId],
    );
  });
  const sides = { venue, tour };
  const own = { venue: await ownThings(venue, 'houseRigger'), tour: await ownThings(tour, 'headRigger') };
  const table = 'Label;x m;y m;z m;WLL kg\r\nP9;3;3;12;1000\r\n';
  const imported = sure(
    await venue.call('POST', `spaces/${bowl.body.id}/imports?kind=point&fileName=points.csv`, table, { 'content-type': 'text/csv' }),
  );
  const paramsOf = (operation: Operation, of: 'venue' | 'tour' = 'venue'): Record<string, string> => {
    const kind = /\/structure\/([a-z-]+)\/\{itemId\}/.exec(operation.path)?.[1];
    const known: Record<string, string> = {
      venueId: hall.body.id,
      spaceId: bowl.body.id,
      itemId: kind === undefined ? point.id : items[kind as keyof typeof items].id,
      number: '1',
      from: '1',
      to: '2',
      accessId: asked.body.id,
      productionId: production.body.id,
      showId: show.body.id,
      proposalId: proposal.body.id,
      hangId: hang.id,
      commentId: comment.body.id,
      importId: imported.body.id,
      overrideId: randomUUID(),
      organisationId: sides[of].orgId,
      personId: sides[of].personId,
      ...own[of],
    };
    return Object.fromEntries(operation.params.map((name) => [name, known[name] ?? randomUUID()]));
  };
  const ids: Record<string, string> = { spaceId: bowl.body.id, showId: show.body.id, toPersonId: venue.personId };
  const bodyOf = ({ id, body }: Operation): unknown => {
    if (!body) return undefined;
    const example = structuredClone(body.examples[0]) as Record<string, unknown>;
    for (const [name, value] of Object.entries(ids)) if (name in example) example[name] = value;
    const item = /^put(\w+)$/.exec(id)?.[1];
    const own = Object.values(items).find((one) => item !== undefined && KIND_OF[item] !== undefined && one === items[KIND_OF[item]]);
    if (own) return own;
    if (id === 'addComment') example.blocking = false; // the crew comments, and does not block
    if (id === 'putHang') return { hang, equipment: {} };
    return example;
  };
  return {
    venue,
    tour,
    insiders: [{ token: venue.token }, { token: tour.token }, { token: strangers.supplier.token }],
    voices,
    paramsOf,
    bodyOf,
    proposalId: proposal.body.id,
  };
}

const KIND_OF: Record<string, 'nodes' | 'members' | 'points' | 'limits' | 'keep-outs' | 'standing-loads'> = {
  RoofNode: 'nodes',
  RoofMember: 'members',
  RoofPoint: 'points',
  RoofLimit: 'limits',
  KeepOut: 'keep-outs',
  StandingLoad: 'standing-loads',
};

/** Every role that the policy names, on its side. */
const ROLES = {
  venue: [...new Set(Object.values(ACCESS).flatMap(({ venue }) => venue))],
  tour: [...new Set(Object.values(ACCESS).flatMap(({ tour }) => tour))],
};

/** Somebody with exactly one role there, besides an organisation of their own that has nothing to do with it. */
async function worker(running: RunningApp, orgId: string, role: string): Promise<Voice> {
  const person = await running.signUp(`Worker ${role}`, 'supplier' satisfies OrgKind);
  const row = [orgId, person.personId, [role], running.clock.now];
  await asSuperuser(running, (client) =>
    client.query('INSERT INTO membership (org_id, person_id, roles, created_at) VALUES ($1, $2, $3, $4)', row),
  );
  return { token: person.token, org: orgId };
}

async function agree(venue: Caller, at: string): Promise<void> {
  const seen = await venue.call('GET', at);
  const last = sure(await venue.call('GET', `${at}/assessment`));
  const { assessmentHash, outcome } = last.body.assessment as {
    assessmentHash: string;
    outcome: { checks: { id: string; verdict: string; demand: number | null; capacity: number | null }[] };
  };
  const ticks = outcome.checks
    .filter(({ verdict }) => verdict !== 'fits')
    .map(({ id, demand, capacity }) => ({ checkId: id, demand, capacity }));
  const body = { answer: 'agree', capacity: 'decider', assessmentHash, ticks, conditions: [], reason: CANARY, validUntil: null };
  const decided = sure(await venue.call('POST', `${at}/review`, body, { 'if-match': seen.etag }));
  if (decided.body.state !== 'agreed')
    throw new Error(`it is ${String(decided.body.state)}, so those who read what is agreed would read nothing`);
}

async function asSuperuser(running: RunningApp, act: (client: pg.Client) => Promise<unknown>): Promise<void> {
  const client = new pg.Client({ connectionString: running.database.superUrl });
  await client.connect();
  try {
    await act(client);
  } finally {
    await client.end();
  }
}

async function ownThings(owner: Caller, role: string): Promise<Record<string, string>> {
  const key = sure(await owner.call('POST', 'auth/api-keys', { name: CANARY, scopes: ['read'], expiresInDays: 1 }));
  const invited = { email: `${CANARY}.${role}@test.example`, roles: [role] };
  const invitation = sure(await owner.call('POST', `organisations/${owner.orgId}/invitations`, invited));
  const sessions = sure(await owner.call('GET', 'auth/sessions'));
  const item = { data: { ...EXAMPLE_ITEM.data, name: CANARY }, note: CANARY };
  const entered = sure(await owner.call('POST', 'equipment', item));
  sure(await owner.call('PUT', `equipment/${entered.body.id}`, item, { 'if-match': entered.etag }));
  const table = 'Name;kg per m\r\nMulticore;1\r\n';
  const brought = await owner.call('POST', `equipment-imports?kind=cable&fileName=${CANARY}.csv`, table, { 'content-type': 'text/csv' });
  return {
    equipmentId: entered.body.id,
    equipmentImportId: sure(brought).body.id,
    apiKeyId: key.body.id,
    invitationId: invitation.body.id,
    sessionId: String(sessions.body.items[0]!.id),
  };
}
