import { expect, test } from 'vitest';
import { isTimeZone, startOfLocalDay } from '../../../src/routes/local-day.ts';

// Clock changes as the IANA time zone database records them; each instant worked out by hand from the offset in force.
test.each([
  ['2026-06-01', 'UTC', '2026-06-01T00:00:00.000Z'],
  // Amsterdam: +1, and +2 from 29 March 2026 at 01:00 UTC to 25 October at 01:00 UTC: the day itself still begins at the old offset.
  ['2026-03-29', 'Europe/Amsterdam', '2026-03-28T23:00:00.000Z'],
  ['2026-03-30', 'Europe/Amsterdam', '2026-03-29T22:00:00.000Z'],
  ['2026-10-25', 'Europe/Amsterdam', '2026-10-24T22:00:00.000Z'],
  ['2026-10-26', 'Europe/Amsterdam', '2026-10-25T23:00:00.000Z'],
  // São Paulo went from -3 to -2 at midnight: 4 November 2018 began at 01:00 local time.
  ['2018-11-04', 'America/Sao_Paulo', '2018-11-04T03:00:00.000Z'],
  // and back at midnight, so 23:00 to 24:00 of 17 February 2018 happened twice and the 18th began at -3.
  ['2018-02-18', 'America/Sao_Paulo', '2018-02-18T03:00:00.000Z'],
  ['2018-02-17', 'America/Sao_Paulo', '2018-02-17T02:00:00.000Z'],
  // Cairo: +2 to +3 at midnight of Friday 24 April 2026.
  ['2026-04-24', 'Africa/Cairo', '2026-04-23T22:00:00.000Z'],
  ['2026-04-25', 'Africa/Cairo', '2026-04-24T21:00:00.000Z'],
  // Offsets of half and three quarters of an hour.
  ['2026-06-01', 'Asia/Kolkata', '2026-05-31T18:30:00.000Z'],
  ['2026-06-01', 'Asia/Kathmandu', '2026-05-31T18:15:00.000Z'],
  ['2026-07-01', 'Australia/Lord_Howe', '2026-06-30T13:30:00.000Z'],
  ['2026-01-01', 'Australia/Lord_Howe', '2025-12-31T13:00:00.000Z'],
  // The farthest on either side.
  ['2026-06-01', 'Pacific/Kiritimati', '2026-05-31T10:00:00.000Z'],
  ['2026-06-01', 'Pacific/Pago_Pago', '2026-06-01T11:00:00.000Z'],
  // Apia crossed the date line at the end of 29 December 2011, from -10 to +14.
  ['2011-12-29', 'Pacific/Apia', '2011-12-29T10:00:00.000Z'],
  ['2011-12-31', 'Pacific/Apia', '2011-12-30T10:00:00.000Z'],
])('%s in %s begins at %s', (day, zone, instant) => {
  expect(startOfLocalDay(day, zone)).toBe(instant);
});

test('a day that a zone left out begins nowhere, and nor does a day in no zone', () => {
  expect(startOfLocalDay('2011-12-30', 'Pacific/Apia')).toBeNull();
  expect(startOfLocalDay('2026-06-01', 'Moon/Tranquility')).toBeNull();
  expect([isTimeZone('Europe/Amsterdam'), isTimeZone('Moon/Tranquility')]).toEqual([true, false]);
});
