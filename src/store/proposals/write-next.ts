import type { Next } from '../../domain/agreement/acts.ts';
import type { Tx } from '../database.ts';
import type { Proposal } from './rows.ts';

/** Columns that an act changes besides what the table of states says. */
export type AlsoChanged = {
  workingPlanSha256?: string;
  lastEditorId?: string;
  lastSubmitterId?: string;
  submissionCount?: number;
  standingYesId?: string;
  suspensionReason?: string | null;
};

/** Writes what a proposal is after an act, and moves its version on. The proposal is locked. */
export async function writeNext(tx: Tx, proposal: Proposal, next: Next, also: AlsoChanged = {}): Promise<void> {
  const standingYesId = next.standing === 'ended' ? null : (also.standingYesId ?? proposal.standingYesId);
  const turned = next.state !== proposal.state || next.stale !== proposal.stale || next.suspended !== proposal.suspended;
  const suspensionReason = next.suspended ? (also.suspensionReason ?? proposal.suspensionReason) : null;
  const rows = await tx.sql.$executeRaw`
    UPDATE proposal SET state = ${next.state}, stale = ${next.stale}, stale_reasons = ${[...next.staleReasons]}::text[], suspended = ${next.suspended},
      suspension_reason = ${suspensionReason}, decider_id = ${next.deciderId}::uuid, handover_to = ${next.handoverTo}::uuid,
      standing_yes_id = ${standingYesId}::uuid, working_plan_sha256 = ${also.workingPlanSha256 ?? proposal.workingPlanSha256},
      last_editor_id = ${also.lastEditorId ?? proposal.lastEditorId}::uuid,
      last_submitter_id = coalesce(${also.lastSubmitterId ?? null}::uuid, last_submitter_id),
      submission_count = ${also.submissionCount ?? proposal.submissionCount},
      turn_since = ${turned ? tx.now : proposal.turnSince}, version = version + 1
    WHERE id = ${proposal.id}::uuid AND version = ${proposal.version}`;
  if (rows !== 1) throw new Error(`proposal ${proposal.id} was locked at version ${proposal.version} and ${rows} rows changed`);
}
