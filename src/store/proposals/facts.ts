import type {
  Answer,
  AssessmentFacts,
  OpenComment,
  Override,
  ProposalFacts,
  StandingYes,
  Submission,
} from '../../domain/agreement/facts.ts';
import type { Side } from '../../domain/agreement/parties.ts';
import type { Tx } from '../database.ts';
import type { Proposal } from './rows.ts';

type FactRows = {
  submission: { number: number; plan_sha256: string } | null;
  authors: string[] | null;
  standing: { submission_number: number; starts_at: string; ends_at: string; valid_until: string | null } | null;
  facts: string | null;
  latest_sha256: string | null;
  engineer_above_kg: number | null;
  answers: (Omit<Answer, 'conditions' | 'ticks' | 'validUntil'> & { conditions: string; ticks: string; validUntil: string | null })[];
  overrides: Override[];
  comments: { id: string; author_id: string; venue: boolean }[];
  last_comment_venue: boolean | null;
};

/** Everything that decides what may happen next with a proposal, in one statement. Inside a decision, read under the locks. */
export async function factsOf(tx: Tx, proposal: Proposal): Promise<ProposalFacts> {
  const [row] = await tx.sql.$queryRaw<FactRows[]>`
    SELECT
      (SELECT json_build_object('number', s.number, 'plan_sha256', s.plan_sha256) FROM plan_submission s
        WHERE s.proposal_id = p.id ORDER BY s.number DESC LIMIT 1) AS submission,
      (SELECT array_agg(DISTINCT e.id) FROM plan_submission s, unnest(s.editor_ids || s.submitted_by) e(id) WHERE s.proposal_id = p.id) AS authors,
      (SELECT json_build_object('submission_number', d.submission_number, 'starts_at', s.starts_at, 'ends_at', s.ends_at, 'valid_until', d.valid_until)
        FROM decision d JOIN plan_submission s ON s.proposal_id = d.proposal_id AND s.number = d.submission_number WHERE d.id = p.standing_yes_id) AS standing,
      (SELECT a.facts FROM assessment a WHERE a.proposal_id = p.id AND a.submission_number = p.submission_count ORDER BY a.sequence DESC LIMIT 1) AS facts,
      l.latest_sha256, l.engineer_above_kg,
      (SELECT coalesce(json_agg(json_build_object('id', d.id, 'submissionNumber', d.submission_number, 'sequence', d.sequence, 'answer', d.answer,
          'capacity', d.capacity, 'assessmentHash', d.assessment_hash, 'conditions', d.conditions, 'ticks', d.ticks, 'decidedBy', d.decided_by,
          'validUntil', d.valid_until) ORDER BY d.sequence), '[]') FROM decision d WHERE d.proposal_id = p.id) AS answers,
      (SELECT coalesce(json_agg(json_build_object('id', o.id, 'subject', o.subject, 'subjectIds', o.subject_ids, 'outcomeHash', o.outcome_hash,
          'askedBy', o.asked_by, 'askerIsEngineer', o.asker_is_engineer, 'confirmedBy', o.confirmed_by) ORDER BY o.asked_at, o.id), '[]')
        FROM check_override o WHERE o.proposal_id = p.id) AS overrides,
      (SELECT coalesce(json_agg(json_build_object('id', c.id, 'author_id', c.author_id, 'venue', c.author_org = p.venue_org_id) ORDER BY c.created_at, c.id), '[]')
        FROM comment c WHERE c.proposal_id = p.id AND c.blocking AND c.resolved_at IS NULL) AS comments,
      (SELECT c.author_org = p.venue_org_id FROM comment c WHERE c.proposal_id = p.id ORDER BY c.created_at DESC, c.id DESC LIMIT 1) AS last_comment_venue
    FROM proposal p
    LEFT JOIN space_lock l ON l.space_id = p.space_id
    WHERE p.id = ${proposal.id}::uuid`;
  if (!row) throw new Error(`proposal ${proposal.id} was seen and is gone`);
  return {
    now: tx.now.toISOString(),
    state: proposal.state,
    stale: proposal.stale,
    staleReasons: proposal.staleReasons as ProposalFacts['staleReasons'],
    suspended: proposal.suspended,
    show: { from: proposal.startsAt.toISOString(), to: proposal.endsAt.toISOString() },
    submission: row.submission && submissionOf(row.submission, row.authors ?? []),
    workingPlanHash: proposal.workingPlanSha256,
    lastEditorId: proposal.lastEditorId,
    standingYes: row.standing && standingOf(row.standing),
    assessment: row.facts === null ? null : (JSON.parse(row.facts) as AssessmentFacts),
    latestRevisionHash: row.latest_sha256,
    engineerAboveKg: row.engineer_above_kg,
    answers: row.answers.map(({ conditions, ticks, validUntil, ...answer }) => ({
      ...answer,
      conditions: JSON.parse(conditions) as Answer['conditions'],
      ticks: JSON.parse(ticks) as Answer['ticks'],
      validUntil: validUntil && instant(validUntil),
    })),
    overrides: row.overrides,
    blockingComments: row.comments.map((comment): OpenComment => ({
      id: comment.id,
      authorId: comment.author_id,
      side: sideOf(comment.venue),
    })),
    lastCommentSide: row.last_comment_venue === null ? null : sideOf(row.last_comment_venue),
    deciderId: proposal.deciderId,
    handoverTo: proposal.handoverTo,
  };
}

const sideOf = (venue: boolean): Side => (venue ? 'venue' : 'tour');
/** PostgreSQL writes instants in JSON with an offset of its own choice. */
const instant = (text: string): string => new Date(text).toISOString();

const submissionOf = (row: NonNullable<FactRows['submission']>, authorIds: string[]): Submission => ({
  number: row.number,
  planHash: row.plan_sha256,
  authorIds,
});

const standingOf = (row: NonNullable<FactRows['standing']>): StandingYes => ({
  submissionNumber: row.submission_number,
  from: instant(row.starts_at),
  to: instant(row.ends_at),
  validUntil: row.valid_until && instant(row.valid_until),
});
