import { expect, test } from 'vitest';
import { lapseOf, nextDay, spanOf, spansOverlap } from '../../src/domain/roof/calendar.ts';
import { publishedBytes, publishRoof } from '../../src/domain/roof/publish.ts';
import type { PublishedRoof, RoofDraft } from '../../src/domain/roof/structure.ts';
import { draft, expectFail, group, point, publish, terms, twoHoursAhead } from './roof-samples.ts';

test('a draft with faults is refused with all of them', () => {
  const error = expectFail(publishRoof(draft({ policy: null, timeZone: '' }), twoHoursAhead));
  expect(error.code).toBe('draft-not-publishable');
  expect(error.faults.map(({ code }) => code)).toEqual(['zone-not-valid', 'policy-not-signed']);
});

test('a zone that does not exist is refused, even when nothing has a date', () => {
  const undated = draft({ points: [point('p1', { inspectionDueDay: null }), point('p2', { inspectionDueDay: null })], members: [] });
  expect(expectFail(publishRoof(undated, () => null)).faults).toMatchObject([{ pointer: '/timeZone', code: 'zone-not-valid' }]);
});

test('an instant that is not one is a bug of the caller', () => {
  expect(() => publishRoof(draft(), () => '2027-07-01T00:00:00+02:00')).toThrow(RangeError);
});

test('the same roof has the same bytes, in whatever order it was entered', () => {
  const lists: Partial<RoofDraft> = {
    points: [point('a', { terms: { ...terms, mustInclude: ['load', 'chain'] } }), point('b'), point('c')],
    limits: [group('g1', ['a', 'b', 'c'], 10), group('g2', ['b', 'a'], 20)],
  };
  const turned: Partial<RoofDraft> = {
    points: [point('c'), point('b'), point('a', { terms: { ...terms, mustInclude: ['chain', 'load'] } })],
    limits: [group('g2', ['a', 'b'], 20), group('g1', ['c', 'a', 'b'], 10)],
  };
  expect(publishedBytes(publish(turned))).toBe(publishedBytes(publish(lists)));
  expect(publishedBytes(publish({ ...lists, exposure: 'open' }))).not.toBe(publishedBytes(publish(lists)));
});

test('every day that begins or ends something is frozen as an instant, and no other', () => {
  const days = { fromDay: '2025-11-01', untilDay: '2026-04-01' };
  const roof = publish({
    points: [point('p1', { reductions: [{ ...days, wllKg: 500, reason: 'snow reserve' }], inspectionDueDay: '2026-12-31' }), point('p2')],
    standingLoads: [{ id: 's', label: 'S', permanent: true, points: [], memberLoads: [], fromDay: '2025-01-01', untilDay: null }],
  });
  expect(roof.dayStarts).toEqual({
    '2025-01-01': '2024-12-31T22:00:00.000Z',
    '2025-11-01': '2025-10-31T22:00:00.000Z',
    '2026-04-01': '2026-03-31T22:00:00.000Z',
    '2027-01-01': '2026-12-31T22:00:00.000Z', // the inspection due on the last day of 2026 lapses when the year ends
    '2027-07-01': '2027-06-30T22:00:00.000Z',
  });
  expect(spanOf(days, roof.dayStarts)).toEqual({ from: '2025-10-31T22:00:00.000Z', to: '2026-03-31T22:00:00.000Z' });
  expect(lapseOf('2026-12-31', roof.dayStarts)).toBe('2026-12-31T22:00:00.000Z');
  expect(() => lapseOf('2026-12-30', roof.dayStarts)).toThrow(RangeError);
});

test('the inner order of what was entered does not change the bytes, the order of corners does', () => {
  const area = [
    { xM: 0, yM: 0 },
    { xM: 1, yM: 0 },
    { xM: 0, yM: 1 },
  ];
  const keepOut = { id: 'k', label: 'K', reason: 'duct', fromZM: 0, toZM: 1, hard: true, fromDay: null, untilDay: null } as const;
  const bytes = (corners: typeof area) => publishedBytes(publish({ keepOuts: [{ ...keepOut, area: corners }] }));
  expect(bytes([...area].reverse())).not.toBe(bytes(area));
  const roof: PublishedRoof = publish({ points: [point('p1', { on: [{ memberId: 'm1', stationM: 4, share: 0.5 }, { memberId: 'm1', stationM: 2, share: 0.5 }] }), point('p2')] }); // prettier-ignore
  expect(roof.points[0]?.on.map(({ stationM }) => stationM)).toEqual([2, 4]);
});

test.each([
  ['2024-02-28', '2024-02-29'],
  ['2025-02-28', '2025-03-01'],
  ['2025-12-31', '2026-01-01'],
])('the day after %s is %s', (day, next) => {
  expect(nextDay(day)).toBe(next);
});

test('spans are half-open: one that ends when the next begins does not overlap it', () => {
  const [ten, twelve, two] = ['2025-01-01T10:00:00.000Z', '2025-01-01T12:00:00.000Z', '2025-01-01T14:00:00.000Z'];
  expect(spansOverlap({ from: ten, to: twelve }, { from: twelve, to: two })).toBe(false);
  expect(spansOverlap({ from: ten, to: twelve }, { from: null, to: two })).toBe(true);
  expect(spansOverlap({ from: null, to: twelve }, { from: twelve, to: null })).toBe(false);
  expect(spansOverlap({ from: null, to: null }, { from: twelve, to: two })).toBe(true);
});
