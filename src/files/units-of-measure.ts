import { KG_PER_LB, kgToKn, knToKg, M_PER_FT } from '../domain/foundation/units.ts';

/** What a column measures. `load` ends in kg and `force` in kN; both are written in either mass or force by venues. */
export type Quantity =
  | 'length'
  | 'load'
  | 'force'
  | 'angle'
  | 'line-load'
  | 'stress'
  | 'second-moment'
  | 'moment'
  | 'bending-stiffness'
  | 'stiffness'
  | 'speed'
  | 'number';

type MassOrForce = 'kg' | 't' | 'lb' | 'kip' | 'short-ton' | 'long-ton' | 'kN' | 'N' | 'daN';
export type Unit =
  | MassOrForce
  | 'm'
  | 'mm'
  | 'cm'
  | 'ft'
  | 'in'
  | 'deg'
  | 'kg/m'
  | 't/m'
  | 'lb/ft'
  | 'kN/m'
  | 'N/m'
  | 'daN/m'
  | 'GPa'
  | 'MPa'
  | 'kN/cm2'
  | 'ksi'
  | 'm4'
  | 'cm4'
  | 'mm4'
  | 'in4'
  | 'kNm'
  | 'Nm'
  | 'kgm'
  | 'lb ft'
  | 'kNm2'
  | 'Nm2'
  | 'm/min'
  | 'm/s'
  | 'ft/min'
  | 'x1';

const LB_PER_SHORT_TON = 2000;
const LB_PER_LONG_TON = 2240;
const LB_PER_KIP = 1000;
const M_PER_IN = M_PER_FT / 12;
/** 1 ksi = 1000 lbf/in². */
const PA_PER_KSI = (kgToKn(LB_PER_KIP * KG_PER_LB) * 1000) / (M_PER_IN * M_PER_IN);

/** Mass [kg], or null where the unit is a force: a force becomes a mass, or the reverse, once only and where it must. */
function massKg(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'kg':
      return value;
    case 't':
      return value * 1000;
    case 'lb':
      return value * KG_PER_LB;
    case 'kip':
      return value * (LB_PER_KIP * KG_PER_LB);
    case 'short-ton':
      return value * (LB_PER_SHORT_TON * KG_PER_LB);
    case 'long-ton':
      return value * (LB_PER_LONG_TON * KG_PER_LB);
    default:
      return null;
  }
}

function forceKn(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'kN':
      return value;
    case 'N':
      return value / 1000;
    case 'daN':
      return value / 100;
    default:
      return null;
  }
}

function load(value: number, unit: Unit): number | null {
  const kg = massKg(value, unit);
  if (kg !== null) return kg;
  const kn = forceKn(value, unit);
  return kn === null ? null : knToKg(kn);
}

function force(value: number, unit: Unit): number | null {
  const kg = massKg(value, unit);
  return kg === null ? forceKn(value, unit) : kgToKn(kg);
}

// Division, not a factor of 0.001: 1234 / 1000 is the double nearest to 1.234 and 1234 * 0.001 need not be.
function length(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'm':
      return value;
    case 'cm':
      return value / 100;
    case 'mm':
      return value / 1000;
    case 'ft':
      return value * M_PER_FT;
    case 'in':
      return (value * 254) / 10_000;
    default:
      return null;
  }
}

function lineLoad(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'kg/m':
      return value;
    case 't/m':
      return value * 1000;
    case 'lb/ft':
      return (value * KG_PER_LB) / M_PER_FT;
    case 'kN/m':
      return knToKg(value);
    case 'N/m':
      return knToKg(value / 1000);
    case 'daN/m':
      return knToKg(value / 100);
    default:
      return null;
  }
}

function stress(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'GPa':
      return value * 1e9;
    case 'MPa':
      return value * 1e6;
    case 'kN/cm2':
      return value * 1e7;
    case 'ksi':
      return value * PA_PER_KSI;
    default:
      return null;
  }
}

function secondMoment(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'm4':
      return value;
    case 'cm4':
      return value / 1e8;
    case 'mm4':
      return value / 1e12;
    case 'in4':
      return value * (M_PER_IN * M_PER_IN * M_PER_IN * M_PER_IN);
    default:
      return null;
  }
}

/** A moment in mass units is that of the mass's weight. */
function moment(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'kNm':
      return value;
    case 'Nm':
      return value / 1000;
    case 'kgm':
      return kgToKn(value);
    case 'lb ft':
      return kgToKn(value * KG_PER_LB) * M_PER_FT;
    default:
      return null;
  }
}

function bendingStiffness(value: number, unit: Unit): number | null {
  if (unit === 'kNm2') return value;
  return unit === 'Nm2' ? value / 1000 : null;
}

function speed(value: number, unit: Unit): number | null {
  switch (unit) {
    case 'm/min':
      return value;
    case 'm/s':
      return value * 60;
    case 'ft/min':
      return value * M_PER_FT;
    default:
      return null;
  }
}

/**
 * Full precision, no rounding. Pounds-force and kilogram-force are the weight of that mass under standard gravity.
 * @returns kg for `load`, kN for `force`, m, degrees, kg/m, Pa, m⁴, kNm, kNm², kN/m, m/min or the bare number; null when the unit does not measure that quantity
 * @source NIST SP 811 (2008) Appendix B.8 and the international yard and pound agreement of 1959
 */
export function toSi(quantity: Quantity, value: number, unit: Unit): number | null {
  switch (quantity) {
    case 'length':
      return length(value, unit);
    case 'load':
      return load(value, unit);
    case 'force':
      return force(value, unit);
    case 'angle':
      return unit === 'deg' ? value : null;
    case 'line-load':
      return lineLoad(value, unit);
    case 'stress':
      return stress(value, unit);
    case 'second-moment':
      return secondMoment(value, unit);
    case 'moment':
      return moment(value, unit);
    case 'bending-stiffness':
      return bendingStiffness(value, unit);
    case 'stiffness':
      return unit === 'kN/m' ? value : null;
    case 'speed':
      return speed(value, unit);
    case 'number':
      return unit === 'x1' ? value : null;
  }
}

const MASS_OR_FORCE: readonly Unit[] = ['kg', 't', 'lb', 'kN', 'daN', 'N', 'kip', 'short-ton', 'long-ton'];

/** Offered when a unit is asked about, likely ones first. */
export const UNITS_OF: Readonly<Record<Quantity, readonly Unit[]>> = {
  length: ['m', 'mm', 'cm', 'ft', 'in'],
  load: MASS_OR_FORCE,
  force: ['kN', 'daN', 'N', 'kg', 'lb', 't', 'kip', 'short-ton', 'long-ton'],
  angle: ['deg'],
  'line-load': ['kg/m', 'kN/m', 'lb/ft', 'N/m', 'daN/m', 't/m'],
  stress: ['GPa', 'MPa', 'kN/cm2', 'ksi'],
  'second-moment': ['cm4', 'mm4', 'm4', 'in4'],
  moment: ['kNm', 'Nm', 'kgm', 'lb ft'],
  'bending-stiffness': ['kNm2', 'Nm2'],
  stiffness: ['kN/m'],
  speed: ['m/min', 'm/s', 'ft/min'],
  number: ['x1'],
};
export const SI_UNIT_OF: Readonly<Record<Quantity, string>> = {
  length: 'm',
  load: 'kg',
  force: 'kN',
  angle: '°',
  'line-load': 'kg/m',
  stress: 'Pa',
  'second-moment': 'm⁴',
  moment: 'kNm',
  'bending-stiffness': 'kNm²',
  stiffness: 'kN/m',
  speed: 'm/min',
  number: '',
};

/** "ton" alone is 1000 kg in the Netherlands, 2000 lb in the US and 2240 lb in the UK: 9 and 12 percent apart, so it is asked. */
export type UnitWord = Unit | 'ton';
export const TONS: readonly Unit[] = ['t', 'short-ton', 'long-ton'];

const WORDS: readonly (readonly [UnitWord, string])[] = [
  ['kg', 'kg | kgs | kilo | kilos | kilogram | kilograms | kilogramm | kilogramme | kilogrammes | kilogramo | kilogramos | kgf | kp'],
  ['t', 'tonne | tonnes | tonnen | tonelada | toneladas | metric ton | metric tons | metric tonne | metric tonnes'],
  ['lb', 'lb | lbs | lbf | pound | pounds | #'],
  ['kip', 'kip | kips'],
  ['short-ton', 'short ton | short tons | us ton | us tons | sh ton | sh tons'],
  ['long-ton', 'long ton | long tons | uk ton | uk tons | imperial ton | imperial tons'],
  ['ton', 'ton | tons | tn | tns'],
  ['kN', 'kn | kilonewton | kilonewtons'],
  ['N', 'n | newton | newtons'],
  ['daN', 'dan | dekanewton | decanewton | decanewtons'],
  ['m', 'm | meter | meters | metre | metres | metro | metros | mtr'],
  ['mm', 'mm | millimeter | millimeters | millimetre | millimetres | milimetro | milimetros'],
  ['cm', 'cm | centimeter | centimeters | centimetre | centimetres | zentimeter | centimetro | centimetros'],
  ['ft', "ft | feet | foot | ' | fuss | pied | pieds | pie | pies | voet"],
  ['in', 'in | inch | inches | " | zoll | pouce | pouces | pulgada | pulgadas | duim'],
  ['deg', '° | deg | degree | degrees | graden'],
  ['kg/m', 'kg/m | kg / m | kgf/m | kg/lfm | kg per m | kg per metre | kg per meter'],
  ['t/m', 't/m'],
  ['lb/ft', 'lb/ft | lbs/ft | lbf/ft | plf | lb per ft | lbs per ft'],
  ['kN/m', 'kn/m | kn / m'],
  ['N/m', 'n/m'],
  ['daN/m', 'dan/m'],
  ['GPa', 'gpa | kn/mm2 | kn/mm²'],
  ['MPa', 'mpa | n/mm2 | n/mm²'],
  ['kN/cm2', 'kn/cm2 | kn/cm²'],
  ['ksi', 'ksi'],
  ['m4', 'm4 | m⁴ | m^4'],
  ['cm4', 'cm4 | cm⁴ | cm^4'],
  ['mm4', 'mm4 | mm⁴ | mm^4'],
  ['in4', 'in4 | in⁴ | in^4'],
  ['kNm', 'knm | kn m | kn·m | kn*m'],
  ['Nm', 'nm | n m | n·m | n*m'],
  ['kgm', 'kgm | kg m | kg·m | kgfm | kgf m'],
  ['lb ft', 'lb ft | lbf ft | lb·ft | lbf·ft | ft lb | ft lbf | ft-lb | lb-ft'],
  ['kNm2', 'knm2 | knm² | kn m2 | kn m² | kn·m²'],
  ['Nm2', 'nm2 | nm² | n m2 | n m² | n·m²'],
  ['m/min', 'm/min | m / min | m per min | metres per minute | meters per minute'],
  ['m/s', 'm/s | m / s'],
  ['ft/min', 'ft/min | fpm | feet per minute'],
];

const UNIT_OF_WORD: ReadonlyMap<string, UnitWord> = new Map(
  WORDS.flatMap(([unit, words]) => words.split(' | ').map((word): [string, UnitWord] => [word, unit])),
);

/** The unit that a word means, wherever it stands. The capital T is as often a US ton as a tonne; the small t is the SI symbol. */
export function unitOfWord(text: string): UnitWord | null {
  const word = text.trim().replace(/\.$/, '').replace(/\s+/g, ' ');
  if (word === 't') return 't';
  if (word === 'T') return 'ton';
  return UNIT_OF_WORD.get(marksOfFeetAndInches(word).toLowerCase()) ?? null;
}

/** Primes and typographic quotes to the plain marks of feet and inches. */
export const marksOfFeetAndInches = (text: string): string => text.replace(/''|[″“”]/g, '"').replace(/[′’‘´`]/g, "'");
