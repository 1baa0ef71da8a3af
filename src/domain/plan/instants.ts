const RFC_3339 = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2}):(\d{2})(\.\d{1,3})?(Z|[+-]\d{2}:\d{2})$/;

/**
 * An instant as the assessment compares it: UTC with milliseconds, so that text order is time order.
 * @returns null for what is not an RFC 3339 instant with an offset, or names a day or time that does not exist (30 February, 24:00, a leap second)
 */
export function asInstant(text: string): string | null {
  const parts = RFC_3339.exec(text);
  if (parts === null) return null;
  const [, year, month, day, hour, minute, second] = parts.map(Number);
  if (year === undefined || month === undefined || day === undefined) return null;
  if ((hour ?? 99) > 23 || (minute ?? 99) > 59 || (second ?? 99) > 59) return null;
  // The engine rolls 30 February over into March: a day that exists stays in its month.
  const midnight = new Date(Date.UTC(year, month - 1, day));
  if (midnight.getUTCMonth() !== month - 1) return null;
  const offset = parts[8] ?? '';
  if (offset !== 'Z' && (Number(offset.slice(1, 3)) > 23 || Number(offset.slice(4, 6)) > 59)) return null;
  const instant = new Date(text);
  if (Number.isNaN(instant.getTime())) return null;
  const written = instant.toISOString();
  return written.length === 24 ? written : null; // years beyond 9999 are written with a sign and would sort wrongly
}
