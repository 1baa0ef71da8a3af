/** The two parties to a proposal, and the roles that their people hold. */
export const VENUE_ROLES = ['technicalManager', 'decider', 'engineer', 'houseRigger', 'crew', 'administrator'] as const;
export const TOUR_ROLES = ['headRigger', 'systemDesigner', 'productionOffice', 'administrator'] as const;
export type VenueRole = (typeof VENUE_ROLES)[number];
export type TourRole = (typeof TOUR_ROLES)[number];
export type Side = 'venue' | 'tour';

/**
 * A person acting for one side of this proposal: the side follows from the organisation acted for, never from the roles, since
 * both sides have administrators and a person may belong to both organisations.
 */
export type Party = { readonly side: Side; readonly personId: string; readonly roles: readonly string[] };

/** The service itself, when it has recomputed what stands. */
export type Service = { readonly side: 'service' };

/** One column of the table of who may what. */
export type Seat = `venue:${VenueRole}` | `tour:${TourRole}` | 'service';
export const SEATS: readonly Seat[] = [
  ...VENUE_ROLES.map((role): Seat => `venue:${role}`),
  ...TOUR_ROLES.map((role): Seat => `tour:${role}`),
  'service',
];

/** The seats that an actor sits in; a role of the other side's vocabulary gives none. */
export function seatsOf(actor: Party | Service): Seat[] {
  if (actor.side === 'service') return ['service'];
  return SEATS.filter((seat) => actor.roles.some((role) => seat === `${actor.side}:${role}`));
}
