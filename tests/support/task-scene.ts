import type { RunningApp } from './app.ts';
import type { Hang } from '../../src/domain/plan/plan.ts';
import { DEMO_PASSWORD } from '../../src/demo/load.ts';
import {
  deadHang,
  done,
  letIn,
  partyOn,
  personOf,
  planOf,
  pointAt,
  publishNow,
  signPolicy,
  submitted,
  yesTo,
  type TestPerson,
} from './scene.ts';

const DAY_MS = 86_400_000;
const POINTS = 120;

export type TaskScene = { spaceId: string; changed: string; productionId: string };

/** Somebody of the demonstration, as the store knows them. */
async function demoPerson(
  running: RunningApp,
  email: string,
  orgKind: 'venueOperator' | 'production',
  roles: string[],
): Promise<TestPerson> {
  const signedIn = await running.call('POST', 'auth/sign-in', { email, password: DEMO_PASSWORD });
  const me = (await running.as(String(signedIn.body.accessToken))('GET', 'auth/me')).body as unknown as {
    person: { id: string; displayName: string };
    memberships: { organisationId: string }[];
  };
  return personOf(me.person.id, me.memberships[0]!.organisationId, orgKind, me.person.displayName, roles);
}

/**
 * Beside the demonstration: a roof of 120 points with a plan under all of them, agreed, then put again with three hangs heavier; and a
 * production of sixty shows there, every one of them late.
 */
export async function taskScene(running: RunningApp, emails: { manager: string; rigger: string }, venueId: string): Promise<TaskScene> {
  const { store, clock } = running;
  const manager = await demoPerson(running, emails.manager, 'venueOperator', ['technicalManager', 'decider']);
  const rigger = await demoPerson(running, emails.rigger, 'production', ['headRigger', 'productionOffice']);
  const space = await done(store.register.createSpace, manager.scope, {
    actor: manager.author,
    venueId,
    name: 'Long Hall',
    exposure: 'indoor' as const,
  });
  const points = Array.from({ length: POINTS }, (_, n) => pointAt(`H${n + 1}`, (n % 12) * 2, Math.floor(n / 12) * 2, 1000));
  await done(store.register.changeItems, manager.scope, {
    actor: manager.author,
    spaceId: space.id,
    because: 'test',
    changes: points.map((body) => ({ kind: 'point' as const, id: body.id, ifMatch: null, body })),
  });
  await signPolicy(store, manager, space.id);
  await publishNow(store, manager, space.id, 'first');
  const inDays = (days: number) => new Date(clock.now.getTime() + days * DAY_MS);
  await letIn(store, manager, rigger, space.id, inDays(200));

  const production = await done(store.shows.createProduction, rigger.scope, { actor: rigger.author, name: 'Sixty Nights' });
  const showOn = (name: string, days: number) =>
    done(store.shows.createShow, rigger.scope, {
      actor: rigger.author,
      productionId: production.id,
      spaceId: space.id,
      name,
      startsAt: inDays(days),
      endsAt: inDays(days + 0.1),
      calls: [],
    });
  const named = (hang: Hang, n: number): Hang => ({ ...hang, label: `Hang ${n + 1}` });
  const hangs = points.map((point, n) => named(deadHang(point, 300), n));
  const first = await submitted(store, rigger, await showOn('Far night', 60), planOf(...hangs));
  const agreed = await done(store.proposals.review, manager.scope, await yesTo(store, manager, first));
  const party = partyOn('tour', rigger);
  const heavier = hangs.map((hang, n) => (n < 3 ? { ...hang, items: [{ ...hang.items[0]!, massKg: 600 }] } : hang));
  const edited = await done(store.proposals.edit, rigger.scope, {
    actor: rigger.author,
    party,
    proposalId: first.id,
    ifMatch: agreed.proposal.version,
    unagree: true,
    edit: { kind: 'whole' as const, plan: planOf(...heavier) },
  });
  await done(store.proposals.submit, rigger.scope, {
    actor: rigger.author,
    party,
    proposalId: first.id,
    ifMatch: edited.version,
    note: '',
  });

  for (let n = 0; n < 60; n += 1) {
    const show = await showOn(`Night ${n + 1}`, 1 + n * 0.2);
    if (n % 3 === 0) await done(store.proposals.create, rigger.scope, { actor: rigger.author, showId: show.id, name: 'Main rig' });
    if (n % 12 === 1) await submitted(store, rigger, show, planOf(named(deadHang(points[n]!, 100), n)));
  }
  return { spaceId: space.id, changed: first.id, productionId: production.id };
}
