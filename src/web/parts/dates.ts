const DAY = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' });
const SHORT_DAY = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short' });
const MOMENT = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });
const CLOCK = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' });

/** In the zone of the person who reads; documents print the venue's. */
export const dayText = (instant: string): string => DAY.format(new Date(instant));
export const shortDayText = (instant: string): string => SHORT_DAY.format(new Date(instant));
export const clockText = (instant: Date): string => CLOCK.format(instant);
export const momentText = (instant: string): string => MOMENT.format(new Date(instant));
export const stayText = (from: string, to: string): string => `${momentText(from)} – ${momentText(to)}`;

export const YEAR_MS = 365 * 86_400_000;
const two = (number: number): string => String(number).padStart(2, '0');
/** The calendar day of an instant where the person is, as a date field takes it. */
export function localDay(instant: string): string {
  const at = new Date(instant);
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}
/** The last second of a day where the person is; null where no day is given. */
export function endOfDay(day: string): Date | null {
  const end = new Date(`${day}T23:59:59`);
  return /^\d{4}-\d\d-\d\d$/.test(day) && !Number.isNaN(end.getTime()) ? end : null;
}
