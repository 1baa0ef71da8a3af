import { expect, test } from 'vitest';
import { csvOf, matches, type BoardRow } from '../../../src/web/pages/tour/board-rows.ts';

const row = (proposal: Partial<NonNullable<BoardRow['proposal']>> | null): BoardRow => ({
  showId: 's',
  showName: 'Night',
  venueName: 'Hall',
  spaceName: 'Bowl',
  spaceId: 'r',
  from: '2027-01-01T00:00:00Z',
  to: '2027-01-02T00:00:00Z',
  proposal: proposal && {
    id: 'p',
    name: 'Rig',
    state: 'agreed',
    stale: false,
    suspended: false,
    whoseTurn: null,
    why: '',
    since: '2026-12-01T00:00:00Z',
    worst: { verdict: 'fits', utilisation: 0.5 },
    ...proposal,
  },
});

test.each([
  ['an agreed one is nobody’s', row({}), { open: false, ours: false, theirs: false, trouble: false }],
  ['one without a proposal is ours to begin', row(null), { open: true, ours: true, theirs: false, trouble: false }],
  [
    'a submitted one waits for the venue',
    row({ state: 'submitted', whoseTurn: 'venue' }),
    { open: true, ours: false, theirs: true, trouble: false },
  ],
  ['a stale yes is trouble', row({ stale: true, whoseTurn: 'tour' }), { open: false, ours: true, theirs: false, trouble: true }],
  ['a suspended yes is trouble', row({ suspended: true }), { open: false, ours: false, theirs: false, trouble: true }],
  [
    'unknown is trouble, never fine',
    row({ state: 'drafting', worst: { verdict: 'unknown', utilisation: null } }),
    { open: true, ours: false, theirs: false, trouble: true },
  ],
])('%s', (_name, one, wanted) => {
  for (const [filter, shown] of Object.entries(wanted)) expect(matches(one, filter as 'open'), filter).toBe(shown);
  expect(matches(one, 'all')).toBe(true);
});

// RFC 4180: quotes doubled, cells with commas, quotes or line ends in quotes, lines end in CRLF.
test('cells are quoted where they must be, and no text becomes a formula', () => {
  expect(csvOf([['a,b', 'say "x"', 'two\nlines', '=1+1', '-5 °C', -5]])).toBe('"a,b","say ""x""","two\nlines",\'=1+1,\'-5 °C,-5\r\n');
});
