import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useLocation, useSearchParams } from 'wouter';
import { session } from '../../api/client.ts';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { PageHeading } from '../../parts/PageHeading.tsx';

export function SignIn() {
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [, goTo] = useLocation();
  const [search] = useSearchParams();
  const queries = useQueryClient();
  const signIn = useMutation({
    mutationFn: () => session('POST', '/session', { email: email.trim(), password }),
    onSuccess: () => {
      queries.clear();
      goTo(ownAddress(search.get('then')) + location.hash); // what stands after the # is of where it leads
    },
  });
  return (
    <main className="entry sheet stack">
      <div className="stack tight">
        <PageHeading name={words.entry.title} />
        <p className="soft">{words.entry.purpose}</p>
      </div>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          signIn.mutate();
        }}
      >
        <Field
          label={words.entry.email}
          type="email"
          autoComplete="username"
          required
          value={email}
          onChange={(event) => setEmail(event.target.value)}
        />
        <Field
          label={words.entry.password}
          type="password"
          autoComplete="current-password"
          required
          value={password}
          onChange={(event) => setPassword(event.target.value)}
        />
        {signIn.isError && <ProblemPanel error={signIn.error} />}
        <div>
          <button type="submit" className="main" disabled={signIn.isPending}>
            {words.entry.signIn}
          </button>
        </div>
      </form>
      <p>
        {words.entry.newHere} <Link href="/sign-up">{words.entry.toSignUp}</Link>
      </p>
    </main>
  );
}

/** Back to where one came from, on this site alone. */
const ownAddress = (then: string | null): string => (then !== null && /^\/(?![/\\])/.test(then) ? then : '/');
