import { useQueries, useQuery } from '@tanstack/react-query';
import { Link } from 'wouter';
import { ownVenuesQuery, proposalsQuery, spacesQuery, useMe } from '../api/queries.ts';
import { NewRoof } from './NewRoof.tsx';
import { Cautions } from '../parts/Cautions.tsx';
import { stayText } from '../parts/dates.ts';
import { Loading } from '../parts/Loading.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { ProposalState } from '../parts/ProposalState.tsx';
import { words } from '../words.ts';
import type { ProposalSummary } from '../api/client.ts';
import { PageHeading } from '../parts/PageHeading.tsx';

/** Where the venue lands: proposals that wait for its answer first, then its roofs. */
export function DeskPage() {
  const proposals = useQuery(proposalsQuery());
  return (
    <div className="stack">
      <PageHeading name={words.desk.title} />
      <section className="stack" aria-label={words.desk.queue}>
        {proposals.isPending && <Loading what={words.desk.queue} />}
        {proposals.isError && <ProblemPanel error={proposals.error} onRetry={() => void proposals.refetch()} />}
        {proposals.data && <Queue proposals={proposals.data.items} />}
      </section>
      <Roofs />
      <Cautions />
    </div>
  );
}

function Queue({ proposals }: { proposals: readonly ProposalSummary[] }) {
  if (proposals.length === 0) return <p className="soft">{words.desk.empty}</p>;
  const isToAnswer = ({ state }: ProposalSummary) => state === 'submitted';
  const hasMoved = (one: ProposalSummary) => !isToAnswer(one) && (one.stale || one.suspended);
  return (
    <>
      <Group title={words.desk.toAnswer} proposals={proposals.filter(isToAnswer)} />
      <Group title={words.desk.attention} proposals={proposals.filter(hasMoved)} />
      <Group title={words.desk.others} proposals={proposals.filter((one) => !isToAnswer(one) && !hasMoved(one))} />
    </>
  );
}

function Group({ title, proposals }: { title: string; proposals: readonly ProposalSummary[] }) {
  if (proposals.length === 0) return null;
  const { columns } = words.desk;
  return (
    <div className="stack tight">
      <h2>
        {title} <span className="soft">{proposals.length}</span>
      </h2>
      <div className="scroll">
        <table className="fold">
          <thead>
            <tr>
              <th scope="col">{columns.show}</th>
              <th scope="col">{columns.space}</th>
              <th scope="col">{columns.dates}</th>
              <th scope="col">{columns.state}</th>
            </tr>
          </thead>
          <tbody>
            {proposals.map((one) => (
              <tr key={one.id}>
                <th scope="row">
                  <Link href={`/proposals/${one.id}`}>
                    {one.showName}: {one.name}
                  </Link>
                  <div className="soft">{one.productionName}</div>
                </th>
                <td>
                  {one.venueName}, {one.spaceName}
                </td>
                <td>{stayText(one.from, one.to)}</td>
                <td>
                  <ProposalState {...one} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}

function Roofs() {
  const venues = useQuery(ownVenuesQuery());
  const spaces = useQueries({ queries: (venues.data?.items ?? []).map(({ id }) => spacesQuery(id)) });
  const me = useMe();
  const own = me.data?.memberships.find(({ organisationId }) => organisationId === me.data.actingForOrganisationId);
  const mayEnter = own?.kind === 'venueOperator' && own.roles.some((role) => ['technicalManager', 'administrator'].includes(role));
  const all = spaces.flatMap(({ data }) => data?.items ?? []);
  return (
    <section className="stack tight">
      <h2>{words.desk.roofs}</h2>
      {venues.isError && <ProblemPanel error={venues.error} onRetry={() => void venues.refetch()} />}
      {venues.data?.items.length === 0 && <p className="soft">{words.desk.noRoofs}</p>}
      <div className="halves">
        {all.map((space) => (
          <article key={space.id} className="sheet stack tight">
            <h3>
              <Link href={`/spaces/${space.id}`}>
                {space.venueName}: {space.name}
              </Link>
            </h3>
            <p className="soft">{words.desk.revision(space.latestRevision)}</p>
          </article>
        ))}
      </div>
      {mayEnter && venues.data && <NewRoof key={venues.data.items.length === 0 ? 'first' : 'next'} venues={venues.data.items} />}
    </section>
  );
}
