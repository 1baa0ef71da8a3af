import { KG_PER_LB, kgToKn, knToKg, M_PER_FT } from '../../domain/foundation/units.ts';

export type MassUnit = 'kg' | 'lb' | 'kN';
export type LengthUnit = 'm' | 'ft';
export type Units = { readonly mass: MassUnit; readonly length: LengthUnit };
export const MASS_UNITS: readonly MassUnit[] = ['kg', 'lb', 'kN'];
export const LENGTH_UNITS: readonly LengthUnit[] = ['m', 'ft'];

/** Which way a shown number may err: a load never looks smaller than it is, a capacity never larger. */
export type Side = 'load' | 'capacity' | 'nearest';

const NOISE = 1e-9; // relative: what a conversion and back may move a double, far below any step that is shown
const MASS_STEP: Record<MassUnit, number> = { kg: 1, lb: 1, kN: 0.01 };
const FORCE_STEP_KN = 0.01;
const EIGHTHS = 8;
const INCHES_PER_FT = 12;

const steps = (value: number, step: number, side: Side): number => {
  const exact = value / step;
  const slack = Math.abs(exact) * NOISE;
  if (side === 'load') return Math.ceil(exact - slack);
  if (side === 'capacity') return Math.floor(exact + slack);
  return Math.round(exact);
};
const decimals = (step: number): number => Math.max(0, Math.round(-Math.log10(step)));
const formats = new Map<number, Intl.NumberFormat>(); // making one takes longer than using it a hundred times
function numberText(value: number, places: number): string {
  const format = formats.get(places) ?? new Intl.NumberFormat('en-GB', { minimumFractionDigits: places, maximumFractionDigits: places });
  formats.set(places, format);
  return format.format(value === 0 ? 0 : value);
}
const stepped = (value: number, step: number, side: Side): string => numberText(steps(value, step, side) * step, decimals(step));

const fromKg: Record<MassUnit, (massKg: number) => number> = { kg: (kg) => kg, lb: (kg) => kg / KG_PER_LB, kN: kgToKn };
const toKg: Record<MassUnit, (value: number) => number> = { kg: (kg) => kg, lb: (lb) => lb * KG_PER_LB, kN: knToKg };

/** A mass without its unit, for a column whose heading says it. In kN: the weight that it has at standard gravity. */
export const massNumber = (massKg: number, { mass }: Units, side: Side): string => stepped(fromKg[mass](massKg), MASS_STEP[mass], side);
export const massText = (massKg: number, units: Units, side: Side): string => `${massNumber(massKg, units, side)} ${units.mass}`;

/** A force: in kN, or as the mass whose weight it is. */
export const forceText = (forceKn: number, units: Units, side: Side): string =>
  units.mass === 'kN' ? `${stepped(forceKn, FORCE_STEP_KN, side)} kN` : massText(knToKg(forceKn), units, side);

/** A share of a capacity, rounded up. What is under 100 % never reads 100 %, and what is over never reads less than 101 %. */
export function utilisationText(share: number): string {
  const percent = share * 100;
  for (const step of [1, 0.1, 0.01, 0.001]) {
    const shown = steps(percent, step, 'load') * step;
    if (percent >= 100 || shown < 100 - step / 2) return `${numberText(shown, decimals(step))} %`;
  }
  return 'just under 100 %';
}

export function lengthText(lengthM: number, { length }: Units, side: Side = 'nearest'): string {
  if (length === 'm') return `${stepped(lengthM, 0.01, side)} m`;
  const eighths = steps((Math.abs(lengthM) / M_PER_FT) * INCHES_PER_FT, 1 / EIGHTHS, side);
  const feet = Math.floor(eighths / (EIGHTHS * INCHES_PER_FT));
  const rest = eighths - feet * EIGHTHS * INCHES_PER_FT;
  return `${lengthM < 0 && eighths > 0 ? '−' : ''}${feet}′ ${Math.floor(rest / EIGHTHS)}${fractionText(rest % EIGHTHS)}″`;
}

function fractionText(eighths: number): string {
  if (eighths === 0) return '';
  const divisor = eighths % 4 === 0 ? 4 : eighths % 2 === 0 ? 2 : 1;
  return ` ${eighths / divisor}/${EIGHTHS / divisor}`;
}

/** A quantity of a check in the unit that it was reckoned in. */
export function amountText(amount: number, unit: 'kg' | 'kN' | 'kNm' | 'deg' | 'm' | 'count' | null, units: Units, side: Side): string {
  switch (unit) {
    case 'kg':
      return massText(amount, units, side);
    case 'kN':
      return forceText(amount, units, side);
    case 'kNm':
      return `${stepped(amount, 0.1, side)} kNm`;
    case 'deg':
      return `${stepped(amount, 0.1, side)}°`;
    case 'm':
      return lengthText(amount, units, side);
    case 'count':
    case null:
      return numberText(amount, Number.isInteger(amount) ? 0 : 2);
  }
}

export type Entered = { ok: true; value: number } | { ok: false; fault: 'empty' | 'not-a-number' | 'ambiguous' | 'unit' };

const MASS_WORDS: Record<string, (value: number) => number> = {
  kg: toKg.kg,
  t: (tonnes) => tonnes * 1000,
  lb: toKg.lb,
  lbs: toKg.lb,
  kn: toKg.kN,
};

/** `1.234` may be one and a bit or a thousand: asked for, never guessed. */
function readNumber(text: string): Entered {
  const bare = text.replace(/[\s  ]/g, '').replace('−', '-');
  if (bare === '') return { ok: false, fault: 'empty' };
  if (/^-?[1-9]\d{0,2},\d{3}$/.test(bare)) return { ok: false, fault: 'ambiguous' };
  const value = /^-?\d+([.,]\d+)?$/.test(bare) ? Number(bare.replace(',', '.')) : NaN;
  return Number.isFinite(value) ? { ok: true, value } : { ok: false, fault: 'not-a-number' };
}

function numberAndUnit(text: string): [digits: string, word: string] {
  const found = /^([^a-z]+)([a-z]*)$/i.exec(text.trim());
  return found ? [found[1] ?? '', found[2] ?? ''] : [text, ''];
}

/** `450`, `450 kg`, `1,2 t`, `992 lb`, `4.4 kN`; without a unit in the one that is switched to. */
export function readMass(text: string, { mass }: Units): Entered {
  const [digits, word] = numberAndUnit(text);
  const number = readNumber(digits);
  if (!number.ok) return number;
  const convert = word === '' ? toKg[mass] : MASS_WORDS[word.toLowerCase()];
  return convert ? { ok: true, value: convert(number.value) } : { ok: false, fault: 'unit' };
}

/** `12.5`, `12.5 m`, `1250 mm`, `41 ft`, `12' 3 1/2"`. */
export function readLength(text: string, { length }: Units): Entered {
  const bare = text.trim().replace(/[′’]/g, "'").replace(/[″”]/g, '"');
  const imperial = /^(-?)(?:(\d+(?:\.\d+)?)\s*(?:'|ft))?\s*(?:(\d+(?:\.\d+)?)?(?:\s*(\d+)\/(\d+))?\s*(?:"|in))?$/i.exec(bare);
  if (imperial && /['"]|ft|in/i.test(bare)) {
    const [, sign, feet = '0', inches = '0', top = '0', bottom = '1'] = imperial;
    if (Number(bottom) === 0) return { ok: false, fault: 'not-a-number' };
    const value = (Number(feet) + (Number(inches) + Number(top) / Number(bottom)) / INCHES_PER_FT) * M_PER_FT;
    return { ok: true, value: sign === '-' ? -value : value };
  }
  const [digits, word] = numberAndUnit(bare);
  const number = readNumber(digits);
  if (!number.ok) return number;
  const factor = word === '' ? (length === 'm' ? 1 : M_PER_FT) : { m: 1, mm: 0.001, cm: 0.01 }[word.toLowerCase()];
  return factor === undefined ? { ok: false, fault: 'unit' } : { ok: true, value: number.value * factor };
}

/** What a field is filled with: short, and read back as the very same number to well below a display step. */
export const massField = (massKg: number, { mass }: Units): string => String(Number(fromKg[mass](massKg).toPrecision(12)));
export const lengthField = (lengthM: number, { length }: Units): string =>
  String(Number((length === 'm' ? lengthM : lengthM / M_PER_FT).toPrecision(12)));
