import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { acting, faultAt, session } from '../../api/client.ts';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { PageHeading } from '../../parts/PageHeading.tsx';
import { NewPasswordField } from './NewPasswordField.tsx';

const KINDS = ['production', 'venueOperator', 'supplier'] as const;

export function SignUp() {
  const [typed, setTyped] = useState({ displayName: '', email: '', password: '', organisation: '' });
  const [kind, setKind] = useState<(typeof KINDS)[number]>('production');
  const [, goTo] = useLocation();
  const queries = useQueryClient();
  const make = useMutation({
    mutationFn: () => {
      const { organisation, ...person } = typed;
      return session('POST', '/session/new-account', { ...person, email: person.email.trim(), organisation: { name: organisation, kind } });
    },
    onSuccess: () => {
      acting.choose(null);
      queries.clear();
      goTo('/');
    },
  });
  const bind = (name: keyof typeof typed, pointer = `/${name}`) => ({
    value: typed[name],
    required: true,
    fault: faultAt(make.error, pointer),
    onChange: (event: { target: { value: string } }) => setTyped({ ...typed, [name]: event.target.value }),
  });
  return (
    <main className="entry sheet stack">
      <PageHeading name={words.entry.signUpTitle} />
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          make.mutate();
        }}
      >
        <Field label={words.entry.name} autoComplete="name" {...bind('displayName')} />
        <Field label={words.entry.email} type="email" autoComplete="username" {...bind('email')} />
        <NewPasswordField
          label={words.entry.password}
          value={typed.password}
          fault={faultAt(make.error, '/password')}
          onChange={(password) => setTyped({ ...typed, password })}
        />
        <Field label={words.entry.organisation} autoComplete="organization" {...bind('organisation', '/organisation/name')} />
        <fieldset className="sheet stack tight">
          <legend>{words.entry.kind}</legend>
          {KINDS.map((one) => (
            <label key={one} className="row">
              <input type="radio" name="kind" checked={kind === one} onChange={() => setKind(one)} /> {words.entry.kinds[one]}
            </label>
          ))}
        </fieldset>
        {make.isError && <ProblemPanel error={make.error} />}
        <div>
          <button type="submit" className="main" disabled={make.isPending}>
            {words.entry.make}
          </button>
        </div>
      </form>
      <p>
        {words.entry.haveOne} <Link href="/sign-in">{words.entry.signIn}</Link>
      </p>
    </main>
  );
}
