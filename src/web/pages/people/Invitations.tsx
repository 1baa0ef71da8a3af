import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api, faultAt, valueOf, versionTag } from '../../api/client.ts';
import { invitationsQuery } from '../../api/queries.ts';
import { momentText } from '../../parts/dates.ts';
import { Field } from '../../parts/Field.tsx';
import { OneTimeLink } from '../../parts/OneTimeLink.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import type { Membership } from './member.ts';
import { RoleChoice, rolesText, type Role } from './RoleChoice.tsx';

/** Invitations that can still be taken, and a new one: a link that the administrator hands over. */
export function Invitations({ own }: { own: Membership }) {
  const { organisationId } = own;
  const queries = useQueryClient();
  const open = useQuery(invitationsQuery(organisationId));
  const revoke = useMutation({
    mutationFn: ({ id, version }: { id: string; version: number }) =>
      valueOf(
        api.DELETE('/api/v1/organisations/{organisationId}/invitations/{invitationId}', {
          params: { path: { organisationId, invitationId: id }, header: { 'if-match': versionTag(version) } },
        }),
      ),
    onSettled: () => queries.invalidateQueries({ queryKey: ['invitations'] }),
  });
  return (
    <section className="stack">
      <h2>{words.people.invitations}</h2>
      {open.isError && <ProblemPanel error={open.error} onRetry={() => void open.refetch()} />}
      {open.data?.items.length === 0 && <p className="soft">{words.people.noInvitations}</p>}
      <ul className="hangs">
        {open.data?.items.map((one) => (
          <li key={one.id} className="row apart">
            <span>
              <strong>{one.email}</strong> {rolesText(one.roles)}{' '}
              <span className="soft">{words.people.expires(momentText(one.expiresAt))}</span>
            </span>
            <button
              type="button"
              className="bare inline"
              aria-label={`${words.people.revoke}: ${one.email}`}
              disabled={revoke.isPending}
              onClick={() => revoke.mutate(one)}
            >
              {words.people.revoke}
            </button>
          </li>
        ))}
      </ul>
      {revoke.isError && <ProblemPanel error={revoke.error} />}
      <Invite own={own} />
    </section>
  );
}

function Invite({ own }: { own: Membership }) {
  const queries = useQueryClient();
  const [typed, setTyped] = useState<{ email: string; roles: Role[] }>({ email: '', roles: [] });
  const [wasTried, setTried] = useState(false);
  const invite = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/organisations/{organisationId}/invitations', {
          params: { path: { organisationId: own.organisationId } },
          body: { email: typed.email.trim(), roles: typed.roles },
        }),
      ),
    onSuccess: async () => {
      setTyped({ email: '', roles: [] });
      setTried(false);
      await queries.invalidateQueries({ queryKey: ['invitations'] });
    },
  });
  const faults = {
    email: /^\S+@\S+\.\S+$/.test(typed.email.trim()) ? null : words.people.emailFault,
    roles: typed.roles.length > 0 ? null : words.people.oneRole,
  };
  const made = invite.data;
  return (
    <form
      noValidate
      className="sheet stack"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (faults.email === null && faults.roles === null) invite.mutate();
      }}
    >
      <h3>{words.people.invite}</h3>
      <p className="soft">{words.people.inviteText}</p>
      <Field
        label={words.people.email}
        type="email"
        autoComplete="off"
        value={typed.email}
        fault={(wasTried ? faults.email : null) ?? faultAt(invite.error, '/email')}
        onChange={(event) => setTyped({ ...typed, email: event.target.value })}
      />
      <RoleChoice
        kind={own.kind}
        roles={typed.roles}
        fault={(wasTried ? faults.roles : null) ?? faultAt(invite.error, '/roles')}
        onChange={(roles) => setTyped({ ...typed, roles })}
      />
      {invite.isError && <ProblemPanel error={invite.error} />}
      <div>
        <button type="submit" className="main" disabled={invite.isPending}>
          {words.people.makeLink}
        </button>
      </div>
      {made?.token && (
        <OneTimeLink path="/join" token={made.token} text={words.people.inviteReady(made.email, momentText(made.expiresAt))} />
      )}
    </form>
  );
}
