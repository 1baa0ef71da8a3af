import pg from 'pg';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { hangingQuery } from '../../src/store/roof-lock.ts';
import { createStore, type Store } from '../../src/store/store.ts';
import { freshDatabase, type TestDatabase } from '../support/database.ts';
import { withOtherShows } from '../support/past-shows.ts';
import { deadHang, done, openShow, planOf, pointAt, publishedScene, submitted, yesTo, type Scene } from '../support/scene.ts';

const NOW = new Date('2026-06-01T12:00:00Z');
let database: TestDatabase;
let store: Store;
let scene: Scene;
beforeAll(async () => {
  database = await freshDatabase();
  store = createStore({ url: database.appUrl, now: () => NOW });
  scene = await publishedScene(store, { points: [pointAt('A', 0, 0, 1000), pointAt('B', 4, 0, 1000)] });
});
afterAll(async () => {
  await store.close();
  await database.drop();
});

type Node = {
  'Node Type': string;
  'Relation Name'?: string;
  'Index Name'?: string;
  'Actual Rows': number;
  'Actual Loops': number;
  Plans?: Node[];
};
const Node: z.ZodType<Node> = z.looseObject({
  'Node Type': z.string(),
  'Relation Name': z.string().optional(),
  'Index Name': z.string().optional(),
  'Actual Rows': z.number(),
  'Actual Loops': z.number(),
  Plans: z.lazy(() => z.array(Node)).optional(),
});
const Explained = z.array(z.looseObject({ 'QUERY PLAN': z.array(z.looseObject({ Plan: Node })) })).length(1);

/** How PostgreSQL finds the loads of [from, to), asked as the application asks, under row-level security. */
async function scansOf(from: Date, to: Date): Promise<{ how: string; rows: number }[]> {
  const client = new pg.Client({ connectionString: database.appUrl });
  await client.connect();
  try {
    await client.query('BEGIN');
    await client.query(`SELECT set_config('app.org', $1, true), set_config('app.now', $2, true)`, [
      scene.rigger.actor.orgId,
      NOW.toISOString(),
    ]);
    const { text, values } = hangingQuery(scene.space.id, from, to, null, NOW);
    const [explained] = Explained.parse((await client.query(`EXPLAIN (ANALYZE, FORMAT JSON) ${text}`, [...values])).rows);
    const scans: { how: string; rows: number }[] = [];
    const walk = (node: Node): void => {
      if (node['Relation Name']?.startsWith('commitment') || node['Index Name']?.startsWith('commitment'))
        scans.push({ how: node['Node Type'], rows: node['Actual Rows'] * node['Actual Loops'] });
      for (const inner of node.Plans ?? []) walk(inner);
    };
    walk(explained!['QUERY PLAN'][0]!.Plan);
    return scans;
  } finally {
    await client.end();
  }
}

test('among 2,000 other shows only those that overlap are looked at, by indexes', async () => {
  const around = new Date('2026-08-03T06:00:00Z');
  await withOtherShows(database.superUrl, { spaceId: scene.space.id, pointIds: scene.points.map(({ id }) => id), around, count: 2000 });
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-08-02T08:00:00Z', '2026-08-05T04:00:00Z');
  const own = await submitted(store, scene.rigger, show, planOf(deadHang(scene.points[0]!, 500)));
  await done(store.proposals.review, scene.manager.scope, await yesTo(store, scene.manager, own));
  for (const from of ['2026-08-02T08:00:00Z', '2030-01-01T08:00:00Z', '2012-01-01T08:00:00Z']) {
    const scans = await scansOf(new Date(from), new Date(Date.parse(from) + 3 * 86_400_000));
    expect(scans.length).toBeGreaterThan(2);
    expect(scans.filter(({ how }) => how === 'Seq Scan')).toEqual([]);
    // Of 4,000 loads and 4,000 days: two loads a show, two shows at most, four days.
    for (const { rows } of scans) expect(rows).toBeLessThanOrEqual(20);
  }
});

test('a time that other shows fill is still found full', async () => {
  const show = await openShow(store, scene.rigger, scene.space.id, '2026-08-10T08:00:00Z', '2026-08-11T04:00:00Z');
  const beside = await submitted(store, scene.rigger, show, planOf(deadHang(scene.points[1]!, 900)));
  const last = await store.proposals.lastAssessment(scene.manager.scope, beside.id);
  // The other show's 1 kN is 101.97 kg of 1,000 at B.
  expect(last!.assessment.outcome.checks.filter(({ verdict }) => verdict === 'over').map(({ pointId }) => pointId)).toEqual([
    scene.points[1]!.id,
  ]);
});
