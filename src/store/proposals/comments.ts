import { randomUUID } from 'node:crypto';
import type { Party } from '../../domain/agreement/parties.ts';
import { step } from '../../domain/agreement/step.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { ownedBy, type Tx } from '../database.ts';
import { Prisma } from '../generated/client.ts';
import type { Actor } from '../history.ts';
import { afterKey, type Keyset } from '../shows.ts';
import { factsOf } from './facts.ts';
import type { ProposalError } from './plans.ts';
import { lockProposal, type Proposal } from './rows.ts';

export type Pin = { pinKind: 'proposal' | 'hang' | 'pickUp' | 'point' | 'check'; pinId: string | null };
export type Comment = Pin & {
  id: string;
  proposalId: string;
  text: string;
  blocking: boolean;
  authorId: string;
  authorOrg: string;
  authorName: string;
  createdAt: Date;
  resolvedBy: string | null;
  resolvedAt: Date | null;
  version: number;
};

const COLUMNS = Prisma.sql`id, proposal_id AS "proposalId", pin_kind AS "pinKind", pin_id AS "pinId", text, blocking, author_id AS "authorId",
  author_org AS "authorOrg", author_name AS "authorName", created_at AS "createdAt", resolved_by AS "resolvedBy", resolved_at AS "resolvedAt", version`;

export async function commentsOf(tx: Tx, proposalId: string, { limit, after }: Keyset): Promise<Comment[]> {
  return tx.sql.$queryRaw<
    Comment[]
  >`SELECT ${COLUMNS} FROM comment WHERE proposal_id = ${proposalId}::uuid AND ${ownedBy(tx, 'tour_org_id', 'venue_org_id')}
    AND ${afterKey('created_at', after)} ORDER BY created_at, id LIMIT ${limit}`;
}

export async function commentAt(tx: Tx, proposalId: string, commentId: string): Promise<Comment | null> {
  const [row] = await tx.sql.$queryRaw<Comment[]>`SELECT ${COLUMNS} FROM comment
    WHERE id = ${commentId}::uuid AND proposal_id = ${proposalId}::uuid AND ${ownedBy(tx, 'tour_org_id', 'venue_org_id')}`;
  return row ?? null;
}

type NewComment = Pin & { actor: Actor; party: Party; proposalId: string; text: string; blocking: boolean };

/** A comment has an ETag of its own and leaves the proposal's alone; a blocking one prevents a yes until it is resolved. */
export async function addComment(tx: Tx, input: NewComment): Promise<Result<Comment, ProposalError>> {
  const locked = await forComment(tx, input.proposalId);
  if (!locked.ok) return locked;
  const proposal = locked.value;
  const next = step(await factsOf(tx, proposal), { action: 'comment', actor: input.party, blocking: input.blocking });
  if (!next.ok) return next;
  const id = randomUUID();
  await tx.sql.$executeRaw`
    INSERT INTO comment (id, proposal_id, pin_kind, pin_id, text, blocking, author_id, author_org, author_name, created_at)
    VALUES (${id}::uuid, ${proposal.id}::uuid, ${input.pinKind}, ${input.pinId}, ${input.text}, ${input.blocking}, ${input.actor.personId}::uuid,
      ${input.actor.orgId}::uuid, ${input.actor.name}, ${tx.now})`;
  tx.note({
    orgs: sidesTold(proposal),
    type: 'comment.added',
    subjectId: proposal.id,
    actor: input.actor,
    facts: { commentId: id, pinKind: input.pinKind, pinId: input.pinId, blocking: input.blocking },
  });
  return ok((await commentAt(tx, proposal.id, id))!);
}

type Resolving = { actor: Actor; party: Party; proposalId: string; commentId: string; ifMatch: number };

export async function resolveComment(tx: Tx, input: Resolving): Promise<Result<Comment, ProposalError>> {
  const locked = await forComment(tx, input.proposalId);
  if (!locked.ok) return locked;
  const proposal = locked.value;
  const found = await commentAt(tx, proposal.id, input.commentId);
  if (!found) return fail({ code: 'not-found' });
  if (found.version !== input.ifMatch) return fail({ code: 'version-moved-on', version: found.version });
  const comment = {
    id: found.id,
    side: found.authorOrg === proposal.venueOrgId ? ('venue' as const) : ('tour' as const),
    authorId: found.authorId,
    resolved: found.resolvedAt !== null,
  };
  const next = step(await factsOf(tx, proposal), { action: 'resolveComment', actor: input.party, comment });
  if (!next.ok) return next;
  await tx.sql.$executeRaw`
    UPDATE comment SET resolved_by = ${input.actor.personId}::uuid, resolved_at = ${tx.now}, version = version + 1 WHERE id = ${found.id}::uuid`;
  tx.note({
    orgs: sidesTold(proposal),
    type: 'comment.resolved',
    subjectId: proposal.id,
    actor: input.actor,
    facts: { commentId: found.id },
  });
  return ok((await commentAt(tx, proposal.id, found.id))!);
}

async function forComment(tx: Tx, proposalId: string): Promise<Result<Proposal, ProposalError>> {
  const proposal = await lockProposal(tx, proposalId); // so that a blocking comment and a yes do not pass each other
  return proposal ? ok(proposal) : fail({ code: 'not-found' });
}

/** The venue hears of a proposal from its first submission on. */
const sidesTold = ({ submissionCount, tourOrgId, venueOrgId }: Proposal): string[] =>
  submissionCount > 0 ? [tourOrgId, venueOrgId] : [tourOrgId];
