import { useQuery } from '@tanstack/react-query';
import { CAUTIONS } from '../../../domain/assessment/cautions.ts';
import type { Proposal } from '../../api/client.ts';
import { proposalQuery, useMe } from '../../api/queries.ts';
import { WhoIsHere } from '../../live/WhoIsHere.tsx';
import { Cautions } from '../../parts/Cautions.tsx';
import { momentText, stayText } from '../../parts/dates.ts';
import { Loading } from '../../parts/Loading.tsx';
import { Part } from '../../parts/Part.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { ProposalState } from '../../parts/ProposalState.tsx';
import { StateMark } from '../../parts/StateMark.tsx';
import { Views } from '../../parts/Views.tsx';
import { words } from '../../words.ts';
import { Acts } from './Acts.tsx';
import { PLAN_EDITOR, REVIEW } from './later-views.ts';
import { RecordView } from './RecordView.tsx';
import { SubmittedPlan } from './SubmittedPlan.tsx';
import { TalkView } from './TalkView.tsx';
import { PageHeading } from '../../parts/PageHeading.tsx';

export function ProposalPage({ proposalId }: { proposalId: string }) {
  const proposal = useQuery(proposalQuery(proposalId));
  const me = useMe();
  if (proposal.isPending || me.isPending) return <Loading what={words.proposal.one} />;
  if (!proposal.data) return <ProblemPanel error={proposal.error} onRetry={() => void proposal.refetch()} />;
  const own = proposal.data;
  const { abilities } = own;
  const side = me.data?.actingForOrganisationId === own.venueOrganisationId ? 'venue' : 'tour';
  const plan = {
    id: 'plan',
    name: words.proposal.views.plan,
    content: () =>
      abilities.readWorkingPlan ? (
        <Part of={PLAN_EDITOR}>{(PlanEditor) => <PlanEditor proposal={own} />}</Part>
      ) : (
        <SubmittedPlan proposal={own} />
      ),
  };
  const review = {
    id: 'review',
    name: words.proposal.views.review,
    content: () => <Part of={REVIEW}>{(ReviewView) => <ReviewView proposal={own} />}</Part>,
  };
  const rest = [
    { id: 'talk', name: words.proposal.views.talk, content: () => <TalkView proposal={own} /> },
    { id: 'record', name: words.proposal.views.record, content: () => <RecordView proposal={own} /> },
  ];
  const views = own.submissions === 0 ? [plan, ...rest] : side === 'venue' ? [review, plan, ...rest] : [plan, review, ...rest];
  return (
    <div className="stack">
      {proposal.isError && <ProblemPanel error={proposal.error} onRetry={() => void proposal.refetch()} />}
      <Head proposal={own} side={side} />
      <Views label={own.name} views={views} />
      <Cautions also={CAUTIONS} />
    </div>
  );
}

function Head({ proposal, side }: { proposal: Proposal; side: 'venue' | 'tour' }) {
  const { whoseTurn } = proposal;
  return (
    <header className="stack tight">
      {proposal.suspended && (
        <div role="alert" className="notice stopped">
          <strong>{words.proposal.suspended}</strong> {proposal.suspensionReason}
        </div>
      )}
      {proposal.stale && (
        <div className="notice">
          <StateMark mark="stale" />{' '}
          {words.proposal.stale(proposal.staleReasons.map((reason) => words.proposal.staleReasons[reason as 'plan'] ?? reason).join(', '))}
        </div>
      )}
      <div className="row apart">
        <div>
          <PageHeading name={`${proposal.showName}: ${proposal.name}`} />
          <p className="soft">
            {proposal.productionName} · {proposal.venueName}, {proposal.spaceName} · {stayText(proposal.from, proposal.to)}
          </p>
          <WhoIsHere kind="proposalId" id={proposal.id} />
        </div>
        <div className="stack tight">
          <ProposalState {...proposal} />
          <p>
            {whoseTurn.side === null ? (
              <span className="soft">{words.turn.nobody}</span>
            ) : (
              <StateMark mark="waiting" word={whoseTurn.side === side ? words.turn.yours : words.turn.of(words.sides[whoseTurn.side])} />
            )}{' '}
            <span className="soft">{words.turn.since(momentText(whoseTurn.since))}</span>
          </p>
        </div>
      </div>
      <p>{whoseTurn.why}</p>
      <Acts proposal={proposal} />
    </header>
  );
}
