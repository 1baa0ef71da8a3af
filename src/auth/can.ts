import type { Party, Side } from '../domain/agreement/parties.ts';
import { JUDGEMENTS } from '../domain/agreement/transitions.ts';
import type { Action, Rule } from './access-table.ts';
import { ACCESS } from './access-table.ts';

export type { Action } from './access-table.ts';
export const ACTIONS = Object.keys(ACCESS) as readonly Action[];

export type OrgKind = 'venueOperator' | 'production' | 'supplier';

/** A person acting for an organisation. `scopes`: of the API key that stands in for them; null: signed in themselves. */
export type Actor = {
  readonly personId: string;
  readonly orgId: string;
  readonly orgKind: OrgKind;
  readonly roles: readonly string[];
  readonly scopes: readonly ('read' | 'write')[] | null;
};

/** What is acted on, with the owners that decide on which side an actor stands. */
export type Subject =
  | { readonly kind: 'person'; readonly personId: string }
  /** The organisation itself, and what is listed or made in it. */
  | { readonly kind: 'organisation'; readonly orgId: string }
  | { readonly kind: 'member'; readonly orgId: string; readonly personId: string }
  | { readonly kind: 'venue'; readonly venueOrgId: string }
  /** `granted`: the acting organisation holds a grant that has not ended, or for a revision has put a plan to the venue on it. */
  | { readonly kind: 'space'; readonly venueOrgId: string; readonly opened: boolean; readonly granted: boolean }
  | { readonly kind: 'access'; readonly venueOrgId: string; readonly tourOrgId: string }
  | { readonly kind: 'production'; readonly tourOrgId: string }
  /** `shared`: something of it was put to the venue, which sees it from then on. */
  | { readonly kind: 'show'; readonly tourOrgId: string; readonly venueOrgId: string; readonly shared: boolean }
  | {
      readonly kind: 'proposal';
      readonly tourOrgId: string;
      readonly venueOrgId: string;
      /** Put to the venue at least once. */
      readonly submitted: boolean;
      /** A yes stands, in whatever state. */
      readonly standing: boolean;
      /** Who submitted or edited the plan. */
      readonly authorIds: readonly string[];
    };

/** The one policy. What the state of a proposal allows beyond this is the agreement's table. */
export const can = (actor: Actor, action: Action, subject: Subject): boolean => refusalOf(actor, action, subject) === null;

export type AccessRefusal = { readonly code: 'not-allowed' | 'key-not-allowed' | 'author-cannot-decide'; readonly action: Action };

/** Why not, or null when it is allowed. Nothing is allowed that no row of the table allows. */
export function refusalOf(actor: Actor, action: Action, subject: Subject): AccessRefusal | null {
  const rule: Rule = ACCESS[action];
  if (subject.kind !== rule.on) throw new Error(`${action} is done to a ${rule.on}, not to a ${subject.kind}`);
  if (actor.scopes !== null && !(rule.byKey && actor.scopes.includes(rule.scope))) return { code: 'key-not-allowed', action };
  if (!isPermitted(actor, rule, subject)) return { code: 'not-allowed', action };
  return isOwnWork(actor, action, subject) ? { code: 'author-cannot-decide', action } : null;
}

function isPermitted(actor: Actor, rule: Rule, subject: Subject): boolean {
  if (rule.asOneself && isOneself(actor, subject)) return true;
  const inRole = (roles: readonly string[]) => actor.roles.some((role) => isIn(roles, role));
  switch (sideTowards(actor, subject)) {
    case 'venue':
      return inRole(rule.venue) && venueSees(actor, subject);
    case 'tour':
      return inRole(rule.tour);
    case 'supplier':
      return inRole(rule.supplier);
    case 'other':
      return mayAsAnother(actor, rule, subject);
  }
}

/** What an organisation may with another's things. */
function mayAsAnother({ orgKind, roles }: Actor, rule: Rule, subject: Subject): boolean {
  if (rule.others === 'all') return true;
  if (subject.kind !== 'space') return false;
  if (rule.others === 'grantedOrOpened' && subject.opened) return true;
  if (orgKind !== 'production') return false;
  // A production that has not been let in yet may ask for it.
  return rule.others === 'none' ? roles.some((role) => isIn(rule.tour, role)) : subject.granted;
}

const isIn = (roles: readonly string[], role: string): boolean => roles.includes(role);
const isOneself = (actor: Actor, subject: Subject): boolean =>
  (subject.kind === 'person' && subject.personId === actor.personId) ||
  (subject.kind === 'member' && subject.personId === actor.personId && subject.orgId === actor.orgId);

/** The organisation's kind gives the side, its id whether the thing is its own: neither alone is enough. */
function sideTowards({ orgId, orgKind }: Actor, subject: Subject): Side | 'supplier' | 'other' {
  if (subject.kind === 'person') return 'other';
  if (subject.kind === 'organisation' || subject.kind === 'member') return subject.orgId === orgId ? OWN_SIDE[orgKind] : 'other';
  if (orgKind === 'venueOperator' && 'venueOrgId' in subject && subject.venueOrgId === orgId) return 'venue';
  if (orgKind === 'production' && 'tourOrgId' in subject && subject.tourOrgId === orgId) return 'tour';
  return 'other';
}
const OWN_SIDE: Record<OrgKind, Side | 'supplier'> = { venueOperator: 'venue', production: 'tour', supplier: 'supplier' };

/** The venue sees nothing of a draft before its first submission; those who are only crew see what is agreed. */
function venueSees({ roles }: Actor, subject: Subject): boolean {
  if (subject.kind === 'show') return subject.shared;
  if (subject.kind !== 'proposal') return true;
  if (!subject.submitted) return false;
  return subject.standing || roles.some((role) => isIn(VENUE_READERS, role));
}
const VENUE_READERS: readonly string[] = ['technicalManager', 'decider', 'engineer', 'houseRigger', 'administrator'];

function isOwnWork({ personId }: Actor, action: Action, subject: Subject): boolean {
  if (subject.kind !== 'proposal' || !subject.authorIds.includes(personId)) return false;
  return action === 'review' || JUDGEMENTS.some((judgement) => judgement === action);
}

/** The actor as a party to a proposal, for the agreement's rules; null when their organisation is none. */
export function partyOf(actor: Actor, proposal: Extract<Subject, { kind: 'proposal' }>): Party | null {
  const side = sideTowards(actor, proposal);
  return side === 'venue' || side === 'tour' ? { side, personId: actor.personId, roles: actor.roles } : null;
}
