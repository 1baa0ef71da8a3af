import { expect, test } from 'vitest';
import type { Action, Actor, OrgKind, Subject } from '../../src/auth/can.ts';
import { refusalOf } from '../../src/auth/can.ts';
import table from './access-matrix.json' with { type: 'json' };

/**
 * The other way to the table that is held against the running service: what each operation ought to ask of the policy, said here by
 * hand, and the policy's answer to it. A route that asks for the wrong action, or of the wrong side, differs.
 */
type Wants = {
  readonly action: Action;
  readonly of: keyof typeof SUBJECTS;
  readonly seenBy: 'everybody' | 'bothSides' | 'tour' | 'granted' | 'owner';
};

const SUBJECTS = {
  oneself: (actor) => ({ kind: 'person', personId: actor.personId }),
  ownKeys: (actor) => ({ kind: 'member', orgId: actor.orgId, personId: actor.personId }),
  ownOrganisation: (actor) => ({ kind: 'organisation', orgId: actor.orgId }),
  organisation: (_, orgId) => ({ kind: 'organisation', orgId }),
  member: (_, orgId) => ({ kind: 'member', orgId, personId: 'the founder' }),
  venue: () => ({ kind: 'venue', venueOrgId: 'venue' }),
  space: ({ orgId }) => ({ kind: 'space', venueOrgId: 'venue', opened: false, granted: orgId === 'tour' }),
  access: () => ({ kind: 'access', ...SIDES }),
  production: () => ({ kind: 'production', tourOrgId: 'tour' }),
  show: () => ({ kind: 'show', ...SIDES, shared: true }),
  proposal: () => ({ kind: 'proposal', ...SIDES, submitted: true, standing: true, authorIds: ['who put it in'] }),
} satisfies Record<string, (actor: Actor, orgId: string) => Subject>;
const SIDES = { venueOrgId: 'venue', tourOrgId: 'tour' };

const wants = (seenBy: Wants['seenBy'], of: Wants['of'], operations: Partial<Record<Action, string>>): [string, Wants][] =>
  Object.entries(operations).flatMap(([action, names]) =>
    names.split(' ').map((name): [string, Wants] => [name, { action: action as Action, of, seenBy }]),
  );

const KINDS = ['RoofNode', 'RoofMember', 'RoofPoint', 'RoofLimit', 'KeepOut', 'StandingLoad'];
const WANTED = new Map<string, Wants>([
  ...wants('everybody', 'oneself', { readAccount: 'listSessions getMe', changeAccount: 'endSession changePassword signOut' }),
  ...wants('everybody', 'ownKeys', { listApiKeys: 'listApiKeys', createApiKey: 'createApiKey' }),
  ...wants('everybody', 'ownOrganisation', {
    readOrganisation: 'listOrganisations listPolicies listVenues',
    createVenue: 'createVenue',
    listAccess: 'listAccess',
    createProduction: 'createProduction',
    listProductions: 'listProductions',
    listShows: 'listShows',
    listProposals: 'listProposals',
    readAudit: 'listAudit verifyAudit',
    readEvents: 'listEvents followEvents',
    readEquipment: 'listEquipment',
    editEquipment: 'createEquipment uploadEquipmentImport',
  }),
  ...wants('owner', 'organisation', {
    readEquipment: 'getEquipment listEquipmentVersions getEquipmentVersion compareEquipmentVersions getEquipmentImport',
    editEquipment: 'putEquipment retireEquipment answerEquipmentImport applyEquipmentImport',
  }),
  ...wants('everybody', 'organisation', {
    readOrganisation: 'getOrganisation',
    changeOrganisation: 'renameOrganisation',
    listMembers: 'listMembers getMember',
    inviteMember: 'inviteMember',
    listInvitations: 'listInvitations',
    revokeInvitation: 'revokeInvitation',
  }),
  ...wants('everybody', 'member', {
    changeMemberRoles: 'changeMemberRoles',
    endMembership: 'endMembership',
    resetMemberPassword: 'makePasswordReset',
  }),
  ...wants('everybody', 'venue', { readVenue: 'getVenue listSpaces', changeVenue: 'changeVenue', createSpace: 'createSpace' }),
  ...wants('everybody', 'space', {
    readSpace: 'getSpace',
    openSpace: 'changeSpace', // its example opens the space
    readStructure: ['getStructure', 'listReAssessments', 'getReAssessment', ...KINDS.map((kind) => `get${kind}`)].join(' '),
    editStructure: ['changeStructure', ...KINDS.flatMap((kind) => [`put${kind}`, `delete${kind}`])].join(' '),
    signPolicy: 'signPolicy',
    publishRevision: 'publishRevision previewPublishing',
    readRevision: 'listRevisions',
    readLoads: 'readLoads readCapacity',
    requestAccess: 'requestAccess',
    importStructure: 'uploadImport answerImport applyImport',
    readImport: 'getImport',
  }),
  ...wants('granted', 'space', { readRevision: 'getRevision compareRevisions' }),
  ...wants('bothSides', 'access', { readAccess: 'getAccess', grantAccess: 'decideAccess' }),
  ...wants('tour', 'production', {
    readProduction: 'getProduction readBoard',
    changeProduction: 'renameProduction',
    createShow: 'openShow',
  }),
  ...wants('bothSides', 'show', { readShow: 'getShow', changeShow: 'changeShow', createProposal: 'createProposal' }),
  ...wants('bothSides', 'proposal', {
    readProposal: 'getProposal getRequirements getFrozenPlan getAssessment listDecisions listComments getComment',
    readWorkingPlan: 'getPlan getHang',
    editPlan: 'putPlan putHang deleteHang',
    dryRunAssessment: 'dryRunAssessment readNeighbours',
    findAlternatives: 'findAlternatives',
    submit: 'submitProposal',
    review: 'reviewProposal',
    withdraw: 'withdrawProposal',
    revoke: 'revokeAgreement',
    suspend: 'suspendProposal',
    strike: 'strikeProposal',
    askOverride: 'askOverride',
    confirmOverride: 'confirmOverride',
    offerHandover: 'handOver',
    comment: 'addComment',
    resolveComment: 'resolveComment',
  }),
]);
/** Asked of nobody in particular: no policy stands before them. */
const OPEN = ['signUp', 'signIn', 'refresh', 'calculate'];
/** What they act on is named by a secret, or is in one organisation alone: tested where they are. */
const ELSEWHERE = ['resetPassword', 'acceptInvitation', 'revokeApiKey'];

const FOUNDERS: Record<OrgKind, readonly string[]> = {
  venueOperator: ['administrator', 'technicalManager', 'decider'],
  production: ['administrator', 'headRigger', 'productionOffice'],
  supplier: ['administrator'],
};
const STRANGERS: Record<string, OrgKind> = { thirdVenue: 'venueOperator', thirdTour: 'production', supplier: 'supplier' };

function actorOf(column: string): Actor {
  const stranger = STRANGERS[column];
  if (stranger) return { personId: column, orgId: column, orgKind: stranger, roles: FOUNDERS[stranger], scopes: null };
  const [side, role, scope] = column.split(':') as [string, string, 'read' | 'write' | undefined];
  const orgKind = side === 'venue' ? 'venueOperator' : 'production';
  const of = { orgId: side, orgKind } as const;
  if (scope) return { ...of, personId: 'the founder', roles: FOUNDERS[orgKind], scopes: [scope] };
  return { ...of, personId: column, roles: [role], scopes: null };
}

/** Those who may not know that it exists get what they would get if it did not. */
function isSeen({ orgId }: Actor, seenBy: Wants['seenBy'], owner: string): boolean {
  if (seenBy === 'owner') return orgId === owner;
  return seenBy === 'everybody' || orgId === 'tour' || (seenBy !== 'tour' && orgId === 'venue');
}

function cellFor({ action, of, seenBy }: Wants, column: string, orgId: string): string {
  if (column === 'signedOut') return '401';
  const actor = actorOf(column);
  if (!isSeen(actor, seenBy, orgId)) return '404';
  return refusalOf(actor, action, SUBJECTS[of](actor, orgId)) === null ? 'ok' : '403';
}

test('the table of who may do what is what the policy says of each operation', () => {
  const differences = Object.entries(table.rows).flatMap(([row, cells]) => {
    const [name, org = '(venue)'] = row.split(' ') as [string, string?];
    if (ELSEWHERE.includes(name)) return [];
    const wanted = WANTED.get(name);
    if (!wanted && !OPEN.some((open) => name.startsWith(open))) return [`${row}: nothing is said of it here`];
    return cells.split(' ').flatMap((cell, at) => {
      const column = table.columns[at]!;
      const derived = wanted ? cellFor(wanted, column, org.slice(1, -1)) : 'ok';
      return cell === derived ? [] : [`${row} as ${column}: ${cell} in the table, ${derived} by the policy`];
    });
  });
  expect(differences).toEqual([]);
});
