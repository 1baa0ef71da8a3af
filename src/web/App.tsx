import type { QueryClient } from '@tanstack/react-query';
import { lazy, Suspense } from 'react';
import { Redirect, Route, Switch } from 'wouter';
import { productionsQuery, proposalQuery, spaceQuery, useMe } from './api/queries.ts';
import { Refused } from './api/client.ts';
import { Join } from './pages/entry/Join.tsx';
import { NewPassword } from './pages/entry/NewPassword.tsx';
import { SignIn } from './pages/entry/SignIn.tsx';
import { SignUp } from './pages/entry/SignUp.tsx';
import { ChooseOrganisation } from './pages/entry/ChooseOrganisation.tsx';
import { Loading } from './parts/Loading.tsx';
import { ProblemPanel } from './parts/ProblemPanel.tsx';
import { Shell } from './Shell.tsx';
import { words } from './words.ts';

const PAGES = {
  desk: () => import('./pages/DeskPage.tsx').then((page) => ({ default: page.DeskPage })),
  tour: () => import('./pages/tour/TourPage.tsx').then((page) => ({ default: page.TourPage })),
  venues: () => import('./pages/VenuesPage.tsx').then((page) => ({ default: page.VenuesPage })),
  access: () => import('./pages/access/AccessPage.tsx').then((page) => ({ default: page.AccessPage })),
  equipment: () => import('./pages/equipment/EquipmentPage.tsx').then((page) => ({ default: page.EquipmentPage })),
  people: () => import('./pages/people/PeoplePage.tsx').then((page) => ({ default: page.PeoplePage })),
  spaces: () => import('./pages/space/SpacePage.tsx').then((page) => ({ default: page.SpacePage })),
  proposals: () => import('./pages/proposal/ProposalPage.tsx').then((page) => ({ default: page.ProposalPage })),
};
const DeskPage = lazy(PAGES.desk);
const TourPage = lazy(PAGES.tour);
const VenuesPage = lazy(PAGES.venues);
const AccessPage = lazy(PAGES.access);
const EquipmentPage = lazy(PAGES.equipment);
const PeoplePage = lazy(PAGES.people);
const SpacePage = lazy(PAGES.spaces);
const ProposalPage = lazy(PAGES.proposals);

/**
 * The page that the address names, and what it reads first, are fetched while the service still says who is signed in. What fails is
 * asked for again when it is shown.
 */
export function fetchAhead(path: string, queries: QueryClient): void {
  const [, page = '', id = ''] = path.split('/');
  if (page in PAGES) void PAGES[page as keyof typeof PAGES]().catch(() => {});
  if (page === 'spaces' && id !== '') void queries.prefetchQuery(spaceQuery(id));
  if (page === 'proposals' && id !== '') void queries.prefetchQuery(proposalQuery(id));
  if (page === 'tour') void queries.prefetchQuery(productionsQuery());
}

export function App() {
  return (
    <Switch>
      <Route path="/sign-in" component={SignIn} />
      <Route path="/sign-up" component={SignUp} />
      <Route path="/join" component={Join} />
      <Route path="/new-password" component={NewPassword} />
      <Route>
        <SignedIn />
      </Route>
    </Switch>
  );
}

const LANDING = { venueOperator: '/desk', production: '/tour', supplier: '/equipment' } as const;

function SignedIn() {
  const me = useMe();
  if (me.isPending) return <Loading what={words.entry.account} />;
  if (me.error instanceof Refused && me.error.problem.status === 401)
    return <Redirect to={`/sign-in?then=${encodeURIComponent(location.pathname + location.search)}`} />;
  // With no answer the page stays as it is: what is typed in it is nowhere else.
  if (me.isLoadingError) return <ProblemPanel error={me.error} onRetry={() => void me.refetch()} />;
  const acting = me.data.memberships.find(({ organisationId }) => organisationId === me.data.actingForOrganisationId);
  if (!acting) return <ChooseOrganisation me={me.data} />;
  return (
    <Shell me={me.data} acting={acting}>
      <Suspense fallback={<Loading what={words.loading.screen} />}>
        <Switch>
          <Route path="/">
            <Redirect to={LANDING[acting.kind]} />
          </Route>
          <Route path="/desk" component={DeskPage} />
          <Route path="/tour" component={TourPage} />
          <Route path="/venues" component={VenuesPage} />
          <Route path="/access" component={AccessPage} />
          <Route path="/equipment" component={EquipmentPage} />
          <Route path="/people" component={PeoplePage} />
          <Route path="/spaces/:spaceId">{({ spaceId }) => <SpacePage spaceId={spaceId} />}</Route>
          <Route path="/proposals/:proposalId">{({ proposalId }) => <ProposalPage proposalId={proposalId} />}</Route>
          <Route>
            <p>{words.nothingHere}</p>
          </Route>
        </Switch>
      </Suspense>
    </Shell>
  );
}
