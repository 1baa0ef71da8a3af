export type DateOrder = 'day-first' | 'month-first';
export type DateText =
  | { is: 'date'; isoDate: string }
  /** 03/04/2026: both readings are dates. */
  | { is: 'ambiguous'; dayFirst: string; monthFirst: string }
  | { is: 'not-date' }
  | { is: 'other-order' };

/** First letters by which the months of English, German, French, Spanish and Dutch differ, without accents. */
const MONTHS: readonly RegExp[] = [
  /^(?:jan|jän|ene)/,
  /^(?:feb|fev)/,
  /^(?:mar|mrz|maa|mrt)/,
  /^(?:apr|avr|abr)/,
  /^(?:may|mai|mei)/,
  /^(?:jun|juin)/,
  /^(?:jul|juil)/,
  /^(?:aug|aou|ago)/,
  /^(?:sep|set)/,
  /^(?:oct|okt)/,
  /^nov/,
  /^(?:dec|dez|dic)/,
];
const ISO = /^(\d{4})-(\d{2})-(\d{2})(?:[T ]\d{2}:\d{2}(?::\d{2})?)?$/;
const NUMERIC = /^(\d{1,2})([./-])(\d{1,2})\2(\d{4})$/;
const NAMED = /^(\d{1,2})\.?[\s-]+(?:de\s+)?(\p{L}{3,12})\.?[\s,-]+(?:de\s+)?(\d{4})$/u;
const NAMED_MONTH_FIRST = /^(\p{L}{3,12})\.?\s+(\d{1,2}),?\s+(\d{4})$/u;

/**
 * A calendar date, to ISO. The year needs four digits. Dots stand between day and month only in countries that put the day first;
 * with strokes or hyphens the order is asked about where both are possible.
 */
export function readDateText(text: string, order: DateOrder | null): DateText {
  const plain = text.trim().normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
  const iso = ISO.exec(text.trim());
  if (iso) return dated(iso[1], iso[2], iso[3]);
  const named = NAMED.exec(plain);
  if (named) return dated(named[3], monthNumber(named[2]), named[1]);
  const american = NAMED_MONTH_FIRST.exec(plain);
  if (american) return dated(american[3], monthNumber(american[1]), american[2]);
  const numeric = NUMERIC.exec(plain);
  if (!numeric) return { is: 'not-date' };
  const [, first, between, second, year] = numeric;
  const dayFirst = dated(year, second, first);
  if (between === '.') return dayFirst;
  const monthFirst = dated(year, first, second);
  if (order !== null) {
    const chosen = order === 'day-first' ? dayFirst : monthFirst;
    const other = order === 'day-first' ? monthFirst : dayFirst;
    return chosen.is === 'not-date' && other.is === 'date' ? { is: 'other-order' } : chosen;
  }
  if (dayFirst.is !== 'date') return monthFirst;
  if (monthFirst.is !== 'date' || monthFirst.isoDate === dayFirst.isoDate) return dayFirst;
  return { is: 'ambiguous', dayFirst: dayFirst.isoDate, monthFirst: monthFirst.isoDate };
}

function dated(year = '', month = '', day = ''): { is: 'date'; isoDate: string } | { is: 'not-date' } {
  const isoDate = isoDateOf(Number(year), Number(month), Number(day));
  return isoDate === null ? { is: 'not-date' } : { is: 'date', isoDate };
}

/** Proleptic Gregorian; null when there is no such day. Inspections lie within living memory: 1900 to 2199. */
export function isoDateOf(year: number, month: number, day: number): string | null {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1];
  if (days === undefined || !(day >= 1 && day <= days) || !(year >= 1900 && year <= 2199)) return null;
  return `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
}

const monthNumber = (name = ''): string => String(MONTHS.findIndex((month) => month.test(name)) + 1);
