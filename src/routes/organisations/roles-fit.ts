import type { Actor } from '../../auth/can.ts';
import { ROLES_OF } from '../../auth/roles.ts';
import { ProblemError } from '../problem.ts';

/** A venue has no head rigger, and a production no engineer of the house. */
export function refuseForeignRoles({ orgKind }: Actor, roles: readonly string[]): void {
  const fitting = ROLES_OF[orgKind];
  const errors = roles.flatMap((role, index) =>
    fitting.includes(role) ? [] : [{ pointer: `/roles/${index}`, message: `not a role of a ${orgKind}` }],
  );
  if (errors.length > 0) throw new ProblemError({ code: 'roles-do-not-fit', roles: fitting, errors });
}
