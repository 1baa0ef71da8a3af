import { createHash, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { equipmentBytes } from '../../../src/domain/plan/equipment-hash.ts';
import type { EquipmentData, EquipmentUsed } from '../../../src/domain/plan/plan.ts';
import { EXAMPLE_ITEM } from '../../../src/routes/schemas/equipment-example.ts';
import { startApp, type Called, type Caller, type RunningApp } from '../../support/app.ts';

// Invented equipment, shows and organisations.
let running: RunningApp;
let tour: Caller;
let supplier: Caller;
let showId: string;
beforeAll(async () => {
  running = await startApp();
  tour = await running.signUp('Head rigger', 'production');
  supplier = await running.signUp('Supplier', 'supplier');
  const venue = await running.signUp('Venue manager', 'venueOperator');
  const hall = await venue.call('POST', 'venues', { name: 'Hall', place: 'Town', timeZone: 'Europe/Amsterdam', contactRole: 'manager' });
  const bowl = await venue.call('POST', `venues/${hall.body.id}/spaces`, { name: 'Bowl', exposure: 'indoor' });
  await venue.call('PATCH', `spaces/${bowl.body.id}`, { opened: true }, { 'if-match': bowl.etag });
  const production = await tour.call('POST', 'productions', { name: 'Tour' });
  const show = await tour.call('POST', `productions/${production.body.id}/shows`, {
    spaceId: bowl.body.id,
    name: 'Night',
    from: '2026-07-01T08:00:00+02:00',
    to: '2026-07-02T04:00:00+02:00',
    calls: [],
  });
  expect(show.status, JSON.stringify(show.body)).toBe(201);
  showId = show.body.id;
});
afterAll(() => running.close());

const put = async (equipment: Record<string, EquipmentUsed>): Promise<Called> => {
  const proposal = await tour.call('POST', 'proposals', { showId, name: 'Rig' });
  const plan = { format: 1, hangs: [], equipment };
  return tour.call('PUT', `proposals/${proposal.body.id}/plan`, plan, { 'if-match': proposal.etag });
};
const faultsOf = ({ body }: Called) =>
  (body.faults as { pointer: string; code: string }[]).map(({ pointer, code }) => `${pointer} ${code}`);
const enter = (by: Caller, name: string, wllKg: number) =>
  by.call('POST', 'equipment', { data: { ...EXAMPLE_ITEM.data, name, wllKg }, note: '' });
const claimOf = ({ body }: Called) => ({ itemId: body.id, version: Number(body.latest), hash: String(body.hash) });

test('a plan carries what it took from the catalogue, whole, and keeps it when the item changes or goes', async () => {
  const item = await enter(tour, 'Hoist A', 1000);
  const used = { from: claimOf(item), data: item.body.data as EquipmentData };
  const [generic] = (await tour.call('GET', 'equipment?library=generic&limit=1')).body.items;
  const sketch = {
    from: { itemId: String(generic!.id), version: 1, hash: String(generic!.hash) },
    data: generic!.data as EquipmentData,
  };
  const lent = await enter(supplier, 'Hoist of the supplier', 500);
  const borrowed = { from: claimOf(lent), data: lent.body.data as EquipmentData };
  const kept = await put({ a: used, b: sketch, c: borrowed });
  expect(kept.status, JSON.stringify(kept.body)).toBe(200);

  const path = `equipment/${item.body.id}`;
  const changed = await tour.call('PUT', path, { data: { ...used.data, wllKg: 900 }, note: '' }, { 'if-match': item.etag });
  expect((await put({ a: used })).status).toBe(200); // an older version is a version
  await tour.call('DELETE', path, undefined, { 'if-match': changed.etag });
  expect((await put({ a: used })).status).toBe(200);
  const read = await tour.call('GET', `proposals/${String(kept.body.proposalId)}/plan`);
  expect((read.body.plan as { equipment: object }).equipment).toEqual({ a: used, b: sketch, c: borrowed });
});

test('a claim that is not true is refused, each at its place', async () => {
  const item = await enter(tour, 'Hoist B', 1000);
  const data = item.body.data as EquipmentData;
  const claim = claimOf(item);
  const raised = { ...data, wllKg: 2000 } as EquipmentData;
  const hashOfRaised = createHash('sha256').update(equipmentBytes(raised)).digest('hex');
  const refused = await put({
    better: { from: claim, data: raised },
    forged: { from: { ...claim, hash: hashOfRaised }, data: raised },
    'no/such': { from: { ...claim, version: 7 }, data },
    own: { from: null, data: raised },
    'not ours to know': { from: { ...claim, itemId: randomUUID(), version: 3 }, data },
  });
  expect(refused).toMatchObject({ status: 422, body: { type: '/problems/plan-not-valid' } });
  expect(faultsOf(refused)).toEqual([
    '/equipment/better/from/hash claim-not-of-these-facts',
    '/equipment/forged/from/hash claim-not-of-this-version',
    '/equipment/no~1such/from/version no-such-version',
  ]);
});
