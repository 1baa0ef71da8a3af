import type { AgreementAction } from '../domain/agreement/acts.ts';
import { WHO } from '../domain/agreement/transitions.ts';
import type { Seat, TourRole, VenueRole } from '../domain/agreement/parties.ts';

/** What an action is done to. The names of the facts each kind needs are in can.ts. */
export type SubjectKind = 'person' | 'organisation' | 'member' | 'venue' | 'space' | 'access' | 'production' | 'show' | 'proposal';

/**
 * Who may, by the side that the acting organisation is on towards the subject. `others`: organisations that are on neither side.
 * `asOneself`: a member about themselves, whatever their roles. A role that is not named may not.
 */
export type Rule = {
  readonly on: SubjectKind;
  readonly scope: 'read' | 'write';
  /** Whether an API key may stand in for the person. Nothing that makes or frees access may be done by a key. */
  readonly byKey: boolean;
  readonly venue: readonly VenueRole[];
  readonly tour: readonly TourRole[];
  readonly supplier: readonly 'administrator'[];
  readonly asOneself: boolean;
  /** `granted`: productions that the venue has let in; `grantedOrOpened`: and everybody, where it opened the space. */
  readonly others: 'none' | 'granted' | 'grantedOrOpened' | 'all';
};

const VENUE_ALL: readonly VenueRole[] = ['technicalManager', 'decider', 'engineer', 'houseRigger', 'crew', 'administrator'];
const VENUE_STAFF: readonly VenueRole[] = ['technicalManager', 'decider', 'engineer', 'houseRigger', 'administrator'];
const TOUR_ALL: readonly TourRole[] = ['headRigger', 'systemDesigner', 'productionOffice', 'administrator'];
const ROOF_EDITORS: readonly VenueRole[] = ['technicalManager', 'engineer'];
const HOSTS: readonly VenueRole[] = ['technicalManager', 'decider'];
const BOOKERS: readonly TourRole[] = ['headRigger', 'productionOffice'];

type Allowances = Partial<Omit<Rule, 'on' | 'scope'>>;
const CLOSED = { byKey: true, venue: [], tour: [], supplier: [], asOneself: false, others: 'none' } as const;
const read = (on: SubjectKind, allow: Allowances): Rule => ({ on, scope: 'read', ...CLOSED, ...allow });
const write = (on: SubjectKind, allow: Allowances): Rule => ({ on, scope: 'write', ...CLOSED, ...allow });
const EVERY_MEMBER: Allowances = { venue: VENUE_ALL, tour: TOUR_ALL, supplier: ['administrator'] };
const ADMINISTRATORS: Allowances = { venue: ['administrator'], tour: ['administrator'], supplier: ['administrator'], byKey: false };

/** The seats of the agreement's own table, as roles of each side: said once, there. */
function act(action: AgreementAction, alsoVenue: readonly VenueRole[] = []): Rule {
  const { seats } = WHO[action];
  const holds = (seat: Seat) => seats.includes(seat);
  return write('proposal', {
    venue: VENUE_ALL.filter((role) => holds(`venue:${role}`) || alsoVenue.includes(role)),
    tour: TOUR_ALL.filter((role) => holds(`tour:${role}`)),
  });
}

/** Every operation that needs an organisation to act for. */
export const ACCESS = {
  // ---- people and organisations ----
  readAccount: read('person', { asOneself: true }),
  changeAccount: write('person', { asOneself: true, byKey: false }),
  readOrganisation: read('organisation', { ...EVERY_MEMBER, others: 'all' }),
  changeOrganisation: write('organisation', ADMINISTRATORS),
  listMembers: read('organisation', EVERY_MEMBER),
  inviteMember: write('organisation', ADMINISTRATORS),
  listInvitations: read('organisation', ADMINISTRATORS),
  revokeInvitation: write('organisation', ADMINISTRATORS),
  changeMemberRoles: write('member', ADMINISTRATORS),
  resetMemberPassword: write('member', ADMINISTRATORS),
  endMembership: write('member', { ...ADMINISTRATORS, asOneself: true }),
  listApiKeys: read('member', { ...ADMINISTRATORS, asOneself: true }),
  createApiKey: write('member', { byKey: false, asOneself: true }),
  revokeApiKey: write('member', { ...ADMINISTRATORS, asOneself: true }),
  readAudit: read('organisation', {
    venue: ['technicalManager', 'decider', 'engineer', 'administrator'],
    tour: ['headRigger', 'productionOffice', 'administrator'],
    supplier: ['administrator'],
  }),
  readEvents: read('organisation', EVERY_MEMBER),

  // ---- the catalogue of equipment: everybody's own ----
  readEquipment: read('organisation', EVERY_MEMBER),
  editEquipment: write('organisation', {
    venue: ['technicalManager', 'houseRigger'],
    tour: ['headRigger', 'systemDesigner'],
    supplier: ['administrator'],
  }),

  // ---- the venue's register ----
  readVenue: read('venue', { venue: VENUE_ALL, others: 'all' }),
  createVenue: write('organisation', { venue: ['technicalManager', 'administrator'] }),
  changeVenue: write('venue', { venue: ['technicalManager', 'administrator'] }),
  readSpace: read('space', { venue: VENUE_ALL, others: 'all' }),
  createSpace: write('venue', { venue: ['technicalManager', 'administrator'] }),
  changeSpace: write('space', { venue: ['technicalManager', 'administrator'] }),
  openSpace: write('space', { venue: ['technicalManager'] }),
  readStructure: read('space', { venue: VENUE_STAFF }),
  editStructure: write('space', { venue: ROOF_EDITORS }),
  readImport: read('space', { venue: VENUE_STAFF }),
  importStructure: write('space', { venue: ROOF_EDITORS }),
  signPolicy: write('space', { venue: ROOF_EDITORS }),
  publishRevision: write('space', { venue: ROOF_EDITORS }),
  readRevision: read('space', { venue: VENUE_ALL, others: 'grantedOrOpened' }),
  readLoads: read('space', { venue: VENUE_STAFF, others: 'granted' }),
  requestAccess: write('space', { tour: BOOKERS }),
  listAccess: read('organisation', { venue: VENUE_STAFF, tour: TOUR_ALL }),
  readAccess: read('access', { venue: VENUE_STAFF, tour: TOUR_ALL }),
  grantAccess: write('access', { venue: HOSTS }),
  refuseAccess: write('access', { venue: HOSTS }),
  endAccess: write('access', { venue: HOSTS }),

  // ---- productions, shows, proposals ----
  listProductions: read('organisation', { tour: TOUR_ALL }),
  createProduction: write('organisation', { tour: BOOKERS }),
  readProduction: read('production', { tour: TOUR_ALL }),
  changeProduction: write('production', { tour: BOOKERS }),
  listShows: read('organisation', { venue: VENUE_ALL, tour: TOUR_ALL }),
  createShow: write('production', { tour: BOOKERS }),
  readShow: read('show', { venue: VENUE_ALL, tour: TOUR_ALL }),
  changeShow: write('show', { tour: BOOKERS }),
  listProposals: read('organisation', { venue: VENUE_ALL, tour: TOUR_ALL }),
  createProposal: write('show', { tour: ['headRigger', 'systemDesigner'] }),
  readProposal: read('proposal', { venue: VENUE_ALL, tour: TOUR_ALL }),
  readWorkingPlan: read('proposal', { tour: TOUR_ALL }),
  dryRunAssessment: read('proposal', { tour: ['headRigger', 'systemDesigner', 'productionOffice'] }),
  findAlternatives: read('proposal', { tour: ['headRigger', 'systemDesigner', 'productionOffice'] }),
  editPlan: act('editPlan'),
  submit: act('submit'),
  review: act('agree'),
  withdraw: act('withdraw'),
  revoke: act('revoke'),
  suspend: act('suspend'),
  liftSuspension: act('liftSuspension'),
  strike: act('strike'),
  askOverride: act('askOverride'),
  confirmOverride: act('confirmOverride'),
  offerHandover: act('offerHandover'),
  acceptHandover: act('acceptHandover'),
  comment: act('comment', ['crew']),
  resolveComment: act('resolveComment', ['crew']),
} as const satisfies Record<string, Rule>;

export type Action = keyof typeof ACCESS;
