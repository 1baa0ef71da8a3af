import { randomUUID } from 'node:crypto';
import type { AgreementError } from '../../domain/agreement/acts.ts';
import type { Party } from '../../domain/agreement/parties.ts';
import { step } from '../../domain/agreement/step.ts';
import { canonicalBytes } from '../../domain/foundation/canonical.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { claimFaults } from '../../domain/plan/check-claims.ts';
import type { PlanFault } from '../../domain/plan/plan-fault.ts';
import { EMPTY_PLAN, type EquipmentUsed, type Hang, type Plan } from '../../domain/plan/plan.ts';
import { storedPlan } from '../../domain/plan/stored-equipment.ts';
import { ownedBy, type Tx } from '../database.ts';
import { knownVersions } from '../equipment/items.ts';
import type { Actor } from '../history.ts';
import { hangingDuring, lockSpace, replaceCommitments } from '../roof-lock.ts';
import type { Roofs } from '../roofs.ts';
import { showAt } from '../shows.ts';
import { assessWith, latestRoof, readPlan, sha256, type AssessError } from './assessing.ts';
import { factsOf } from './facts.ts';
import { lockProposal, proposalAt, type Proposal } from './rows.ts';
import { writeNext } from './write-next.ts';

export type ProposalError = AgreementError | AssessError | { code: 'not-found' } | { code: 'version-moved-on'; version: number };

export async function createProposal(
  tx: Tx,
  input: { actor: Actor; showId: string; name: string },
): Promise<Result<Proposal, ProposalError>> {
  const show = await showAt(tx, input.showId);
  if (!show || show.tourOrgId !== input.actor.orgId) return fail({ code: 'not-found' });
  const id = randomUUID();
  const bytes = canonicalBytes(EMPTY_PLAN);
  await tx.sql.$executeRaw`
    INSERT INTO proposal (id, show_id, name, commitment_ref, state, starts_at, ends_at, working_plan_sha256, last_editor_id, turn_since, created_at)
    VALUES (${id}::uuid, ${show.id}::uuid, ${input.name}, ${randomUUID()}::uuid, 'drafting', ${show.startsAt}, ${show.endsAt}, ${sha256(bytes)},
      ${input.actor.personId}::uuid, ${tx.now}, ${tx.now})`;
  await tx.sql.$executeRaw`
    INSERT INTO plan_draft (proposal_id, bytes, sha256, editor_ids, updated_by, updated_at)
    VALUES (${id}::uuid, ${bytes}, ${sha256(bytes)}, ARRAY[${input.actor.personId}::uuid], ${input.actor.personId}::uuid, ${tx.now})`;
  tx.note({
    orgs: [show.tourOrgId],
    type: 'proposal.begun',
    subjectId: id,
    actor: input.actor,
    facts: { showId: show.id, name: input.name },
  });
  return ok((await proposalAt(tx, id))!);
}

export type Draft = { bytes: string; sha256: string; updatedBy: string; updatedAt: Date };

export async function draftOf(tx: Tx, proposalId: string): Promise<Draft | null> {
  const [row] = await tx.sql.$queryRaw<Draft[]>`
    SELECT bytes, sha256, updated_by AS "updatedBy", updated_at AS "updatedAt" FROM plan_draft
    WHERE proposal_id = ${proposalId}::uuid AND ${ownedBy(tx, 'tour_org_id')}`;
  return row ?? null;
}

export type PlanEdit =
  | { kind: 'whole'; plan: Plan }
  | { kind: 'hang'; hang: Hang; equipment: Record<string, EquipmentUsed> }
  | { kind: 'removeHang'; hangId: string };

export type EditInput = { actor: Actor; party: Party; proposalId: string; ifMatch: number; unagree: boolean; edit: PlanEdit };

/** Changes the working plan. An agreed one goes stale unless the change alters nothing that was agreed. */
export async function editPlan(tx: Tx, roofs: Roofs, input: EditInput): Promise<Result<Proposal, ProposalError>> {
  const seen = await proposalAt(tx, input.proposalId);
  const draft = seen && (await draftOf(tx, seen.id));
  if (!seen || !draft) return fail({ code: 'not-found' });
  if (seen.version !== input.ifMatch) return fail({ code: 'version-moved-on', version: seen.version });
  // What is asked to hang leaves the roof when it is taken back from the venue: that needs the space's lock, before the proposal's.
  const takenBack = seen.state === 'submitted';
  if (takenBack) await lockSpace(tx, seen.spaceId);
  const proposal = await lockProposal(tx, seen.id);
  if (!proposal || proposal.version !== input.ifMatch) return fail({ code: 'version-moved-on', version: proposal?.version ?? 0 });
  const plan = edited(storedPlan(draft.bytes), input.edit);
  if (plan === null) return fail({ code: 'not-found' });
  const bytes = canonicalBytes(plan);
  const checked = readPlan(bytes, proposal);
  const claims = await falseClaims(tx, input.edit);
  if (claims.length > 0) {
    return fail({ code: 'plan-not-valid', faults: [...claims, ...(checked.ok ? [] : checked.error.faults)] });
  }
  if (!checked.ok && checked.error.code === 'plan-not-valid') return checked; // one of a kind not computed yet may be drawn, and is refused when it is assessed
  const facts = await factsOf(tx, proposal);
  const outcomeKept = facts.standingYes !== null && (await sameOutcome(tx, roofs, proposal, facts.standingYes.submissionNumber, bytes));
  const next = step(facts, { action: 'editPlan', actor: input.party, unagree: input.unagree, outcomeKept });
  if (!next.ok) return next;
  await tx.sql.$executeRaw`
    UPDATE plan_draft SET bytes = ${bytes}, sha256 = ${sha256(bytes)}, updated_by = ${input.actor.personId}::uuid, updated_at = ${tx.now},
      editor_ids = CASE WHEN ${input.actor.personId}::uuid = ANY(editor_ids) THEN editor_ids ELSE editor_ids || ${input.actor.personId}::uuid END
    WHERE proposal_id = ${proposal.id}::uuid`;
  if (takenBack) await replaceCommitments(tx, proposal.spaceId, proposal.commitmentRef, 'submitted', []);
  await writeNext(tx, proposal, next.value, { workingPlanSha256: sha256(bytes), lastEditorId: input.actor.personId });
  const told = proposal.submissionCount > 0 && (next.value.state !== proposal.state || next.value.stale !== proposal.stale);
  tx.note({
    orgs: told ? [proposal.tourOrgId, proposal.venueOrgId] : [proposal.tourOrgId],
    type: next.value.stale && !proposal.stale ? 'proposal.stale' : takenBack ? 'proposal.takenBack' : 'proposal.planChanged',
    subjectId: proposal.id,
    actor: input.actor,
    facts: { planSha256: sha256(bytes), hangs: plan.hangs.length, stale: next.value.stale, outcomeKept },
  });
  return ok((await proposalAt(tx, proposal.id))!);
}

/** What this edit brings in from a catalogue, and is not what the catalogue holds. */
async function falseClaims(tx: Tx, edit: PlanEdit): Promise<PlanFault[]> {
  const equipment = edit.kind === 'whole' ? edit.plan.equipment : edit.kind === 'hang' ? edit.equipment : {};
  const ids = Object.values(equipment).flatMap(({ from }) => (from === null ? [] : [from.itemId]));
  return ids.length === 0 ? [] : claimFaults(equipment, await knownVersions(tx, ids), sha256);
}

function edited(plan: Plan, edit: PlanEdit): Plan | null {
  if (edit.kind === 'whole') return edit.plan;
  if (edit.kind === 'removeHang') {
    const hangs = plan.hangs.filter(({ id }) => id !== edit.hangId);
    return hangs.length === plan.hangs.length ? null : { ...plan, hangs };
  }
  const known = plan.hangs.some(({ id }) => id === edit.hang.id);
  return {
    ...plan,
    hangs: known ? plan.hangs.map((hang) => (hang.id === edit.hang.id ? edit.hang : hang)) : [...plan.hangs, edit.hang],
    equipment: { ...plan.equipment, ...edit.equipment },
  };
}

/** Whether the edited plan gives just the loads, checks and verdict of the agreed one, on the roof and among the neighbours of now. */
async function sameOutcome(tx: Tx, roofs: Roofs, proposal: Proposal, agreedNumber: number, bytes: string): Promise<boolean> {
  const roof = await latestRoof(tx, roofs, proposal.spaceId);
  const [agreed] = await tx.sql.$queryRaw<{ plan_bytes: string }[]>`
    SELECT plan_bytes FROM plan_submission WHERE proposal_id = ${proposal.id}::uuid AND number = ${agreedNumber}`;
  if (!roof.ok || !agreed) return false;
  const { neighbours } = await hangingDuring(tx, proposal.spaceId, proposal.startsAt, proposal.endsAt, proposal.commitmentRef);
  const [before, after] = [agreed.plan_bytes, bytes].map((plan) => assessWith(roof.value, proposal, plan, neighbours, tx.now));
  return before!.ok && after!.ok && before!.value.outcomeHash === after!.value.outcomeHash;
}
