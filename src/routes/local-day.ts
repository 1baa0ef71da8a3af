/** The first instant of a calendar day in an IANA zone, or null where the zone is unknown. Clock changes at midnight are looked through. */
export function startOfLocalDay(day: string, zone: string): string | null {
  const format = formatterOf(zone);
  if (format === null) return null;
  const midnight = Date.parse(`${day}T00:00:00.000Z`);
  // Offsets lie within 15 hours: the first quarter of an hour in that span whose local date is the day begins it. Zones move by quarters at the least.
  for (let at = midnight - 15 * HOUR_MS; at <= midnight + 15 * HOUR_MS; at += QUARTER_MS) {
    if (format.format(at) === day) return new Date(at).toISOString();
  }
  return null; // a day that the zone skipped, crossing the date line
}
const HOUR_MS = 3_600_000;
const QUARTER_MS = HOUR_MS / 4;

const formatters = new Map<string, Intl.DateTimeFormat | null>();
function formatterOf(zone: string): Intl.DateTimeFormat | null {
  const known = formatters.get(zone);
  if (known !== undefined) return known;
  let made: Intl.DateTimeFormat | null = null;
  try {
    made = new Intl.DateTimeFormat('en-CA', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit' }); // en-CA writes YYYY-MM-DD
  } catch {
    made = null;
  }
  if (formatters.size < 1000) formatters.set(zone, made);
  return made;
}

export const isTimeZone = (zone: string): boolean => formatterOf(zone) !== null;
