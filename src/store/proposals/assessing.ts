import { hash, randomUUID } from 'node:crypto';
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import { assessmentFacts, type AssessmentFacts } from '../../domain/agreement/facts.ts';
import { assess } from '../../domain/assessment/assess.ts';
import type { Assessment, NeighbourLoad } from '../../domain/assessment/assessment.ts';
import { canonicalBytes, type Json } from '../../domain/foundation/canonical.ts';
import { fail, ok, type Result } from '../../domain/foundation/result.ts';
import { checkPlan, type CheckedPlan, type PlanError } from '../../domain/plan/check-plan.ts';
import { storedPlan } from '../../domain/plan/stored-equipment.ts';
import type { Tx } from '../database.ts';
import { hangingDuring } from '../roof-lock.ts';
import type { KeptRoof, Roofs } from '../roofs.ts';

export const sha256 = (text: string): string => hash('sha256', text, 'hex');

/** Whose plan is assessed, and when it hangs. */
export type Stay = { spaceId: string; commitmentRef: string; startsAt: Date; endsAt: Date };
export type AssessError = PlanError | { code: 'roof-not-published'; spaceId: string };

/** Parses plan bytes of our own store; a plan that was checked once is checked again, since the check's rules grow. */
export const readPlan = (bytes: string, stay: Stay): Result<CheckedPlan, PlanError> =>
  checkPlan(storedPlan(bytes), { from: stay.startsAt.toISOString(), to: stay.endsAt.toISOString() });

/** The roof that counts now: the latest revision, if the asker may read it. */
export async function latestRoof(tx: Tx, roofs: Roofs, spaceId: string): Promise<Result<KeptRoof, AssessError>> {
  const [lock] = await tx.sql.$queryRaw<
    { latest_revision: number }[]
  >`SELECT latest_revision FROM space_lock WHERE space_id = ${spaceId}::uuid`;
  const roof = lock && lock.latest_revision > 0 ? await roofs.at(tx, spaceId, lock.latest_revision) : null;
  return roof ? ok(roof) : fail({ code: 'roof-not-published', spaceId });
}

/** Assesses plan bytes on a roof among everything else that hangs there at the time. */
export async function assessAmong(tx: Tx, roof: KeptRoof, stay: Stay, planBytes: string): Promise<Result<Assessment, AssessError>> {
  const { neighbours } = await hangingDuring(tx, stay.spaceId, stay.startsAt, stay.endsAt, stay.commitmentRef);
  return assessWith(roof, stay, planBytes, neighbours, tx.now);
}

export function assessWith(
  roof: KeptRoof,
  stay: Stay,
  planBytes: string,
  neighbours: readonly NeighbourLoad[],
  asOf: Date,
): Result<Assessment, AssessError> {
  const plan = readPlan(planBytes, stay);
  if (!plan.ok) return plan;
  return ok(
    assess({
      roof: roof.roof,
      revisionHash: roof.sha256,
      policyHash: roof.policySha256,
      plan: plan.value,
      planHash: sha256(planBytes),
      show: { from: stay.startsAt.toISOString(), to: stay.endsAt.toISOString() },
      neighbours,
      asOf: asOf.toISOString(),
      sha256,
    }),
  );
}

export type KeptAssessment = {
  id: string;
  submissionNumber: number;
  sequence: number;
  cause: string;
  revisionNumber: number;
  assessmentHash: string;
  outcomeHash: string;
  createdAt: Date;
  bytes: Uint8Array;
};

/** Keeps the canonical bytes, compressed, beside what lists and agreeing need. Never changed afterwards. */
export async function keepAssessment(
  tx: Tx,
  proposalId: string,
  submissionNumber: number,
  cause: 'submission' | 'roofMoved',
  roof: KeptRoof,
  assessment: Assessment,
): Promise<{ id: string; facts: AssessmentFacts }> {
  const id = randomUUID();
  const facts = assessmentFacts(assessment);
  const { totals, verdict } = assessment.outcome;
  const bytes = deflateRawSync(Buffer.from(canonicalBytes(assessment as unknown as Json), 'utf8'));
  await tx.sql.$executeRaw`
    INSERT INTO assessment (id, proposal_id, submission_number, sequence, cause, assessment_hash, outcome_hash, revision_number, engine, verdict,
      worst_utilisation, total_kg, facts, bytes, created_at)
    SELECT ${id}::uuid, ${proposalId}::uuid, ${submissionNumber}, coalesce(max(sequence), 0) + 1, ${cause}, ${assessment.assessmentHash},
      ${assessment.outcomeHash}, ${roof.number}, ${assessment.engine}, ${verdict}, ${totals.worstUtilisation}::float8, ${totals.massKg}::float8,
      ${canonicalBytes(facts)}, ${bytes}, ${tx.now} FROM assessment WHERE proposal_id = ${proposalId}::uuid`;
  return { id, facts };
}

export async function latestAssessment(tx: Tx, proposalId: string): Promise<KeptAssessment | null> {
  const [row] = await tx.sql.$queryRaw<KeptAssessment[]>`
    SELECT id, submission_number AS "submissionNumber", sequence, cause, revision_number AS "revisionNumber", assessment_hash AS "assessmentHash",
      outcome_hash AS "outcomeHash", created_at AS "createdAt", bytes FROM assessment WHERE proposal_id = ${proposalId}::uuid ORDER BY sequence DESC LIMIT 1`;
  return row ?? null;
}

export const readAssessment = ({ bytes }: KeptAssessment): Assessment => JSON.parse(inflateRawSync(bytes).toString('utf8')) as Assessment;
