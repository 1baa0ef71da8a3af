import { afterAll, beforeAll, expect, test } from 'vitest';
import { loadDemo } from '../../src/demo/load.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';

let database: TestDatabase;
let store: Store;
const now = () => new Date('2026-06-01T12:00:00Z');
beforeAll(async () => {
  database = await freshDatabase();
  store = createStore({ url: database.appUrl, now });
  await loadDemo(store, now, async () => 'hashed');
});
afterAll(async () => {
  await store.close();
  await database.drop();
});

async function asSomebody(email: string) {
  const known = await store.accounts.credentials({ email });
  const person = known && (await store.accounts.person(known.personId));
  if (!person) throw new Error(`no ${email}`);
  return { personId: person.id, orgId: person.memberships[0]!.orgId };
}

test('the tour has one agreed, one over and one with questions', async () => {
  const scope = await asSomebody('rook@mothmeridian.example');
  const proposals = await store.proposals.list(scope, {}, { limit: 10, after: null });
  const told = [];
  for (const { id, venueName, state } of proposals) {
    const last = await store.proposals.lastAssessment(scope, id);
    const bad = last!.assessment.outcome.checks
      .filter(({ verdict }) => verdict === 'unknown' || verdict === 'over')
      .map(({ kind, verdict, reason }) => [kind, verdict, reason?.code]);
    told.push({ venueName, state, verdict: last!.assessment.outcome.verdict, unknown: bad.filter(([, verdict]) => verdict === 'unknown') });
  }
  expect(told).toEqual([
    { venueName: 'Umbrel Dome', state: 'agreed', verdict: 'fits', unknown: [] },
    { venueName: 'Saltwick Rooms', state: 'submitted', verdict: 'over', unknown: [] },
    { venueName: 'Quillfen Playhouse', state: 'questions', verdict: 'close', unknown: [] },
  ]);
});

test('the arena has 200 points on ten girders', async () => {
  const scope = await asSomebody('tamsin@umbrelquay.example');
  const venues = await store.register.venues(scope, { name: 'Umbrel Dome' }, { limit: 1, after: null });
  const [bowl] = await store.register.spaces(scope, venues[0]!.id, { limit: 1, after: null });
  const structure = await store.register.structure(scope, bowl!.id);
  expect(structure!.draft.points).toHaveLength(200);
  expect(structure!.draft.members).toHaveLength(10);
});
