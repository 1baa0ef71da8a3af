import { afterAll, beforeAll, expect, test } from 'vitest';
import { loadDemo } from '../../src/demo/load.ts';
import { DEMO_PASSWORD } from '../../src/demo/load.ts';
import { AssessmentMemory } from '../../src/domain/assessment/memory.ts';
import type { Plan } from '../../src/domain/plan/plan.ts';
import { liveChecks, type LiveScene } from '../../src/web/live/live-checks.ts';
import { startApp, type Caller, type RunningApp } from '../support/app.ts';

// What a rigger sees while drawing must be what the service says of the same plan: all of it comes from what the API sends.
let running: RunningApp;
let rook: Caller['call'];
let proposals: { id: string; spaceId: string; showName: string }[];
beforeAll(async () => {
  running = await startApp();
  await loadDemo(running.store, () => running.clock.now, running.app.passwords.hash);
  const signedIn = await running.call('POST', 'auth/sign-in', { email: 'rook@mothmeridian.example', password: DEMO_PASSWORD });
  rook = running.as(String(signedIn.body.accessToken));
  proposals = (await rook('GET', 'proposals')).body.items as never;
});
afterAll(() => running.close());

test('checks worked out in the browser are the ones of the dry run, to the last digit', async () => {
  expect(proposals).toHaveLength(3);
  let neighboursSeen = 0;
  for (const { id, spaceId } of proposals) {
    const dry = (await rook('POST', `proposals/${id}/assessment`)).body as unknown as { outcome: object };
    const { revision, asOf, from, to, neighbours } = (await rook('GET', `proposals/${id}/neighbours`)).body as unknown as {
      revision: number;
      asOf: string;
      from: string;
      to: string;
      neighbours: LiveScene['neighbours'];
    };
    neighboursSeen += neighbours.length;
    const roof = (await rook('GET', `spaces/${spaceId}/revisions/${revision}`)).body as unknown as LiveScene['roof'];
    const { plan } = (await rook('GET', `proposals/${id}/plan`)).body as unknown as { plan: Plan };
    const live = liveChecks({ roof, show: { from, to }, neighbours, asOf }, plan, new AssessmentMemory());
    expect(live.kind).toBe('worked-out');
    if (live.kind !== 'worked-out') return;
    expect({ verdict: live.verdict, checks: live.checks, loads: live.loads }).toEqual({
      verdict: (dry.outcome as { verdict: string }).verdict,
      checks: (dry.outcome as { checks: object[] }).checks,
      loads: (dry.outcome as { loads: object[] }).loads,
    });
  }
  expect(neighboursSeen).toBeGreaterThan(0); // the fair hangs beside the first show
});

test('an impossible plan has faults with their places, and no checks', async () => {
  const { id, spaceId } = proposals[0]!;
  const roof = (await rook('GET', `spaces/${spaceId}/revisions/1`)).body as unknown as LiveScene['roof'];
  const { plan } = (await rook('GET', `proposals/${id}/plan`)).body as unknown as { plan: Plan };
  const [hang] = plan.hangs;
  const twice: Plan = { ...plan, hangs: [hang!, hang!] };
  const show = { from: '2026-07-01T00:00:00.000Z', to: '2026-07-02T00:00:00.000Z' };
  const live = liveChecks({ roof, show, neighbours: [], asOf: show.from }, twice, new AssessmentMemory());
  expect(live).toMatchObject({ kind: 'faulty', faults: expect.arrayContaining([expect.objectContaining({ code: 'id-twice' })]) as object });
});

test('the board has the shows by date, each with its state, whose turn it is and the worst check', async () => {
  const [production] = (await rook('GET', 'productions')).body.items as { id: string }[];
  const board = await rook('GET', `productions/${production!.id}/board`);
  expect(board.status).toBe(200);
  type Row = { from: string; proposal: { state: string; whoseTurn: string | null; worst: { verdict: string } } };
  const rows = board.body.items as unknown as Row[];
  expect(rows.map(({ from }) => from)).toEqual(rows.map(({ from }) => from).toSorted());
  expect(rows.map(({ proposal }) => proposal.state)).toEqual(['agreed', 'submitted', 'questions']);
  expect(rows.map(({ proposal }) => proposal.whoseTurn)).toEqual([null, 'venue', 'tour']);
  expect(rows[1]!.proposal.worst.verdict).toBe('over');
});

test('a show without a proposal stands on the board too, and the next page follows by its link', async () => {
  const [production] = (await rook('GET', 'productions')).body.items as { id: string }[];
  const opened = await rook('POST', `productions/${production!.id}/shows`, {
    spaceId: proposals[0]!.spaceId,
    name: 'Night four',
    from: '2026-09-01T08:00:00Z',
    to: '2026-09-02T04:00:00Z',
    calls: [],
  });
  expect(opened.status).toBe(201);
  const first = await rook('GET', `productions/${production!.id}/board?limit=3`);
  const next = /<([^>]+)>; rel="next"/.exec(String(first.headers.link))?.[1];
  const rest = await rook('GET', next!);
  expect(rest.body.items).toEqual([expect.objectContaining({ showName: 'Night four', proposal: null })]);
});

test('nobody else reads the board or the neighbours', async () => {
  const stranger = await running.signUp('Stranger', 'production');
  const [production] = (await rook('GET', 'productions')).body.items as { id: string }[];
  expect((await stranger.call('GET', `productions/${production!.id}/board`)).status).toBe(404);
  expect((await stranger.call('GET', `proposals/${proposals[0]!.id}/neighbours`)).status).toBe(404);
  expect((await running.call('GET', `proposals/${proposals[0]!.id}/neighbours`)).status).toBe(401);
});
