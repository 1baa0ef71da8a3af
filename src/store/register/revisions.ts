import { canonicalBytes } from '../../domain/foundation/canonical.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { publishedBytes, publishRoof, type DayStartOf, type NotPublishable } from '../../domain/roof/publish.ts';
import type { Database, Scope, Tx } from '../database.ts';
import type { Actor } from '../history.ts';
import { sha256 } from '../proposals/assessing.ts';
import { markForChecking, settleNext, type AgreementMoved, type Published } from '../proposals/published.ts';
import { lockSpace, moveLatestRevision } from '../roof-lock.ts';
import { enqueueReAssessment } from './re-assessments.ts';
import type { Roofs, RoofText } from '../roofs.ts';
import { structureOf, type StructureError } from './structure.ts';

export type RevisionHead = {
  spaceId: string;
  number: number;
  sha256: string;
  policySha256: string;
  note: string;
  authorName: string;
  publishedAt: Date;
};
export type PublishError = StructureError | NotPublishable;
export type Revised = { revision: RevisionHead; toCheck: number };

type Publishing = { actor: Actor; spaceId: string; ifMatch: number; note: string; dayStartOf: DayStartOf };

/**
 * Freezes the working copy into the next numbered revision. Every agreement that rests on the one before is stale with it, until the
 * background work that is put in here has found out what it means for each.
 */
export async function publish(tx: Tx, roofs: Roofs, input: Publishing): Promise<Result<Revised, PublishError>> {
  const published = await publishRevision(tx, roofs, input);
  if (!published.ok) return published;
  const { revision, toCheck } = published.value;
  if (toCheck > 0) await enqueueReAssessment(tx, { spaceId: revision.spaceId, revision: revision.number, scope: tx.scope });
  return ok({ revision, toCheck });
}

async function publishRevision(tx: Tx, roofs: Roofs, input: Publishing): Promise<Result<Revised & { published: Published }, PublishError>> {
  const { actor, spaceId, note } = input;
  const lock = await lockSpace(tx, spaceId);
  const structure = await structureOf(tx, spaceId);
  if (!structure) return fail({ code: 'not-found' });
  if (structure.version !== input.ifMatch) return fail({ code: 'version-moved-on', version: structure.version });
  const roof = publishRoof(structure.draft, input.dayStartOf);
  if (!roof.ok) return roof;
  const bytes = publishedBytes(roof.value);
  const policySha256 = sha256(canonicalBytes(roof.value.policy));
  const before = lock.latestRevision > 0 ? await roofs.at(tx, spaceId, lock.latestRevision) : null;
  const number = lock.latestRevision + 1;
  const hash = sha256(bytes);
  await tx.sql.$executeRaw`
    INSERT INTO revision (space_id, number, bytes, sha256, policy_sha256, note, author_id, author_name, published_at)
    VALUES (${spaceId}::uuid, ${number}, ${bytes}, ${hash}, ${policySha256}, ${note}, ${actor.personId}::uuid, ${actor.name}, ${tx.now})`;
  await moveLatestRevision(tx, spaceId, { number, sha256: hash, engineerAboveKg: roof.value.policy.policy.engineerAboveKg });
  tx.note({
    orgs: [structure.venueOrgId, ...(await readersOf(tx, spaceId))],
    type: 'revision.published',
    subjectId: spaceId,
    actor,
    facts: { number, sha256: hash, policySha256, note },
  });
  const published: Published = { actor, spaceId, before, after: { number, roof: roof.value, sha256: hash, policySha256 } };
  const toCheck = await markForChecking(tx, published);
  const revision = { spaceId, number, sha256: hash, policySha256, note, authorName: actor.name, publishedAt: tx.now };
  return ok({ revision, toCheck, published });
}

/** Those who may read the roof now, beside its venue: a plan that they draw is checked on the new revision, so they are told of it. */
async function readersOf(tx: Tx, spaceId: string): Promise<string[]> {
  const rows = await tx.sql.$queryRaw<{ orgId: string }[]>`
    SELECT DISTINCT tour_org_id AS "orgId" FROM space_access
    WHERE space_id = ${spaceId}::uuid AND state = 'granted' AND ends_at > ${tx.now} ORDER BY 1`;
  return rows.map(({ orgId }) => orgId);
}

/** What publishing would do, found by doing it and taking it back. */
export async function previewPublishing(
  db: Database,
  roofs: Roofs,
  scope: Scope,
  input: Omit<Publishing, 'ifMatch' | 'note'>,
): Promise<Result<AgreementMoved[], PublishError>> {
  const tried = await db.transaction(
    scope,
    async (tx): Promise<Result<never, PublishError | { code: 'only-tried'; moved: AgreementMoved[] }>> => {
      const structure = await structureOf(tx, input.spaceId);
      if (!structure) return fail({ code: 'not-found' });
      const tried = await publishRevision(tx, roofs, { ...input, ifMatch: structure.version, note: '' });
      if (!tried.ok) return tried;
      const moved: AgreementMoved[] = [];
      for (;;) {
        const next = await settleNext(tx, tried.value.published);
        if (!next) return fail({ code: 'only-tried', moved }); // any failure rolls back
        moved.push(next);
      }
    },
  );
  if (tried.ok) throw new Error('what is only tried is not kept');
  const { error } = tried;
  return error.code === 'only-tried' ? ok(error.moved) : fail(error);
}

export const revisionsOf = (tx: Tx, spaceId: string, below: number | null, limit: number): Promise<RevisionHead[]> =>
  tx.sql.$queryRaw<RevisionHead[]>`
    SELECT space_id AS "spaceId", number, sha256, policy_sha256 AS "policySha256", note, author_name AS "authorName", published_at AS "publishedAt"
    FROM revision WHERE space_id = ${spaceId}::uuid AND number < ${below ?? 2_000_000_000} ORDER BY number DESC LIMIT ${limit}`;

/**
 * Whether the asker may read this revision: the roof is theirs, opened or granted now, or an own submission was assessed on it.
 * The row itself is asked for too: its bytes may come from memory, where the database's own wall does not stand.
 */
export async function mayReadRevision(tx: Tx, spaceId: string, number: number): Promise<boolean> {
  const org = tx.scope.orgId;
  const [row] = await tx.sql.$queryRaw<{ yes: boolean }[]>`
    SELECT (${!tx.walls.store} OR s.venue_org_id = ${org}::uuid OR s.opened
      OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = s.id AND a.tour_org_id = ${org}::uuid AND a.state = 'granted' AND a.ends_at > ${tx.now})
      OR EXISTS (SELECT 1 FROM plan_submission p WHERE p.space_id = s.id AND p.revision_number = ${number} AND p.tour_org_id = ${org}::uuid)) AS yes
    FROM space s JOIN revision r ON r.space_id = s.id AND r.number = ${number} WHERE s.id = ${spaceId}::uuid`;
  return row?.yes ?? false;
}

/** The stored canonical bytes, as they are. */
export async function revisionText(tx: Tx, roofs: Roofs, spaceId: string, number: number): Promise<RoofText | null> {
  return (await mayReadRevision(tx, spaceId, number)) ? roofs.textAt(tx, spaceId, number) : null;
}
