import { afterAll, beforeAll, expect, test } from 'vitest';
import type { OrgKind } from '../../../src/auth/can.ts';
import { startApp, type Called, type Caller, type RunningApp } from '../../support/app.ts';

let running: RunningApp;
beforeAll(async () => {
  running = await startApp();
});
afterAll(() => running.close());

const PASSWORD = 'a long test phrase';
const codeOf = ({ status, body }: Called) => [status, String(body.type).replace('/problems/', '')];
let invited = 0;
const newAddress = () => `invited.${(invited += 1)}@test.example`;

async function invite(by: Caller, roles: string[], email = newAddress()) {
  const made = await by.call('POST', `organisations/${by.orgId}/invitations`, { email, roles });
  expect(made.status).toBe(201);
  return { email, token: String(made.body.token), id: made.body.id };
}

/** A new person who has joined the organisation of `by`. */
async function joined(by: Caller, roles: string[]) {
  const { token, email } = await invite(by, roles);
  const accepted = await running.call('POST', 'auth/invitations/accept', { token, displayName: 'Invited', password: PASSWORD });
  expect(accepted.status).toBe(201);
  const personId = String(accepted.body.personId);
  const call = running.as(String((accepted.body.tokens as { accessToken: string }).accessToken));
  return { personId, email, call, path: `organisations/${by.orgId}/members/${personId}` };
}
const founder = (kind: OrgKind = 'venueOperator') => running.signUp('Founder', kind);

test('an invitation makes an account of the invited address, with the roles it names', async () => {
  const boss = await founder();
  const rigger = await joined(boss, ['houseRigger']);
  const me = await rigger.call('GET', 'auth/me');
  expect(me.body).toMatchObject({ person: { email: rigger.email }, memberships: [{ organisationId: boss.orgId, roles: ['houseRigger'] }] });
  const list = await rigger.call('GET', `organisations/${boss.orgId}/members`);
  expect(list.body.items.map(({ personId }) => personId).sort()).toEqual([boss.personId, rigger.personId].sort());
});

test('an invitation is good once, until it is revoked or 14 days old', async () => {
  const boss = await founder();
  const used = await invite(boss, ['crew']);
  const accept = (token: string) => running.call('POST', 'auth/invitations/accept', { token, displayName: 'Invited', password: PASSWORD });
  expect((await accept(used.token)).status).toBe(201);
  expect(codeOf(await accept(used.token))).toEqual([404, 'link-not-valid']);
  const revoked = await invite(boss, ['crew']);
  const path = `organisations/${boss.orgId}/invitations/${revoked.id}`;
  expect((await boss.call('DELETE', path)).status).toBe(428);
  expect((await boss.call('DELETE', path, undefined, { 'if-match': '"v1"' })).status).toBe(204);
  expect((await boss.call('DELETE', path, undefined, { 'if-match': '"v1"' })).status).toBe(404);
  expect(codeOf(await accept(revoked.token))).toEqual([404, 'link-not-valid']);
  const late = await invite(boss, ['crew']);
  const { now } = running.clock;
  running.clock.now = new Date(now.getTime() + 14 * 86_400_000);
  expect(codeOf(await accept(late.token))).toEqual([404, 'link-not-valid']);
  running.clock.now = now;
});

test('of several who accept one invitation at once, one joins', async () => {
  const { token } = await invite(await founder(), ['crew']);
  const accept = () => running.call('POST', 'auth/invitations/accept', { token, displayName: 'Invited', password: PASSWORD });
  const answers = await Promise.all([accept(), accept(), accept(), accept()]);
  expect(answers.map(({ status }) => status).sort()).toEqual([201, 404, 404, 404]);
});

test('a repeated invitation tells that it was made, and not the token again', async () => {
  const boss = await founder();
  const send = (email: string) =>
    boss.call('POST', `organisations/${boss.orgId}/invitations`, { email, roles: ['crew'] }, { 'idempotency-key': 'same' });
  const email = newAddress();
  const first = await send(email);
  const again = await send(email);
  expect(again.headers['idempotent-replayed']).toBe('true');
  expect(again.body).toEqual({ ...first.body, token: null });
  expect(codeOf(await send(newAddress()))).toEqual([422, 'idempotency-key-reused']);
  const list = await boss.call('GET', `organisations/${boss.orgId}/invitations`);
  expect(list.body.items).toHaveLength(1);
  expect(JSON.stringify(list.body)).not.toContain(String(first.body.token));
});

test('somebody with an account joins signed in, and only by an invitation of their own address', async () => {
  const [venue, tour] = [await founder(), await founder('production')];
  const { body } = await tour.call('GET', 'auth/me');
  const { email } = body.person as { email: string };
  const mine = await invite(venue, ['engineer'], email);
  const others = await invite(venue, ['engineer']);
  const asNewcomer = await running.call('POST', 'auth/invitations/accept', { token: mine.token, displayName: 'X', password: PASSWORD });
  expect(codeOf(asNewcomer)).toEqual([409, 'email-taken']);
  expect(codeOf(await tour.call('POST', 'auth/invitations/accept', { token: others.token }))).toEqual([403, 'invitation-for-another']);
  expect((await tour.call('POST', 'auth/invitations/accept', { token: mine.token })).status).toBe(201);
  expect(codeOf(await tour.call('GET', 'organisations'))).toEqual([400, 'acting-organisation-needed']);
  const acting = { 'acting-organisation': venue.orgId };
  expect((await tour.call('GET', `organisations/${venue.orgId}/members`, undefined, acting)).status).toBe(200);
  const stranger = { 'acting-organisation': (await founder()).orgId };
  expect(codeOf(await tour.call('GET', 'organisations', undefined, stranger))).toEqual([403, 'not-a-member']);
});

test('roles fit the kind of the organisation', async () => {
  const tour = await founder('production');
  const refused = await tour.call('POST', `organisations/${tour.orgId}/invitations`, {
    email: newAddress(),
    roles: ['headRigger', 'decider'],
  });
  expect(codeOf(refused)).toEqual([422, 'roles-do-not-fit']);
  expect(refused.body.errors).toMatchObject([{ pointer: '/roles/1' }]);
  const faults = await tour.call('POST', `organisations/${tour.orgId}/invitations`, { email: 'nobody', roles: [] });
  expect(faults.status).toBe(400);
  expect((faults.body.errors as { pointer: string }[]).map(({ pointer }) => pointer)).toEqual(['/email', '/roles']);
});

test('changed roles hold at the next request', async () => {
  const boss = await founder();
  const member = await joined(boss, ['crew']);
  const own = `organisations/${boss.orgId}`;
  expect(codeOf(await member.call('GET', `${own}/invitations`))).toEqual([403, 'not-allowed']);
  const { etag } = await boss.call('GET', member.path);
  const roles = { roles: ['administrator'] };
  expect((await boss.call('PATCH', member.path, roles)).status).toBe(428);
  expect((await boss.call('PATCH', member.path, roles, { 'if-match': etag })).status).toBe(200);
  expect(codeOf(await boss.call('PATCH', member.path, roles, { 'if-match': etag }))).toEqual([412, 'version-moved-on']);
  expect((await member.call('GET', `${own}/invitations`)).status).toBe(200);
});

test('the last administrator keeps the role and stays', async () => {
  const boss = await founder();
  const path = `organisations/${boss.orgId}/members/${boss.personId}`;
  const { etag } = await boss.call('GET', path);
  expect(codeOf(await boss.call('PATCH', path, { roles: ['decider'] }, { 'if-match': etag }))).toEqual([409, 'last-administrator']);
  expect(codeOf(await boss.call('DELETE', path, undefined, { 'if-match': etag }))).toEqual([409, 'last-administrator']);
});

test('two administrators who take the role from each other at once leave one', async () => {
  const boss = await founder();
  const second = await joined(boss, ['administrator']);
  const bossPath = `organisations/${boss.orgId}/members/${boss.personId}`;
  const answers = await Promise.all([
    boss.call('PATCH', second.path, { roles: ['crew'] }, { 'if-match': '"v1"' }),
    second.call('PATCH', bossPath, { roles: ['crew'] }, { 'if-match': '"v1"' }),
  ]);
  expect(answers.filter(({ status }) => status === 200)).toHaveLength(1);
});

test('a membership that ends takes access and keys with it at once, and may begin again without them', async () => {
  const boss = await founder();
  const member = await joined(boss, ['engineer']);
  const key = await member.call('POST', 'auth/api-keys', { name: 'Export', scopes: ['read'], expiresInDays: 30 });
  const byKey = running.as(String(key.body.secret));
  expect((await byKey('GET', `organisations/${boss.orgId}`)).status).toBe(200);
  const { etag } = await boss.call('GET', member.path);
  expect((await boss.call('DELETE', member.path, undefined, { 'if-match': etag })).status).toBe(204);
  expect((await byKey('GET', `organisations/${boss.orgId}`)).status).toBe(401);
  expect(codeOf(await member.call('GET', `organisations/${boss.orgId}`))).toEqual([400, 'acting-organisation-needed']);
  expect((await boss.call('GET', member.path)).status).toBe(404);
  const back = await invite(boss, ['crew'], member.email);
  expect((await member.call('POST', 'auth/invitations/accept', { token: back.token })).status).toBe(201);
  expect((await member.call('GET', `organisations/${boss.orgId}`)).status).toBe(200);
  expect((await byKey('GET', `organisations/${boss.orgId}`)).status).toBe(401);
});

test("an administrator's link sets a new password once, and ends every session", async () => {
  const boss = await founder();
  const member = await joined(boss, ['crew']);
  const older = await boss.call('POST', `${member.path}/password-reset`);
  const link = await boss.call('POST', `${member.path}/password-reset`);
  const reset = (token: unknown, password = 'a newer long phrase') => running.call('POST', 'auth/password-reset', { token, password });
  expect(codeOf(await reset(older.body.token))).toEqual([404, 'link-not-valid']);
  expect(codeOf(await reset(link.body.token, 'short'))).toEqual([422, 'password-too-weak']);
  expect((await reset(link.body.token)).status).toBe(204);
  expect(codeOf(await reset(link.body.token))).toEqual([404, 'link-not-valid']);
  expect((await member.call('GET', 'auth/me')).status).toBe(401);
  const signIn = (password: string) => running.call('POST', 'auth/sign-in', { email: member.email, password });
  expect((await signIn(PASSWORD)).status).toBe(401);
  expect((await signIn('a newer long phrase')).status).toBe(200);
  expect(codeOf(await member.call('POST', `${member.path}/password-reset`))).toEqual([401, 'not-signed-in']);
});

test('no administrator gets into another organisation by a link for a person of both', async () => {
  const [first, second] = [await founder(), await founder()];
  const member = await joined(first, ['crew']);
  const before = await first.call('POST', `${member.path}/password-reset`);
  expect(before.status).toBe(201);
  const offer = await invite(second, ['decider'], member.email);
  expect((await member.call('POST', 'auth/invitations/accept', { token: offer.token })).status).toBe(201);
  const used = await running.call('POST', 'auth/password-reset', { token: before.body.token, password: 'a newer long phrase' });
  expect(codeOf(used)).toEqual([404, 'link-not-valid']);
  expect(codeOf(await first.call('POST', `${member.path}/password-reset`))).toEqual([409, 'member-of-others']);
});

test('every signed-in organisation sees names; people and invitations are seen by their own', async () => {
  const [venue, tour] = [await founder(), await founder('production')];
  const own = `organisations/${venue.orgId}`;
  const seen = await tour.call('GET', own);
  expect(seen.body).toMatchObject({ id: venue.orgId, kind: 'venueOperator' });
  expect((await tour.call('GET', own, undefined, { 'if-none-match': seen.etag })).status).toBe(304);
  expect(codeOf(await tour.call('GET', `${own}/members`))).toEqual([403, 'not-allowed']);
  expect(codeOf(await tour.call('GET', `${own}/members/${venue.personId}`))).toEqual([403, 'not-allowed']);
  expect(codeOf(await tour.call('GET', `${own}/invitations`))).toEqual([403, 'not-allowed']);
  expect(codeOf(await tour.call('PATCH', own, { name: 'Ours' }, { 'if-match': seen.etag }))).toEqual([403, 'not-allowed']);
  expect((await tour.call('GET', 'organisations/00000000-0000-4000-8000-000000000000')).status).toBe(404);
  expect((await running.call('GET', own)).status).toBe(401);
});

test('organisations are found by how their name begins and by kind, page by page', async () => {
  const boss = await founder();
  for (const name of ['Quay One', 'quay two', 'QUAY three']) {
    const one = await founder('supplier');
    const renamed = await one.call('PATCH', `organisations/${one.orgId}`, { name }, { 'if-match': '"v1"' });
    expect([renamed.status, renamed.body.version]).toEqual([200, 2]);
  }
  const found: unknown[] = [];
  let path: string | undefined = '/api/v1/organisations?name=quay&kind=supplier&limit=2';
  for (let pages = 0; path && pages < 5; pages += 1) {
    const page = await boss.call('GET', path);
    found.push(...page.body.items.map(({ name }) => name));
    path = /<(.+)>/.exec(String(page.headers.link))?.[1];
  }
  expect(found.sort()).toEqual(['QUAY three', 'Quay One', 'quay two'].sort());
  expect((await boss.call('GET', 'organisations?name=quay&kind=production')).body.items).toEqual([]);
  expect((await boss.call('GET', 'organisations?name=q')).status).toBe(400);
});
