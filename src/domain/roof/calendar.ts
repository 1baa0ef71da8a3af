import type { CalendarDay, Days, Instant } from './structure.ts';

/** A half-open span of time, [from, to). Null = without beginning, without end. */
export type Span = { readonly from: Instant | null; readonly to: Instant | null };

/** A real day of the Gregorian calendar, 1900 to 9998 (so that the next day still has four digits and compares as text). */
export function isCalendarDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text) || text < '1900-01-01' || text > '9998-12-31') return false;
  return shiftedDay(text, 0) === text;
}

export const nextDay = (day: CalendarDay): CalendarDay => shiftedDay(day, 1);

/** Counted on the calendar alone: no zone and no clock comes in. */
function shiftedDay(day: CalendarDay, by: number): CalendarDay {
  const [year, month, date] = day.split('-').map(Number);
  if (year === undefined || month === undefined || date === undefined) throw new RangeError(`${day} is not a day`);
  return new Date(Date.UTC(year, month - 1, date + by)).toISOString().slice(0, 10);
}

/** Exactly as `Date.toISOString` writes a moment of the years 0 to 9999: then comparing texts compares instants. */
export function isInstant(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/.test(text)) return false;
  const ms = Date.parse(text);
  return Number.isFinite(ms) && new Date(ms).toISOString() === text;
}

/** Days as the instants frozen at publishing. A day that was not frozen is a bug: throws. */
export function spanOf({ fromDay, untilDay }: Days, dayStarts: Readonly<Record<CalendarDay, Instant>>): Span {
  return { from: fromDay === null ? null : startOf(fromDay, dayStarts), to: untilDay === null ? null : startOf(untilDay, dayStarts) };
}

/** An inspection is good through the whole of its day: it lapses when the next one begins. */
export const lapseOf = (dueDay: CalendarDay, dayStarts: Readonly<Record<CalendarDay, Instant>>): Instant =>
  startOf(nextDay(dueDay), dayStarts);

function startOf(day: CalendarDay, dayStarts: Readonly<Record<CalendarDay, Instant>>): Instant {
  const instant = dayStarts[day];
  if (instant === undefined) throw new RangeError(`the start of ${day} was not frozen at publishing`);
  return instant;
}

/** One that ends when the other begins does not overlap it. */
export function spansOverlap(a: Span, b: Span): boolean {
  return (a.from === null || b.to === null || a.from < b.to) && (b.from === null || a.to === null || b.from < a.to);
}
