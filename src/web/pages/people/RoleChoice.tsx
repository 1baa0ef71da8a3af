import { TOUR_ROLES, VENUE_ROLES, type TourRole, type VenueRole } from '../../../domain/agreement/parties.ts';
import type { Me } from '../../api/client.ts';
import { words } from '../../words.ts';

type Kind = Me['memberships'][number]['kind'];
export type Role = VenueRole | TourRole;
const ROLES_OF: Record<Kind, readonly Role[]> = { venueOperator: VENUE_ROLES, production: TOUR_ROLES, supplier: ['administrator'] };

type Props = { kind: Kind; roles: readonly string[]; fault: string | null; onChange: (roles: Role[]) => void };

/** Who may do what follows from these alone, so each says what it is for. */
export function RoleChoice({ kind, roles, fault, onChange }: Props) {
  const chosen = ROLES_OF[kind].filter((role) => roles.includes(role));
  return (
    <fieldset className="sheet stack tight">
      <legend>{words.people.roles}</legend>
      {ROLES_OF[kind].map((role) => (
        <label key={role} className="row">
          <input
            type="checkbox"
            checked={chosen.includes(role)}
            onChange={(event) => onChange(event.target.checked ? [...chosen, role] : chosen.filter((one) => one !== role))}
          />
          <span>
            {words.people.roleNames[role]} <span className="soft">{words.people.roleMeanings[role]}</span>
          </span>
        </label>
      ))}
      {fault && <small className="fault">{fault}</small>}
    </fieldset>
  );
}

export const rolesText = (roles: readonly string[]): string => roles.map((role) => words.people.roleNames[role as Role] ?? role).join(', ');
