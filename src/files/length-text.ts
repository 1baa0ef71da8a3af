import { readNumberText, type DecimalSign } from './number-text.ts';
import { marksOfFeetAndInches } from './units-of-measure.ts';

const FEET = `(?:'|ft\\.?|feet|foot)`;
const INCHES = `(?:"|in\\.?|inch(?:es)?)`;
const FRACTION = `(\\d{1,2})/(\\d{1,2})`;
/** Sign, feet, inches, fraction of an inch: 12' 3 1/2", 12'-3 1/2", 12 ft 3.5 in, 12'3, 3 1/2", 5/8". */
const FEET_AND_INCHES = new RegExp(
  `^([-−–])?\\s*(?:([\\d.,]+)\\s*${FEET})?\\s*-?\\s*(?:(?:([\\d.,]+)(?:[\\s-]+${FRACTION})?|${FRACTION})\\s*${INCHES}?)?$`,
  'i',
);
const HAS_MARK = new RegExp(`\\d\\s*(?:${FEET}|${INCHES})`, 'i');
const VULGAR: Readonly<Record<string, string>> = { '½': '1/2', '¼': '1/4', '¾': '3/4', '⅛': '1/8', '⅜': '3/8', '⅝': '5/8', '⅞': '7/8' };
const INCH_DENOMINATORS = [2, 4, 8, 16, 32, 64];

/**
 * Feet and inches as written on drawings, to inches. A number with a single unit and no fraction is left to the plain reader,
 * which also knows ambiguous ones.
 * @returns inches; null when the text is not of this form; 'malformed' when it is but says no length (inches of 12 and more, 1/3")
 */
export function readFeetAndInches(text: string, sign: DecimalSign | null): number | null | 'malformed' {
  const plain = marksOfFeetAndInches(text.trim().replace(/\s+/g, ' ')).replace(
    /\s*([½¼¾⅛⅜⅝⅞])/g,
    (_, each: string) => ` ${VULGAR[each] ?? ''}`,
  );
  if (!HAS_MARK.test(plain)) return null;
  const parts = FEET_AND_INCHES.exec(plain.trim());
  if (!parts) return null;
  const [, minus, feetText, inchText] = parts;
  const numerator = parts[4] ?? parts[6];
  const denominator = parts[5] ?? parts[7];
  if (numerator === undefined && (feetText === undefined || inchText === undefined)) return null;
  const feet = feetText === undefined ? 0 : wholeFeet(feetText);
  const inches = inchText === undefined ? 0 : inchesBelow(inchText, feetText === undefined ? Infinity : 12, sign);
  const part = numerator === undefined ? 0 : inchFraction(Number(numerator), Number(denominator));
  if (feet === null || inches === null || part === null) return 'malformed';
  if (part > 0 && !Number.isInteger(inches)) return 'malformed';
  const total = feet * 12 + inches + part;
  return minus === undefined || total === 0 ? total : -total;
}

const wholeFeet = (text: string): number | null => (/^\d+$/.test(text) ? Number(text) : null);

/** Beside feet only one reading of 3.125 is below a foot, so it is certain. */
function inchesBelow(text: string, limit: number, sign: DecimalSign | null): number | null {
  const found = readNumberText(text, sign);
  if (found.is === 'number') return found.value < limit ? found.value : null;
  if (found.is !== 'ambiguous') return null;
  const below = [found.pointIsDecimal, found.commaIsDecimal].filter((each) => each < limit);
  return below.length === 1 ? (below[0] ?? null) : null;
}

const inchFraction = (numerator: number, denominator: number): number | null =>
  INCH_DENOMINATORS.includes(denominator) && numerator > 0 && numerator < denominator ? numerator / denominator : null;
