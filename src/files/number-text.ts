export type DecimalSign = '.' | ',';
export const DECIMAL_SIGNS: readonly DecimalSign[] = ['.', ','];
export type NumberText =
  | { is: 'number'; value: number }
  /** One separator with exactly three digits behind it: 1.234 is either about one or about a thousand. */
  | { is: 'ambiguous'; pointIsDecimal: number; commaIsDecimal: number }
  | { is: 'not-number' }
  /** Written as a number, but not with the decimal sign that the reader was told. */
  | { is: 'other-sign' };

const MINUS = /^[-−–]\s*/;
const SPACES = '[ \\u00a0\\u2007\\u2009\\u202f]';
const APOSTROPHES = "['’]";
const grouped = (separator: string, decimal: string): RegExp =>
  new RegExp(`^([1-9]\\d{0,2})(${separator}|${SPACES}|${APOSTROPHES})(\\d{3}(?:\\2\\d{3})*)(?:${decimal}(\\d+))?$`);
const GROUPED: Readonly<Record<DecimalSign, RegExp>> = { '.': grouped(',', '\\.'), ',': grouped('\\.', ',') };
const PLAIN = /^(?:\d+|\d*[.,]\d+)$/;

/**
 * Decimal text, written with either sign and any of the usual group separators, to a number. Never a guess: where two readings
 * are right, both are returned. Exponents are refused, because a spreadsheet that writes them has already dropped digits.
 * @param sign  the decimal sign where it is known, else null
 */
export function readNumberText(text: string, sign: DecimalSign | null): NumberText {
  const trimmed = text.trim();
  const minus = MINUS.test(trimmed);
  const body = trimmed.replace(minus ? MINUS : /^\+\s*/, '');
  const found = sign === null ? readEitherWay(body) : readWith(body, sign);
  if (!minus) return found;
  if (found.is === 'number') return { is: 'number', value: negative(found.value) };
  if (found.is !== 'ambiguous') return found;
  return { is: 'ambiguous', pointIsDecimal: negative(found.pointIsDecimal), commaIsDecimal: negative(found.commaIsDecimal) };
}

function readEitherWay(body: string): NumberText {
  const point = valueWith(body, '.');
  const comma = valueWith(body, ',');
  if (point === null && comma === null) return { is: 'not-number' };
  if (point === null || comma === null || point === comma) return { is: 'number', value: point ?? comma ?? 0 };
  return { is: 'ambiguous', pointIsDecimal: point, commaIsDecimal: comma };
}

function readWith(body: string, sign: DecimalSign): NumberText {
  const value = valueWith(body, sign);
  if (value !== null) return { is: 'number', value };
  return valueWith(body, sign === '.' ? ',' : '.') === null ? { is: 'not-number' } : { is: 'other-sign' };
}

/** The value under one decimal sign, or null. Groups are of three, all parted alike, and never start with a zero. */
function valueWith(body: string, sign: DecimalSign): number | null {
  const plain = PLAIN.test(body) && !body.includes(sign === '.' ? ',' : '.');
  if (plain) return finite(body.replace(',', '.'));
  const parts = GROUPED[sign].exec(body);
  if (!parts) return null;
  const [, first = '', , rest = '', fraction = ''] = parts;
  return finite(`${first}${rest.replace(/\D/g, '')}.${fraction}0`);
}

function finite(text: string): number | null {
  const value = Number(text);
  return Number.isFinite(value) ? value : null;
}

const negative = (value: number): number => (value === 0 ? 0 : -value);
