/** Made when it is first wanted: that takes milliseconds, which a first screen may not need. */
function formatter(parts: Intl.DateTimeFormatOptions): (instant: Date) => string {
  let format: Intl.DateTimeFormat | null = null;
  return (instant) => (format ??= new Intl.DateTimeFormat('en-GB', parts)).format(instant);
}
const day = formatter({ weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' });
const shortDay = formatter({ day: 'numeric', month: 'short' });
const moment = formatter({ day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });

/** In the zone of the person who reads; documents print the venue's. */
export const dayText = (instant: string): string => day(new Date(instant));
export const shortDayText = (instant: string): string => shortDay(new Date(instant));
export const clockText = formatter({ hour: '2-digit', minute: '2-digit' });
export const momentText = (instant: string): string => moment(new Date(instant));
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
