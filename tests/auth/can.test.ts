import { describe, expect, test } from 'vitest';
import { ACCESS } from '../../src/auth/access-table.ts';
import type { Action, Actor, OrgKind, Subject } from '../../src/auth/can.ts';
import { ACTIONS, can, partyOf, refusalOf } from '../../src/auth/can.ts';
import { WHO } from '../../src/domain/agreement/transitions.ts';

// Written by hand from the rules, and the whole of what is allowed.
// venue: Technical manager, Decider, Engineer, House rigger, Crew, Administrator; tour: Head rigger, System designer, production Office,
// Administrator; supplier: Administrator; self: a member about themselves. other: with things of an organisation that is not one's own.
const TABLE = `
action              on            scope  key  venue   tour  supplier  self  other
readAccount         person        read   y    .       .     .         y     .
changeAccount       person        write  .    .       .     .         y     .
readOrganisation    organisation  read   y    TDEHCA  HSOA  A         .     all
changeOrganisation  organisation  write  .    A       A     A         .     .
listMembers         organisation  read   y    TDEHCA  HSOA  A         .     .
inviteMember        organisation  write  .    A       A     A         .     .
listInvitations     organisation  read   .    A       A     A         .     .
revokeInvitation    organisation  write  .    A       A     A         .     .
changeMemberRoles   member        write  .    A       A     A         .     .
resetMemberPassword member        write  .    A       A     A         .     .
endMembership       member        write  .    A       A     A         y     .
listApiKeys         member        read   .    A       A     A         y     .
createApiKey        member        write  .    .       .     .         y     .
revokeApiKey        member        write  .    A       A     A         y     .
readAudit           organisation  read   y    TDEA    HOA   A         .     .
readEvents          organisation  read   y    TDEHCA  HSOA  A         .     .
readEquipment       organisation  read   y    TDEHCA  HSOA  A         .     .
editEquipment       organisation  write  y    TH      HS    A         .     .
readVenue           venue         read   y    TDEHCA  .     .         .     all
createVenue         organisation  write  y    TA      .     .         .     .
changeVenue         venue         write  y    TA      .     .         .     .
readSpace           space         read   y    TDEHCA  .     .         .     all
createSpace         venue         write  y    TA      .     .         .     .
changeSpace         space         write  y    TA      .     .         .     .
openSpace           space         write  y    T       .     .         .     .
readStructure       space         read   y    TDEHA   .     .         .     .
editStructure       space         write  y    TE      .     .         .     .
readImport          space         read   y    TDEHA   .     .         .     .
importStructure     space         write  y    TE      .     .         .     .
signPolicy          space         write  y    TE      .     .         .     .
publishRevision     space         write  y    TE      .     .         .     .
readRevision        space         read   y    TDEHCA  .     .         .     opened
readLoads           space         read   y    TDEHA   .     .         .     granted
requestAccess       space         write  y    .       .     .         .     asked:HO
listAccess          organisation  read   y    TDEHA   HSOA  .         .     .
readAccess          access        read   y    TDEHA   HSOA  .         .     .
grantAccess         access        write  y    TD      .     .         .     .
refuseAccess        access        write  y    TD      .     .         .     .
endAccess           access        write  y    TD      .     .         .     .
listProductions     organisation  read   y    .       HSOA  .         .     .
createProduction    organisation  write  y    .       HO    .         .     .
readProduction      production    read   y    .       HSOA  .         .     .
changeProduction    production    write  y    .       HO    .         .     .
listShows           organisation  read   y    TDEHCA  HSOA  .         .     .
createShow          production    write  y    .       HO    .         .     .
readShow            show          read   y    TDEHCA  HSOA  .         .     .
changeShow          show          write  y    .       HO    .         .     .
listProposals       organisation  read   y    TDEHCA  HSOA  .         .     .
createProposal      show          write  y    .       HS    .         .     .
readProposal        proposal      read   y    TDEHCA  HSOA  .         .     .
readWorkingPlan     proposal      read   y    .       HSOA  .         .     .
dryRunAssessment    proposal      read   y    .       HSO   .         .     .
findAlternatives    proposal      read   y    .       HSO   .         .     .
editPlan            proposal      write  y    .       HS    .         .     .
submit              proposal      write  y    .       H     .         .     .
review              proposal      write  y    TDE     .     .         .     .
withdraw            proposal      write  y    .       HO    .         .     .
revoke              proposal      write  y    TDE     .     .         .     .
suspend             proposal      write  y    TDEH    .     .         .     .
liftSuspension      proposal      write  y    TDE     .     .         .     .
strike              proposal      write  y    TDH     .     .         .     .
askOverride         proposal      write  y    TDE     .     .         .     .
confirmOverride     proposal      write  y    TDE     .     .         .     .
offerHandover       proposal      write  y    TD      .     .         .     .
acceptHandover      proposal      write  y    TD      .     .         .     .
comment             proposal      write  y    TDEHC   HSO   .         .     .
resolveComment      proposal      write  y    TDEHC   HSO   .         .     .
`;
type Row = Record<'action' | 'on' | 'scope' | 'key' | 'venue' | 'tour' | 'supplier' | 'self' | 'other', string>;
const [header, ...lines] = TABLE.trim()
  .split('\n')
  .map((line) => line.split(/ +/));
const rows = lines.map((cells) => Object.fromEntries(header!.map((name, index) => [name, cells[index]])) as Row);

const VENUE = { T: 'technicalManager', D: 'decider', E: 'engineer', H: 'houseRigger', C: 'crew', A: 'administrator' };
const TOUR = { H: 'headRigger', S: 'systemDesigner', O: 'productionOffice', A: 'administrator' };
const KINDS: { kind: OrgKind; column: 'venue' | 'tour' | 'supplier'; roles: Record<string, string> }[] = [
  { kind: 'venueOperator', column: 'venue', roles: VENUE },
  { kind: 'production', column: 'tour', roles: TOUR },
  { kind: 'supplier', column: 'supplier', roles: { A: 'administrator' } },
];
const actorOf = (orgKind: OrgKind, roles: string[], scopes: Actor['scopes'] = null): Actor => ({
  personId: 'me',
  orgId: 'our org',
  orgKind,
  roles,
  scopes,
});

/** A subject whose owner on the given side is `orgId`; the other side is somebody else's. */
function subjectOf(
  on: string,
  orgId: string,
  column: string,
  rest: { personId?: string; opened?: boolean; granted?: boolean } = {},
): Subject {
  const [venueOrgId, tourOrgId] = column === 'venue' ? [orgId, 'their org'] : ['their org', orgId];
  const { personId = 'somebody', opened = false, granted = false } = rest;
  switch (on as Subject['kind']) {
    case 'person':
      return { kind: 'person', personId };
    case 'organisation':
      return { kind: 'organisation', orgId };
    case 'member':
      return { kind: 'member', orgId, personId };
    case 'venue':
      return { kind: 'venue', venueOrgId };
    case 'space':
      return { kind: 'space', venueOrgId, opened, granted };
    case 'access':
      return { kind: 'access', venueOrgId, tourOrgId };
    case 'production':
      return { kind: 'production', tourOrgId };
    case 'show':
      return { kind: 'show', tourOrgId, venueOrgId, shared: true };
    case 'proposal':
      return { kind: 'proposal', tourOrgId, venueOrgId, submitted: true, standing: true, authorIds: [] };
  }
}
const VENUES_OWN = ['venue', 'space'];
/** What may be done as an organisation that is on neither side. */
function otherMay({ other }: Row, kind: OrgKind, letter: string, { opened, granted }: { opened: boolean; granted: boolean }): boolean {
  if (other.startsWith('asked:')) return kind === 'production' && other.slice('asked:'.length).includes(letter);
  if (other === 'granted') return kind === 'production' && granted;
  if (other === 'opened') return opened || (kind === 'production' && granted);
  return other === 'all';
}

test('the table is whole: every action, on what it is done, by which key', () => {
  expect(rows.map(({ action }) => action)).toEqual([...ACTIONS]);
  for (const { action, on, scope, key } of rows) {
    expect(ACCESS[action as Action], action).toMatchObject({ on, scope, byKey: key === 'y' });
  }
});

describe.each(rows)('$action', (row) => {
  const action = row.action as Action;
  test.each(KINDS)('each role of a $kind, on own and other', ({ kind, column, roles }) => {
    for (const [letter, role] of Object.entries(roles)) {
      const actor = actorOf(kind, [role]);
      // A touring organisation or a supplier owns no venue and no space.
      const owns = column === 'venue' || !VENUES_OWN.includes(row.on);
      if (owns) expect(can(actor, action, subjectOf(row.on, 'our org', column)), `${role}, own`).toBe(row[column].includes(letter));
      for (const opened of [false, true]) {
        for (const granted of [false, true]) {
          const theirs = subjectOf(row.on, 'another org', column, { opened, granted });
          expect(can(actor, action, theirs), `${role}, other ${JSON.stringify({ opened, granted })}`).toBe(
            otherMay(row, kind, letter, { opened, granted }),
          );
        }
      }
    }
  });
  test('about oneself, with no role at all', () => {
    for (const { kind, column } of KINDS) {
      const about = row.on === 'person' || row.on === 'member';
      const oneself = subjectOf(row.on, 'our org', column, { personId: 'me' });
      if (about) expect(can(actorOf(kind, []), action, oneself), kind).toBe(row.self === 'y');
      if (row.on === 'member')
        expect(can(actorOf(kind, []), action, subjectOf('member', 'another org', column, { personId: 'me' }))).toBe(false);
      if (!about && row.other === '.') expect(can(actorOf(kind, []), action, subjectOf(row.on, 'our org', column))).toBe(false);
    }
  });
  test('an API key does no more than its scopes, and nothing that makes or frees access', () => {
    for (const { kind, column, roles } of KINDS) {
      const subject = subjectOf(row.on, 'our org', column, { personId: 'me' });
      const every = Object.values(roles);
      const signedIn = can(actorOf(kind, every), action, subject);
      for (const scopes of [[], ['read'], ['write'], ['read', 'write']] as const) {
        const enough = row.key === 'y' && scopes.some((scope) => scope === row.scope);
        expect(can(actorOf(kind, every, scopes), action, subject), `${kind} ${scopes.join()}`).toBe(signedIn && enough);
        if (!enough) expect(refusalOf(actorOf(kind, every, scopes), action, subject)).toEqual({ code: 'key-not-allowed', action });
      }
    }
  });
  test('a role counts only in an organisation of its kind', () => {
    // `administrator` is a role of each.
    const venueOnly = Object.values(VENUE).filter((role) => role !== 'administrator');
    const tourOnly = Object.values(TOUR).filter((role) => role !== 'administrator');
    if (row.other === 'all') return;
    expect(can(actorOf('production', venueOnly), action, subjectOf(row.on, 'our org', 'tour'))).toBe(false);
    expect(can(actorOf('venueOperator', tourOnly), action, subjectOf(row.on, 'our org', 'venue'))).toBe(false);
  });
});

describe('a proposal', () => {
  const proposal = {
    kind: 'proposal',
    tourOrgId: 'tour',
    venueOrgId: 'venue',
    submitted: true,
    standing: false,
    authorIds: ['author'],
  } as const;
  const venue = (...roles: string[]): Actor => ({ ...actorOf('venueOperator', roles), orgId: 'venue' });
  test('is nothing to the venue before it is put to it', () => {
    for (const action of ['readProposal', 'review', 'suspend', 'comment'] as const) {
      expect(can(venue('technicalManager'), action, proposal)).toBe(true);
      expect(can(venue('technicalManager'), action, { ...proposal, submitted: false })).toBe(false);
    }
    const show = { kind: 'show', tourOrgId: 'tour', venueOrgId: 'venue', shared: false } as const;
    expect(can(venue('technicalManager'), 'readShow', show)).toBe(false);
    expect(can(venue('technicalManager'), 'readShow', { ...show, shared: true })).toBe(true);
  });
  test('is seen by the crew while a yes stands, and by crew with another role as by that role', () => {
    expect(can(venue('crew'), 'readProposal', proposal)).toBe(false);
    expect(can(venue('crew'), 'comment', proposal)).toBe(false);
    expect(can(venue('crew', 'houseRigger'), 'readProposal', proposal)).toBe(true);
    expect(can(venue('crew'), 'readProposal', { ...proposal, standing: true })).toBe(true);
  });
  const judgements = ['review', 'revoke', 'liftSuspension', 'askOverride', 'confirmOverride', 'acceptHandover'] as const;
  const others = ['suspend', 'strike', 'offerHandover', 'comment', 'resolveComment', 'readProposal'] as const;
  test('is not judged by its authors, whatever roles they hold; everything else they may', () => {
    const author = { ...venue(...Object.values(VENUE)), personId: 'author' };
    for (const action of judgements) {
      expect(can(venue(...Object.values(VENUE)), action, proposal), action).toBe(true);
      expect(refusalOf(author, action, proposal)).toEqual({ code: 'author-cannot-decide', action });
      for (const role of Object.values(VENUE)) expect(can({ ...venue(role), personId: 'author' }, action, proposal), role).toBe(false);
    }
    for (const action of others) expect(can(author, action, proposal), action).toBe(true);
    const touring: Actor = { ...actorOf('production', ['headRigger']), orgId: 'tour', personId: 'author' };
    expect(can(touring, 'editPlan', proposal)).toBe(true);
    expect(can(touring, 'submit', proposal)).toBe(true);
  });
  test('is reviewed by the same seats in each of the four answers', () => {
    for (const action of ['ask', 'decline', 'agreeWithConditions'] as const) expect(WHO[action].seats).toEqual(WHO.agree.seats);
  });
  test('gives each side its party, and nobody else', () => {
    expect(partyOf(venue('decider'), proposal)).toEqual({ side: 'venue', personId: 'me', roles: ['decider'] });
    expect(partyOf({ ...venue('headRigger'), orgKind: 'production', orgId: 'tour' }, proposal)?.side).toBe('tour');
    expect(partyOf({ ...venue('decider'), orgId: 'third' }, proposal)).toBeNull();
    expect(partyOf({ ...venue('decider'), orgKind: 'production' }, proposal)).toBeNull(); // owns it on the wrong side
    expect(partyOf({ ...venue('administrator'), orgKind: 'supplier' }, proposal)).toBeNull();
  });
});

test('an action on the wrong kind of thing is a bug, and throws', () => {
  expect(() => can(actorOf('venueOperator', ['technicalManager']), 'review', { kind: 'venue', venueOrgId: 'our org' })).toThrow();
});
