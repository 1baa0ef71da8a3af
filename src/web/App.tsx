import { lazy, Suspense } from 'react';
import { Redirect, Route, Switch } from 'wouter';
import { useMe } from './api/queries.ts';
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

const DeskPage = lazy(() => import('./pages/DeskPage.tsx').then((page) => ({ default: page.DeskPage })));
const TourPage = lazy(() => import('./pages/tour/TourPage.tsx').then((page) => ({ default: page.TourPage })));
const VenuesPage = lazy(() => import('./pages/VenuesPage.tsx').then((page) => ({ default: page.VenuesPage })));
const AccessPage = lazy(() => import('./pages/access/AccessPage.tsx').then((page) => ({ default: page.AccessPage })));
const EquipmentPage = lazy(() => import('./pages/equipment/EquipmentPage.tsx').then((page) => ({ default: page.EquipmentPage })));
const PeoplePage = lazy(() => import('./pages/people/PeoplePage.tsx').then((page) => ({ default: page.PeoplePage })));
const SpacePage = lazy(() => import('./pages/space/SpacePage.tsx').then((page) => ({ default: page.SpacePage })));
const ProposalPage = lazy(() => import('./pages/proposal/ProposalPage.tsx').then((page) => ({ default: page.ProposalPage })));

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
  if (me.isError) {
    if (me.error instanceof Refused && me.error.problem.status === 401)
      return <Redirect to={`/sign-in?then=${encodeURIComponent(location.pathname + location.search)}`} />;
    return <ProblemPanel error={me.error} onRetry={() => void me.refetch()} />;
  }
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
