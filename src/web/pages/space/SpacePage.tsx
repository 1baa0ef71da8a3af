import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { useSearchParams } from 'wouter';
import type { RoofDraft } from '../../../domain/roof/structure.ts';
import { Refused, type Space } from '../../api/client.ts';
import { revisionsQuery, roofQuery, spaceQuery, structureQuery, useMe } from '../../api/queries.ts';
import { useLastEdit } from '../../live/live.ts';
import { WhoIsHere } from '../../live/WhoIsHere.tsx';
import { Cautions } from '../../parts/Cautions.tsx';
import { clockText } from '../../parts/dates.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { Views } from '../../parts/Views.tsx';
import { words } from '../../words.ts';
import { BasesView } from './BasesView.tsx';
import { KeepOutsView } from './KeepOutsView.tsx';
import { LimitsView } from './LimitsView.tsx';
import { MembersView } from './MembersView.tsx';
import { PointsView } from './PointsView.tsx';
import { PolicyView } from './PolicyView.tsx';
import { PublishDialog } from './PublishDialog.tsx';
import { RevisionsView } from './RevisionsView.tsx';
import { RoofView } from './RoofView.tsx';
import { StandingLoadsView } from './StandingLoadsView.tsx';
import { PageHeading } from '../../parts/PageHeading.tsx';

/** A roof: for its venue the working copy, for everybody else what is published. */
export function SpacePage({ spaceId }: { spaceId: string }) {
  const space = useQuery(spaceQuery(spaceId));
  const me = useMe();
  if (space.isPending || me.isPending) return <Loading what={words.space.roof} />;
  if (space.isLoadingError || space.error instanceof Refused)
    return <ProblemPanel error={space.error} onRetry={() => void space.refetch()} />;
  const isOwn = space.data.organisationId === me.data?.actingForOrganisationId;
  return (
    <div className="stack">
      {isOwn ? <WorkingCopy space={space.data} /> : <Published space={space.data} />}
      <Cautions />
    </div>
  );
}

const title = ({ venueName, name }: Space) => `${venueName}: ${name}`;

function WorkingCopy({ space }: { space: Space }) {
  const structure = useQuery(structureQuery(space.id));
  const [isPublishing, setPublishing] = useState(false);
  const [search] = useSearchParams();
  const me = useMe();
  const edit = useLastEdit(space.id, structure.dataUpdatedAt);
  const changed = edit?.actorName === me.data?.person.displayName ? null : edit;
  if (structure.isPending) return <Loading what={words.space.roof} />;
  if (structure.isLoadingError || structure.error instanceof Refused)
    return <ProblemPanel error={structure.error} onRetry={() => void structure.refetch()} />;
  const { faults, remarks, points } = structure.data;
  const draft: RoofDraft = structure.data as RoofDraft;
  return (
    <>
      <header className="row apart">
        <div>
          <PageHeading name={title(space)} />
          <p className="soft">
            {words.space.working} · {words.space.pointCount(points.length)} · {words.desk.revision(space.latestRevision)}
          </p>
          <WhoIsHere kind="spaceId" id={space.id} />
        </div>
        <div className="row">
          {faults.length > 0 && <span className="fault">{words.space.faults(faults.length)}</span>}
          {remarks.length > 0 && <span className="soft">{words.space.remarks(remarks.length)}</span>}
          <button type="button" className="main" onClick={() => setPublishing(true)}>
            {words.space.publish}
          </button>
        </div>
      </header>
      {changed && (
        <div role="status" className="toast notice row">
          {words.live.roofChanged(changed.actorName, clockText(new Date(changed.at)))}
          <button type="button" onClick={() => void structure.refetch()}>
            {words.live.show}
          </button>
        </div>
      )}
      <Views
        label={title(space)}
        views={[
          {
            id: 'plan',
            name: words.space.views.plan,
            content: () => <RoofView spaceId={space.id} draft={draft} versions={structure.data.versions} />,
          },
          {
            id: 'points',
            name: words.space.views.points,
            content: () => <PointsView key={search.get('view')} spaceId={space.id} structure={structure.data} />,
          },
          {
            id: 'limits',
            name: words.space.views.limits,
            content: () => <LimitsView spaceId={space.id} structure={structure.data} isEditable />,
          },
          {
            id: 'keep-outs',
            name: words.space.views.keepOuts,
            content: () => <KeepOutsView spaceId={space.id} structure={structure.data} isEditable />,
          },
          {
            id: 'standing-loads',
            name: words.space.views.standingLoads,
            content: () => <StandingLoadsView spaceId={space.id} structure={structure.data} isEditable />,
          },
          { id: 'members', name: words.space.views.members, content: () => <MembersView spaceId={space.id} structure={structure.data} /> },
          { id: 'bases', name: words.space.views.bases, content: () => <BasesView spaceId={space.id} structure={structure.data} /> },
          { id: 'policy', name: words.space.views.policy, content: () => <PolicyView spaceId={space.id} structure={structure.data} /> },
          { id: 'revisions', name: words.space.views.revisions, content: () => <RevisionsView spaceId={space.id} isOwn /> },
        ]}
      />
      <PublishDialog space={space} structure={structure.data} isOpen={isPublishing} onClose={() => setPublishing(false)} />
    </>
  );
}

function Published({ space }: { space: Space }) {
  const number = space.latestRevision;
  const roof = useQuery({ ...roofQuery(space.id, number ?? 0), enabled: number !== null });
  const revisions = useQuery({ ...revisionsQuery(space.id), enabled: number !== null });
  return (
    <>
      <header>
        <PageHeading name={title(space)} />
        <p className="soft">{number === null ? words.space.notForYou : words.space.asPublished(number)}</p>
        <WhoIsHere kind="spaceId" id={space.id} />
      </header>
      {number !== null && roof.isPending && <Loading what={words.space.roof} />}
      {roof.isError && <ProblemPanel error={roof.error} onRetry={() => void roof.refetch()} />}
      {roof.data && (
        <Views
          label={title(space)}
          views={[
            { id: 'plan', name: words.space.views.plan, content: () => <RoofView spaceId={space.id} draft={roof.data} /> },
            {
              id: 'limits',
              name: words.space.views.limits,
              content: () => <LimitsView spaceId={space.id} structure={{ ...roof.data, versions: {} }} isEditable={false} />,
            },
            {
              id: 'keep-outs',
              name: words.space.views.keepOuts,
              content: () => <KeepOutsView spaceId={space.id} structure={{ ...roof.data, versions: {} }} isEditable={false} />,
            },
            {
              id: 'standing-loads',
              name: words.space.views.standingLoads,
              content: () => <StandingLoadsView spaceId={space.id} structure={{ ...roof.data, versions: {} }} isEditable={false} />,
            },
            ...(revisions.data
              ? [{ id: 'revisions', name: words.space.views.revisions, content: () => <RevisionsView spaceId={space.id} /> }]
              : []),
          ]}
        />
      )}
    </>
  );
}
