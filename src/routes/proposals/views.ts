import { z } from 'zod';
import { PROPOSAL_STATES } from '../../domain/agreement/facts.ts';
import { requirements, REQUIREMENT_IDS } from '../../domain/agreement/requirements.ts';
import type { RequirementId } from '../../domain/agreement/requirement.ts';
import { mayAgreeAnew, validityOf } from '../../domain/agreement/validity.ts';
import { can, type Action, type Actor, type Subject } from '../../auth/can.ts';
import type { ProposalWithFacts } from '../../store/proposals.ts';
import type { Proposal } from '../../store/proposals/rows.ts';
import type { Answer } from '../../store/once.ts';
import { etagOf } from '../headers.ts';
import { Id, InstantText, Name, Sha256, Version } from '../schemas/common.ts';

/** Stands wherever a load or a verdict is told. */
export const CAUTION =
  'Computed from what was entered. It does not replace a competent person, a structural engineer or the law of the place; what is not stated is unknown, never fine.';

const ABILITIES = [
  'readWorkingPlan',
  'dryRunAssessment',
  'editPlan',
  'submit',
  'review',
  'withdraw',
  'revoke',
  'suspend',
  'liftSuspension',
  'strike',
  'askOverride',
  'confirmOverride',
  'offerHandover',
  'acceptHandover',
  'comment',
] as const satisfies readonly Action[];

const SUMMARY = {
  id: Id,
  name: Name,
  showId: Id,
  showName: z.string(),
  productionId: Id,
  productionName: z.string(),
  tourOrganisationId: Id,
  venueOrganisationId: Id,
  venueName: z.string(),
  spaceId: Id,
  spaceName: z.string(),
  from: InstantText,
  to: InstantText,
  state: z.enum(PROPOSAL_STATES),
  stale: z.boolean(),
  staleReasons: z.array(z.string()),
  suspended: z.boolean(),
  suspensionReason: z.string().nullable(),
  submissions: z.int(),
  version: Version,
  createdAt: InstantText,
};
const EXAMPLE_SUMMARY = {
  id: '2f0c9a6e-9f0b-4a67-8b7c-0e4f6a1d2c33',
  name: 'Main rig',
  showId: '5b1d7c52-6a0f-4d8f-9c3e-1a2b3c4d5e6f',
  showName: 'Night one',
  productionId: '7a6f2f0e-58a4-4a3d-9a4e-2f6f6f1c9b10',
  productionName: 'Paper Lanterns, winter run',
  tourOrganisationId: '0d6b1c8e-3b0f-4a54-8a2c-9d0d8d3e5a11',
  venueOrganisationId: '91a4c3de-77aa-4f0c-8e5b-3d2c1b0a9f88',
  venueName: 'Harbour Hall',
  spaceId: 'c0ffee00-1234-4abc-8def-0123456789ab',
  spaceName: 'Bowl',
  from: '2027-02-01T06:00:00.000Z',
  to: '2027-02-02T04:00:00.000Z',
  state: 'submitted',
  stale: false,
  staleReasons: [],
  suspended: false,
  suspensionReason: null,
  submissions: 1,
  version: 4,
  createdAt: '2026-11-02T09:00:00.000Z',
} as const;

export const ProposalSummary = z.object(SUMMARY).meta({ id: 'ProposalSummary', examples: [EXAMPLE_SUMMARY] });

export const RequirementView = z
  .object({
    id: z.enum(REQUIREMENT_IDS as readonly [RequirementId, ...RequirementId[]]),
    met: z.enum(['met', 'unmet', 'overridden', 'not_applicable']),
    words: z.string(),
    whoseTurn: z.enum(['venue', 'tour']).nullable(),
  })
  .meta({ id: 'Requirement' });

export const ProposalView = z
  .object({
    ...SUMMARY,
    whoseTurn: z.object({
      side: z.enum(['venue', 'tour']).nullable(),
      roles: z.array(z.string()),
      personId: Id.nullable(),
      why: z.string(),
      since: InstantText,
    }),
    requirements: z.array(RequirementView),
    standingYes: z.object({ submission: z.int(), from: InstantText, to: InstantText, validUntil: InstantText.nullable() }).nullable(),
    mayAgreeAnew: z
      .boolean()
      .describe('agreed, and stale by nothing but a roof that has moved on: one more yes of the venue, to the same plan, agrees it anew'),
    validity: z.object({ status: z.string(), from: InstantText.optional(), until: InstantText.optional() }),
    assessment: z
      .object({
        assessmentHash: Sha256,
        outcomeHash: Sha256,
        engine: z.string(),
        revisionHash: Sha256,
        planHash: Sha256,
        policyHash: Sha256,
      })
      .nullable(),
    decider: z.object({ personId: Id.nullable(), handoverTo: Id.nullable() }),
    overrides: z.array(
      z.object({
        id: Id,
        subject: z.enum(['check', 'answer']),
        subjectIds: z.array(z.string()),
        outcomeHash: Sha256,
        askedBy: Id,
        confirmedBy: Id.nullable(),
      }),
    ),
    abilities: z.record(z.enum(ABILITIES), z.boolean()),
    cautions: z.array(z.string()),
  })
  .meta({ id: 'Proposal' });

export const subjectOf = (proposal: Proposal): Extract<Subject, { kind: 'proposal' }> => ({
  kind: 'proposal',
  tourOrgId: proposal.tourOrgId,
  venueOrgId: proposal.venueOrgId,
  submitted: proposal.submissionCount > 0,
  standing: proposal.standingYesId !== null,
  authorIds: [], // authorship is asked by the agreement's own table, which reads it under the lock
});

export const presentSummary = (proposal: Proposal) => ({
  id: proposal.id,
  name: proposal.name,
  showId: proposal.showId,
  showName: proposal.showName,
  productionId: proposal.productionId,
  productionName: proposal.productionName,
  tourOrganisationId: proposal.tourOrgId,
  venueOrganisationId: proposal.venueOrgId,
  venueName: proposal.venueName,
  spaceId: proposal.spaceId,
  spaceName: proposal.spaceName,
  from: proposal.startsAt.toISOString(),
  to: proposal.endsAt.toISOString(),
  state: proposal.state,
  stale: proposal.stale,
  staleReasons: proposal.staleReasons,
  suspended: proposal.suspended,
  suspensionReason: proposal.suspensionReason,
  submissions: proposal.submissionCount,
  version: proposal.version,
  createdAt: proposal.createdAt.toISOString(),
});

const abilitiesOf = (actor: Actor, subject: Subject) =>
  Object.fromEntries(ABILITIES.map((action) => [action, can(actor, action, subject)])) as Record<(typeof ABILITIES)[number], boolean>;

export function presentProposal({ proposal, facts, turn }: ProposalWithFacts, actor: Actor) {
  const { standingYes, assessment } = facts;
  return {
    ...presentSummary(proposal),
    whoseTurn: { side: turn.side, roles: [...turn.roles], personId: turn.personId, why: turn.why, since: proposal.turnSince.toISOString() },
    requirements: requirements(facts),
    standingYes: standingYes && {
      submission: standingYes.submissionNumber,
      from: standingYes.from,
      to: standingYes.to,
      validUntil: standingYes.validUntil,
    },
    mayAgreeAnew: mayAgreeAnew(facts),
    validity: validityOf(facts),
    assessment: assessment && {
      assessmentHash: assessment.assessmentHash,
      outcomeHash: assessment.outcomeHash,
      engine: assessment.engine,
      revisionHash: assessment.revisionHash,
      planHash: assessment.planHash,
      policyHash: assessment.policyHash,
    },
    decider: { personId: facts.deciderId, handoverTo: facts.handoverTo },
    overrides: facts.overrides.map(({ id, subject, subjectIds, outcomeHash, askedBy, confirmedBy }) => ({
      id,
      subject,
      subjectIds: [...subjectIds],
      outcomeHash,
      askedBy,
      confirmedBy,
    })),
    abilities: abilitiesOf(actor, { ...subjectOf(proposal), authorIds: facts.submission?.authorIds ?? [] }),
    cautions: [CAUTION],
  };
}

export const proposalAnswer = (seen: ProposalWithFacts, actor: Actor, status = 200): Answer => ({
  status,
  body: presentProposal(seen, actor),
  etag: etagOf(seen.proposal.version),
  ...(status === 201 ? { location: `/api/v1/proposals/${seen.proposal.id}` } : {}),
});
