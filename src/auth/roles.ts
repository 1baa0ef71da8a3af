import { TOUR_ROLES, VENUE_ROLES } from '../domain/agreement/parties.ts';
import type { OrgKind } from './can.ts';

/** The roles that people can hold in an organisation of each kind. */
export const ROLES_OF: Record<OrgKind, readonly string[]> = {
  venueOperator: VENUE_ROLES,
  production: TOUR_ROLES,
  supplier: ['administrator'],
};
export const EVERY_ROLE = [...new Set([...VENUE_ROLES, ...TOUR_ROLES])];
