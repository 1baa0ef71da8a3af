import type pg from 'pg';
import { storedPlan } from '../../src/domain/plan/stored-equipment.ts';

type Standing = {
  id: string;
  state: string;
  ref: string;
  stale: boolean;
  stale_reasons: string[];
  answered: string | null; // the standing yes
  agreed_number: number | null;
  agreed_bytes: string | null;
  agreed_revision: number | null;
  latest_number: number;
  latest_bytes: string | null;
  draft_bytes: string;
};
type Row = { ref: string; status: string; point_id: string; kg: number; from_at: Date; to_at: Date };
type Revision = { number: number; wllKg: Map<string, number>; groupKg: number };
export type RoofSeen = { proposals: Standing[]; latestRevision: number };

const SLACK = 1 + 1e-9; // what a check itself allows for rounding
const KG_OF_KN = 1000 / 9.80665;

/** Reads a space as it is, past every wall, and says what must never be so of it. The roof: points, and one group of all of them. */
export async function faultsOfRoof(
  owner: pg.Client,
  { spaceId, now, before }: { spaceId: string; now: Date; before: RoofSeen | null },
): Promise<{ seen: RoofSeen; faults: string[] }> {
  const { rows: proposals } = await owner.query<Standing>(
    `SELECT p.id, p.state, p.commitment_ref AS ref, p.stale, p.stale_reasons, p.standing_yes_id AS answered, s.number AS agreed_number, s.plan_bytes AS agreed_bytes,
        a.revision_number AS agreed_revision, p.submission_count AS latest_number, l.plan_bytes AS latest_bytes, f.bytes AS draft_bytes
      FROM proposal p JOIN plan_draft f ON f.proposal_id = p.id
        LEFT JOIN plan_submission l ON l.proposal_id = p.id AND l.number = p.submission_count
        LEFT JOIN decision d ON d.id = p.standing_yes_id LEFT JOIN assessment a ON a.id = d.assessment_id
        LEFT JOIN plan_submission s ON s.proposal_id = p.id AND s.number = d.submission_number
      WHERE p.space_id = $1 ORDER BY p.id`,
    [spaceId],
  );
  const { rows: hanging } = await owner.query<Row>(
    `SELECT ref, status, point_id, resting_kn * ${KG_OF_KN} AS kg, from_at, to_at FROM commitment WHERE space_id = $1`,
    [spaceId],
  );
  const revisions = await revisionsOf(owner, spaceId);
  const latestRevision = Math.max(...revisions.keys());
  const faults = [
    ...overFaults(proposals, hanging, revisions, now),
    ...proposals.flatMap((proposal) => [
      ...hangingFaults(proposal, hanging),
      ...staleFaults(proposal, revisions, latestRevision),
      ...oldRoofFaults(proposal, before),
    ]),
  ];
  return { seen: { proposals, latestRevision }, faults };
}

async function revisionsOf(owner: pg.Client, spaceId: string): Promise<Map<number, Revision>> {
  const { rows } = await owner.query<{ number: number; points: { id: string; wllKg: number }[]; limits: { maxKg: number }[] }>(
    `SELECT number, bytes::json -> 'points' AS points, bytes::json -> 'limits' AS limits FROM revision WHERE space_id = $1`,
    [spaceId],
  );
  return new Map(
    rows.map(({ number, points, limits }) => [
      number,
      { number, wllKg: new Map(points.map(({ id, wllKg }) => [id, wllKg])), groupKg: limits[0]!.maxKg },
    ]),
  );
}

/**
 * At no instant more than a limit allowed when the last of the yeses that load it was given. A show that has passed and was not called
 * down hangs from then on.
 */
function overFaults(
  proposals: readonly Standing[],
  hanging: readonly Row[],
  revisions: ReadonlyMap<number, Revision>,
  now: Date,
): string[] {
  const faults: string[] = [];
  const agreed = hanging.filter(({ status }) => status === 'agreed');
  const agreedOn = new Map(proposals.map(({ ref, agreed_revision }) => [ref, agreed_revision ?? 0]));
  const there = (at: Date) => agreed.filter(({ from_at, to_at }) => from_at <= at && (at < to_at || to_at <= now));
  const check = (what: string, rows: readonly Row[], capacityOf: (revision: Revision) => number) => {
    if (rows.length === 0) return;
    const last = revisions.get(Math.max(...rows.map(({ ref }) => agreedOn.get(ref) ?? 0)));
    const kg = rows.reduce((total, row) => total + Number(row.kg), 0);
    const capacityKg = last ? capacityOf(last) : 0;
    if (kg > capacityKg * SLACK) faults.push(`${what}: ${kg} kg hang on ${capacityKg} kg of revision ${last?.number}`);
  };
  for (const { from_at } of agreed) {
    const rows = there(from_at);
    check('group', rows, ({ groupKg }) => groupKg);
    for (const pointId of new Set(rows.map(({ point_id }) => point_id))) {
      const onPoint = rows.filter(({ point_id }) => point_id === pointId);
      check(`point ${pointId}`, onPoint, ({ wllKg }) => wllKg.get(pointId) ?? 0);
    }
  }
  return faults;
}

/** A plan of these tests is one hang of one mass on one point. */
function loadOf(bytes: string): { pointId: string; kg: number } | null {
  const [hang] = storedPlan(bytes).hangs;
  const [item] = hang?.items ?? [];
  const attachment = hang?.pickUps[0]?.attachment;
  return attachment?.kind === 'direct' && item?.what === 'load' ? { pointId: attachment.pointId, kg: item.massKg ?? 0 } : null;
}

const inWords = (load: { pointId: string; kg: number } | null | undefined): string =>
  load ? `${load.kg.toFixed(6)} kg on ${load.pointId}` : '';

/** What hangs, and what is asked to hang, is what the standing yes and the open submission say: no more, no less. */
function hangingFaults(
  { id, ref, state, answered, agreed_number, agreed_bytes, latest_number, latest_bytes }: Standing,
  rows: readonly Row[],
): string[] {
  const found = (status: string) =>
    rows
      .filter((row) => row.ref === ref && row.status === status)
      .map(({ point_id, kg }) => inWords({ pointId: point_id, kg: Number(kg) }));
  const withVenue = (state === 'submitted' || state === 'questions') && latest_number !== agreed_number;
  const expected = { agreed: answered ? agreed_bytes : null, submitted: withVenue ? latest_bytes : null };
  return (['agreed', 'submitted'] as const).flatMap((status) => {
    const wanted = expected[status] ? inWords(loadOf(expected[status])) : '';
    return found(status).join() === wanted ? [] : [`${id} (${state}) has [${found(status).join()}] ${status}, not [${wanted}]`];
  });
}

/** Agreed and not stale: its plan is what was agreed, and no limit that it loads has changed in any revision since. */
function staleFaults(
  { id, answered, stale, agreed_bytes, agreed_revision, draft_bytes }: Standing,
  revisions: ReadonlyMap<number, Revision>,
  latest: number,
): string[] {
  if (!answered || stale || !agreed_bytes || agreed_revision === null) return [];
  const load = loadOf(agreed_bytes);
  const faults = inWords(loadOf(draft_bytes)) === inWords(load) ? [] : [`${id} is not stale on an edited plan`];
  const was = revisions.get(agreed_revision);
  for (let number = agreed_revision + 1; load && number <= latest; number += 1) {
    const is = revisions.get(number);
    if (!was || !is || is.wllKg.get(load.pointId) !== was.wllKg.get(load.pointId) || is.groupKg !== was.groupKg) {
      faults.push(`${id} is not stale on revision ${number}, which changed what it loads`);
    }
  }
  return faults;
}

/** A yes that was given since the last look was given to the roof of that look, or to a newer one. */
function oldRoofFaults({ id, answered, agreed_revision }: Standing, before: RoofSeen | null): string[] {
  const earlier = before?.proposals.find((proposal) => proposal.id === id);
  if (!before || !answered || earlier?.answered === answered || (agreed_revision ?? 0) >= before.latestRevision) return [];
  return [`${id} was agreed on revision ${agreed_revision} after ${before.latestRevision} was published`];
}
