import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { acting, api, faultAt, session, valueOf } from '../../api/client.ts';
import { useMe } from '../../api/queries.ts';
import { Field } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { PageHeading } from '../../parts/PageHeading.tsx';
import { NewPasswordField } from './NewPasswordField.tsx';

/** Where the link of an invitation leads: whoever is signed in joins as that person, everybody else makes an account. */
export function Join() {
  const token = location.hash.slice(1);
  const me = useMe();
  return (
    <main className="entry sheet stack">
      <PageHeading name={words.join.title} />
      {token === '' ? (
        <p>{words.join.noToken}</p>
      ) : me.isPending ? (
        <Loading what={words.entry.account} />
      ) : me.data ? (
        <JoinAs token={token} name={me.data.person.displayName} />
      ) : (
        <JoinAnew token={token} />
      )}
    </main>
  );
}

function JoinAs({ token, name }: { token: string; name: string }) {
  const queries = useQueryClient();
  const [, goTo] = useLocation();
  const join = useMutation({
    mutationFn: () => valueOf(api.POST('/api/v1/auth/invitations/accept', { body: { token } })),
    onSuccess: ({ organisationId }) => {
      acting.choose(organisationId);
      queries.clear();
      goTo('/');
    },
  });
  const leave = useMutation({
    mutationFn: () => session('DELETE', '/session'),
    onSuccess: () => {
      acting.choose(null);
      return queries.resetQueries();
    },
  });
  return (
    <>
      <p>{words.join.signedInAs(name)}</p>
      {join.isError && <ProblemPanel error={join.error} />}
      {leave.isError && <ProblemPanel error={leave.error} />}
      <div className="row">
        <button type="button" className="main" disabled={join.isPending} onClick={() => join.mutate()}>
          {words.join.joinAs(name)}
        </button>
        <button type="button" disabled={leave.isPending} onClick={() => leave.mutate()}>
          {words.join.somebodyElse}
        </button>
      </div>
    </>
  );
}

function JoinAnew({ token }: { token: string }) {
  const [typed, setTyped] = useState({ displayName: '', password: '' });
  const join = useMutation({
    mutationFn: () => valueOf(api.POST('/api/v1/auth/invitations/accept', { body: { token, ...typed } })),
  });
  if (join.isSuccess)
    return (
      <p role="status">
        {words.join.done} <Link href="/sign-in">{words.entry.signIn}</Link>
      </p>
    );
  return (
    <>
      <p>
        {words.entry.haveOne} <Link href={`/sign-in?then=/join#${token}`}>{words.entry.signIn}</Link>
      </p>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          join.mutate();
        }}
      >
        <Field
          label={words.entry.name}
          autoComplete="name"
          required
          value={typed.displayName}
          fault={faultAt(join.error, '/displayName')}
          onChange={(event) => setTyped({ ...typed, displayName: event.target.value })}
        />
        <NewPasswordField
          label={words.entry.password}
          value={typed.password}
          fault={faultAt(join.error, '/password')}
          onChange={(password) => setTyped({ ...typed, password })}
        />
        {join.isError && <ProblemPanel error={join.error} />}
        <div>
          <button type="submit" className="main" disabled={join.isPending}>
            {words.join.act}
          </button>
        </div>
      </form>
    </>
  );
}
