import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'wouter';
import { api, faultAt, valueOf } from '../../api/client.ts';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { PageHeading } from '../../parts/PageHeading.tsx';
import { NewPasswordField } from './NewPasswordField.tsx';

/** Where the link of an administrator leads: a new password, and every session of before has ended. */
export function NewPassword() {
  const token = location.hash.slice(1);
  const [password, setPassword] = useState('');
  const set = useMutation({ mutationFn: () => valueOf(api.POST('/api/v1/auth/password-reset', { body: { token, password } })) });
  return (
    <main className="entry sheet stack">
      <PageHeading name={words.newPassword.title} />
      {token === '' ? (
        <p>{words.join.noToken}</p>
      ) : set.isSuccess ? (
        <p role="status">
          {words.newPassword.done} <Link href="/sign-in">{words.entry.signIn}</Link>
        </p>
      ) : (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            set.mutate();
          }}
        >
          <NewPasswordField
            label={words.newPassword.password}
            value={password}
            fault={faultAt(set.error, '/password')}
            onChange={setPassword}
          />
          {set.isError && <ProblemPanel error={set.error} />}
          <div>
            <button type="submit" className="main" disabled={set.isPending}>
              {words.newPassword.act}
            </button>
          </div>
        </form>
      )}
    </main>
  );
}
