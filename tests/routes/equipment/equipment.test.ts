import { createHash, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { EquipmentData } from '../../../src/domain/plan/plan.ts';
import { EXAMPLE_ITEM } from '../../../src/routes/schemas/equipment-example.ts';
import { startApp, type Caller, type RunningApp } from '../../support/app.ts';

// Invented equipment of invented organisations.
let running: RunningApp;
let tour: Caller;
let other: Caller;
let venue: Caller;
let supplier: Caller;
beforeAll(async () => {
  running = await startApp();
  tour = await running.signUp('Head rigger', 'production');
  other = await running.signUp('Other rigger', 'production');
  venue = await running.signUp('Venue manager', 'venueOperator');
  supplier = await running.signUp('Supplier', 'supplier');
});
afterAll(() => running.close());

let named = 0;
const cable = (kgPerM: number | null = 0.5): EquipmentData => ({
  kind: 'cable',
  name: `Multicore ${(named += 1)}`,
  kgPerM,
  basis: 'weighed',
});
const enter = (by: Caller, data: EquipmentData, headers: Record<string, string> = {}) =>
  by.call('POST', 'equipment', { data, note: 'first' }, headers);
const pointersOf = (errors: unknown) => (errors as { pointer: string }[]).map(({ pointer }) => pointer).toSorted();

test('what is entered is read, changed in a new version, compared and kept', async () => {
  const data = cable();
  const made = await enter(tour, data);
  expect(made).toMatchObject({
    status: 201,
    body: { library: 'own', organisationId: tour.orgId, latest: 1, data, note: 'first', retiredAt: null },
  });
  const path = `equipment/${made.body.id}`;
  expect(made.headers.location).toBe(`/api/v1/${path}`);
  // The hash is of the stated facts in canonical order, spelt out by hand.
  const stated = `{"basis":"weighed","kgPerM":0.5,"kind":"cable","name":"${data.name}"}`;
  expect(made.body.hash).toBe(createHash('sha256').update(stated).digest('hex'));
  const read = await tour.call('GET', path);
  expect(read).toMatchObject({ status: 200, body: made.body, etag: made.etag });
  expect((await tour.call('GET', path, undefined, { 'if-none-match': read.etag })).status).toBe(304);

  const heavier = { ...data, kgPerM: 0.6 };
  const changed = await tour.call('PUT', path, { data: heavier, note: 'weighed again' }, { 'if-match': read.etag });
  expect(changed).toMatchObject({ status: 200, body: { latest: 2, data: heavier, note: 'weighed again' } });
  expect(changed.etag).not.toBe(read.etag);
  expect((await tour.call('GET', `${path}/versions`)).body.items).toMatchObject([
    { number: 2, hash: changed.body.hash, note: 'weighed again', author: 'Head rigger' },
    { number: 1, hash: made.body.hash },
  ]);
  const first = await tour.call('GET', `${path}/versions/1`);
  expect(first).toMatchObject({ status: 200, body: { number: 1, data, hash: made.body.hash }, etag: `"${String(made.body.hash)}"` });
  expect(first.headers['cache-control']).toContain('immutable');
  expect((await tour.call('GET', `${path}/versions/1`, undefined, { 'if-none-match': first.etag })).status).toBe(304);
  expect((await tour.call('GET', `${path}/versions/3`)).status).toBe(404);
  expect((await tour.call('GET', `${path}/versions/1/changes/2`)).body).toEqual({
    from: 1,
    to: 2,
    changes: [{ fact: 'kgPerM', before: 0.5, after: 0.6 }],
  });
  expect((await tour.call('GET', `${path}/versions/1/changes/9`)).status).toBe(404);
});

test('whoever is not signed in is sent away, another organisation finds nothing, and who may only read does not write', async () => {
  const made = await enter(tour, cable());
  const path = `equipment/${made.body.id}`;
  for (const url of ['equipment', path, `${path}/versions`, `${path}/versions/1`])
    expect((await running.call('GET', url)).status).toBe(401);
  expect((await running.call('POST', 'equipment', EXAMPLE_ITEM)).status).toBe(401);
  for (const url of [path, `${path}/versions`, `${path}/versions/1`, `${path}/versions/1/changes/1`]) {
    expect((await other.call('GET', url)).status).toBe(404);
  }
  expect((await other.call('PUT', path, EXAMPLE_ITEM, { 'if-match': made.etag })).status).toBe(404);
  expect((await other.call('DELETE', path, undefined, { 'if-match': made.etag })).status).toBe(404);
  const mine = (await other.call('GET', 'equipment?library=own')).body.items;
  expect(mine.map(({ id }) => id)).not.toContain(made.body.id);

  const invited = { email: 'office@test.example', roles: ['productionOffice'] };
  const invitation = await tour.call('POST', `organisations/${tour.orgId}/invitations`, invited);
  const { token } = invitation.body;
  const joined = await running.call('POST', 'auth/invitations/accept', { token, displayName: 'Office', password: 'a long test phrase' });
  const office = running.as(String((joined.body.tokens as { accessToken: string }).accessToken));
  expect((await office('GET', path)).status).toBe(200);
  expect((await office('PUT', path, EXAMPLE_ITEM, { 'if-match': made.etag })).status).toBe(403);
  expect((await office('DELETE', path, undefined, { 'if-match': made.etag })).status).toBe(403);
  expect((await office('POST', 'equipment', EXAMPLE_ITEM)).status).toBe(403);
});

test('venues and suppliers keep equipment too', async () => {
  expect((await enter(venue, cable())).status).toBe(201);
  expect((await enter(supplier, cable())).status).toBe(201);
});

test('what does not fit or cannot be is refused with every fault', async () => {
  const data = { ...cable(), kgPerM: -1, colour: 'black' };
  const misfit = await tour.call('POST', 'equipment', { data, note: 'x' });
  expect(misfit.status).toBe(400);
  expect(pointersOf(misfit.body.errors)).toEqual(['/data/colour', '/data/kgPerM']);
  const hoist = { ...EXAMPLE_ITEM.data, name: 'Impossible', wllKg: 0, liftM: 0 };
  const impossible = await tour.call('POST', 'equipment', { data: hoist, note: '' });
  expect(impossible).toMatchObject({ status: 422, body: { type: '/problems/equipment-not-valid' } });
  expect(pointersOf(impossible.body.faults)).toEqual(['/liftM', '/wllKg']);
});

test('an act sent again gives the same answer, and another body under its key none', async () => {
  const data = cable();
  const key = { 'idempotency-key': randomUUID() };
  const made = await enter(tour, data, key);
  const again = await enter(tour, data, key);
  expect(again).toMatchObject({ status: 201, body: made.body });
  expect(again.headers['idempotent-replayed']).toBe('true');
  expect(await enter(tour, cable(), key)).toMatchObject({ status: 422, body: { type: '/problems/idempotency-key-reused' } });
});

test('names are one among a kind, as people read them, until the item is out of use', async () => {
  const data = cable();
  const made = await enter(tour, data);
  const twin = { ...data, name: `  ${data.name.toUpperCase()} ` };
  expect(await enter(tour, twin)).toMatchObject({ status: 409, body: { type: '/problems/equipment-name-taken', id: made.body.id } });
  expect((await enter(other, twin)).status).toBe(201);
  const second = await enter(tour, cable());
  const renamed = await tour.call('PUT', `equipment/${second.body.id}`, { data: twin, note: '' }, { 'if-match': second.etag });
  expect(renamed).toMatchObject({ status: 409, body: { type: '/problems/equipment-name-taken' } });
  const kind = await tour.call('PUT', `equipment/${second.body.id}`, EXAMPLE_ITEM, { 'if-match': second.etag });
  expect(kind).toMatchObject({ status: 422, body: { type: '/problems/equipment-kind-fixed', kind: 'cable' } });

  const path = `equipment/${made.body.id}`;
  expect((await tour.call('DELETE', path)).status).toBe(428);
  const retired = await tour.call('DELETE', path, undefined, { 'if-match': made.etag });
  expect(retired).toMatchObject({ status: 200, body: { retiredAt: '2026-06-01T12:00:00.000Z', latest: 1 } });
  expect(await tour.call('PUT', path, { data, note: '' }, { 'if-match': retired.etag })).toMatchObject({
    status: 409,
    body: { type: '/problems/equipment-retired' },
  });
  expect((await tour.call('GET', `${path}/versions/1`)).body.data).toEqual(data);
  const listed = async (query: string) => (await tour.call('GET', `equipment?${query}`)).body.items.map(({ id }) => id);
  expect(await listed('library=own&limit=200')).not.toContain(made.body.id);
  expect(await listed('retired=true')).toContain(made.body.id);
  expect((await enter(tour, twin)).status).toBe(201);
});

test('of two who change the same version one is told that it moved on', async () => {
  const made = await enter(tour, cable());
  const path = `equipment/${made.body.id}`;
  const put = (kgPerM: number) =>
    tour.call('PUT', path, { data: { ...(made.body.data as object), kgPerM }, note: '' }, { 'if-match': made.etag });
  const both = await Promise.all([put(1), put(2)]);
  expect(both.map(({ status }) => status).toSorted()).toEqual([200, 412]);
  expect((await tour.call('GET', path)).body).toMatchObject({ latest: 2, version: 2 });
  const data = cable();
  const twins = await Promise.all([enter(tour, data), enter(tour, data)]);
  expect(twins.map(({ status }) => status).toSorted()).toEqual([201, 409]);
});

test('the generic library stands beside the own, is paged with it, and is changed by nobody', async () => {
  const generic = (await tour.call('GET', 'equipment?library=generic&limit=200')).body.items;
  expect(new Set(generic.map(({ data }) => (data as EquipmentData).kind))).toEqual(
    new Set(['hoist', 'part', 'cabinet', 'arrayFrame', 'truss', 'cable']),
  );
  expect(generic.every(({ library, organisationId }) => library === 'generic' && organisationId === null)).toBe(true);
  await enter(other, cable());
  const whole = (await other.call('GET', 'equipment?limit=200')).body.items.map(({ id }) => id);
  const own = (await other.call('GET', 'equipment?library=own')).body.items.map(({ id }) => id);
  expect(whole).toEqual([...own, ...generic.map(({ id }) => id)]);
  const paged: unknown[] = [];
  for (let url: string | undefined = '/api/v1/equipment?limit=7'; url !== undefined;) {
    const page = await other.call('GET', url);
    paged.push(...page.body.items.map(({ id }) => id));
    url = /<([^>]+)>/.exec(JSON.stringify(page.headers.link ?? ''))?.[1];
  }
  expect(paged).toEqual(whole);
  const hoists = (await other.call('GET', 'equipment?kind=hoist&name=generic+chain')).body.items;
  expect(hoists.length).toBeGreaterThan(2);
  expect(hoists.every(({ data }) => /^Generic chain/.test((data as EquipmentData).name) && (data as EquipmentData).kind === 'hoist')).toBe(
    true,
  );

  const [one] = generic;
  const path = `equipment/${String(one!.id)}`;
  const read = await tour.call('GET', path);
  expect((await tour.call('GET', `${path}/versions/1`)).body).toMatchObject({ hash: read.body.hash, data: read.body.data });
  expect((await tour.call('GET', `${path}/versions`)).body.items).toMatchObject([{ number: 1, author: null }]);
  for (const [method, body] of [
    ['PUT', EXAMPLE_ITEM],
    ['DELETE', undefined],
  ] as const) {
    expect(await tour.call(method, path, body, { 'if-match': read.etag })).toMatchObject({
      status: 403,
      body: { type: '/problems/equipment-read-only' },
    });
  }
});

test('changes of the catalogue stand in the history of the organisation', async () => {
  const made = await enter(supplier, cable());
  await supplier.call('DELETE', `equipment/${made.body.id}`, undefined, { 'if-match': made.etag });
  const events = (await supplier.call('GET', 'events/log?limit=200')).body.items;
  expect(JSON.stringify(events)).toMatch(/equipment\.created.*equipment\.retired/);
});
