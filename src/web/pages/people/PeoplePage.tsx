import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { membersQuery, useMe } from '../../api/queries.ts';
import { dayText } from '../../parts/dates.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { Invitations } from './Invitations.tsx';
import type { Member, Membership } from './member.ts';
import { EndDialog, LinkDialog, RolesDialog } from './member-dialogs.tsx';
import { rolesText } from './RoleChoice.tsx';
import { PageHeading } from '../../parts/PageHeading.tsx';

/** Who belongs to one's own organisation, and what each may do; an administrator invites, changes and ends. */
export function PeoplePage() {
  const me = useMe();
  const own = me.data?.memberships.find(({ organisationId }) => organisationId === me.data.actingForOrganisationId);
  if (!me.data || !own) return <Loading what={words.people.title} />;
  return (
    <div className="stack">
      <PageHeading name={words.people.title}>
        {' '}
        <span className="soft">{own.organisationName}</span>
      </PageHeading>
      <Members own={own} personId={me.data.person.id} />
      {own.roles.includes('administrator') ? <Invitations own={own} /> : <p className="soft">{words.people.askAdministrator}</p>}
    </div>
  );
}

type Asked = { what: 'roles' | 'link' | 'end'; member: Member };

function Members({ own, personId }: { own: Membership; personId: string }) {
  const members = useQuery(membersQuery(own.organisationId));
  const [asked, ask] = useState<Asked | null>(null);
  const mayChange = own.roles.includes('administrator');
  if (members.isPending) return <Loading what={words.people.members} />;
  if (members.isLoadingError) return <ProblemPanel error={members.error} onRetry={() => void members.refetch()} />;
  const close = () => ask(null);
  return (
    <section className="stack tight">
      <h2>
        {words.people.members} <span className="soft">{members.data.items.length}</span>
      </h2>
      <div className="scroll">
        <table className="fold">
          <thead>
            <tr>
              <th scope="col">{words.people.name}</th>
              <th scope="col">{words.people.email}</th>
              <th scope="col">{words.people.roles}</th>
              <th scope="col">{words.people.since}</th>
              <th scope="col">{words.people.acts}</th>
            </tr>
          </thead>
          <tbody>
            {members.data.items.map((member) => {
              const isSelf = member.personId === personId;
              return (
                <tr key={member.personId}>
                  <th scope="row">
                    {member.displayName} {isSelf && <span className="soft">{words.people.you}</span>}
                  </th>
                  <td>{member.email}</td>
                  <td>{rolesText(member.roles)}</td>
                  <td>{dayText(member.createdAt)}</td>
                  <td>
                    <span className="row">
                      {mayChange && <Act name={words.people.changeRoles} of={member} onPress={() => ask({ what: 'roles', member })} />}
                      {mayChange && !isSelf && (
                        <Act name={words.people.passwordLink} of={member} onPress={() => ask({ what: 'link', member })} />
                      )}
                      {(mayChange || isSelf) && (
                        <Act
                          name={isSelf ? words.people.leave : words.people.end}
                          of={member}
                          onPress={() => ask({ what: 'end', member })}
                        />
                      )}
                    </span>
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      {asked?.what === 'roles' && <RolesDialog own={own} member={asked.member} onClose={close} />}
      {asked?.what === 'link' && <LinkDialog own={own} member={asked.member} onClose={close} />}
      {asked?.what === 'end' && <EndDialog own={own} member={asked.member} isSelf={asked.member.personId === personId} onClose={close} />}
    </section>
  );
}

const Act = ({ name, of, onPress }: { name: string; of: Member; onPress: () => void }) => (
  <button type="button" className="bare" aria-label={`${name}: ${of.displayName}`} onClick={onPress}>
    {name}
  </button>
);
