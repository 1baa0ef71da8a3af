import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { acting, api, faultAt, valueOf, versionTag } from '../../api/client.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { momentText } from '../../parts/dates.ts';
import { OneTimeLink } from '../../parts/OneTimeLink.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import type { Member, Membership } from './member.ts';
import { RoleChoice, type Role } from './RoleChoice.tsx';

type Props = { own: Membership; member: Member; onClose: () => void };
const pathOf = ({ own, member }: Pick<Props, 'own' | 'member'>) => ({ organisationId: own.organisationId, personId: member.personId });

export function RolesDialog({ own, member, onClose }: Props) {
  const queries = useQueryClient();
  const [roles, setRoles] = useState<readonly string[]>(member.roles);
  const save = useMutation({
    mutationFn: () =>
      valueOf(
        api.PATCH('/api/v1/organisations/{organisationId}/members/{personId}', {
          params: { path: pathOf({ own, member }), header: { 'if-match': versionTag(member.version) } },
          body: { roles: roles as Role[] },
        }),
      ),
    onSuccess: async () => {
      await Promise.all([queries.invalidateQueries({ queryKey: ['members'] }), queries.invalidateQueries({ queryKey: ['me'] })]);
      onClose();
    },
  });
  return (
    <Dialog title={words.people.rolesOf(member.displayName)} isOpen onClose={onClose}>
      <RoleChoice
        kind={own.kind}
        roles={roles}
        fault={roles.length === 0 ? words.people.oneRole : faultAt(save.error, '/roles')}
        onChange={setRoles}
      />
      {save.isError && <ProblemPanel error={save.error} />}
      <div className="row">
        <button type="button" onClick={onClose}>
          {words.cancel}
        </button>
        <button type="button" className="main" disabled={roles.length === 0 || save.isPending} onClick={() => save.mutate()}>
          {words.save}
        </button>
      </div>
    </Dialog>
  );
}

/** Whoever has lost a password gets a link from their own administrator: the service sends no mail. */
export function LinkDialog({ own, member, onClose }: Props) {
  const make = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/organisations/{organisationId}/members/{personId}/password-reset', { params: { path: pathOf({ own, member }) } }),
      ),
  });
  const made = make.data;
  return (
    <Dialog title={words.people.passwordOf(member.displayName)} isOpen onClose={onClose}>
      {made?.token ? (
        <OneTimeLink
          path="/new-password"
          token={made.token}
          text={words.people.passwordReady(member.displayName, momentText(made.expiresAt))}
        />
      ) : (
        <p>{words.people.passwordText}</p>
      )}
      {make.isError && <ProblemPanel error={make.error} />}
      <div className="row">
        <button type="button" onClick={onClose}>
          {made ? words.close : words.cancel}
        </button>
        {!made && (
          <button type="button" className="main" disabled={make.isPending} onClick={() => make.mutate()}>
            {words.people.makeLink}
          </button>
        )}
      </div>
    </Dialog>
  );
}

export function EndDialog({ own, member, isSelf, onClose }: Props & { isSelf: boolean }) {
  const queries = useQueryClient();
  const end = useMutation({
    mutationFn: () =>
      valueOf(
        api.DELETE('/api/v1/organisations/{organisationId}/members/{personId}', {
          params: { path: pathOf({ own, member }), header: { 'if-match': versionTag(member.version) } },
        }),
      ),
    onSuccess: async () => {
      if (isSelf) acting.choose(null);
      await queries.invalidateQueries(isSelf ? {} : { queryKey: ['members'] });
      onClose();
    },
  });
  const { title, text, act } = isSelf ? words.people.leaving : words.people.ending;
  return (
    <Dialog title={title(member.displayName, own.organisationName)} isOpen onClose={onClose}>
      <p>{text}</p>
      {end.isError && <ProblemPanel error={end.error} />}
      <div className="row">
        <button type="button" autoFocus onClick={onClose}>
          {words.cancel}
        </button>
        <button type="button" className="main" disabled={end.isPending} onClick={() => end.mutate()}>
          {act}
        </button>
      </div>
    </Dialog>
  );
}
