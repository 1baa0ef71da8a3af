import { Redirect, Route, Switch } from 'wouter';
import { Refused } from './api/client.ts';
import { useMe } from './api/queries.ts';
import { PAGES } from './pages.ts';
import { ChooseOrganisation } from './pages/entry/ChooseOrganisation.tsx';
import { Join } from './pages/entry/Join.tsx';
import { NewPassword } from './pages/entry/NewPassword.tsx';
import { SignIn } from './pages/entry/SignIn.tsx';
import { SignUp } from './pages/entry/SignUp.tsx';
import { Loading } from './parts/Loading.tsx';
import { Part } from './parts/Part.tsx';
import { ProblemPanel } from './parts/ProblemPanel.tsx';
import { Shell } from './Shell.tsx';
import { words } from './words.ts';

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
      <Switch>
        <Route path="/">
          <Redirect to={LANDING[acting.kind]} />
        </Route>
        {WITHOUT_ID.map((page) => (
          <Route key={page} path={`/${page}`}>
            <Part of={PAGES[page]}>{(Page) => <Page />}</Part>
          </Route>
        ))}
        <Route path="/spaces/:spaceId">
          {({ spaceId }) => <Part of={PAGES.spaces}>{(SpacePage) => <SpacePage spaceId={spaceId} />}</Part>}
        </Route>
        <Route path="/proposals/:proposalId">
          {({ proposalId }) => <Part of={PAGES.proposals}>{(ProposalPage) => <ProposalPage proposalId={proposalId} />}</Part>}
        </Route>
        <Route>
          <p>{words.nothingHere}</p>
        </Route>
      </Switch>
    </Shell>
  );
}

const WITHOUT_ID = ['desk', 'tour', 'venues', 'access', 'equipment', 'people'] as const;
