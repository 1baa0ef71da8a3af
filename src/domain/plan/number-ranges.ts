import type { PlanFault } from './plan-fault.ts';

/** Bounds of what a venue can receive: outside them a number is a slip of the keyboard or of a unit, and is refused by name. */
type Range = { readonly from: number; readonly to: number; readonly whole?: true };

const MASS: Range = { from: 0, to: 1_000_000 };
const MASS_PER_M: Range = { from: 0, to: 100_000 };
const LENGTH: Range = { from: 0, to: 1_000 };
const PLACE: Range = { from: -10_000, to: 10_000 };
const ANGLE: Range = { from: -360, to: 360 };
const STRENGTH: Range = { from: 0, to: 1_000_000 };
const FACTOR: Range = { from: 1, to: 10 };

const RANGES: Readonly<Record<string, Range>> = {
  massKg: MASS,
  bodyKg: MASS,
  bagKg: MASS,
  wllKg: MASS,
  kgPerM: MASS_PER_M,
  evenKgPerM: MASS_PER_M,
  eachKg: MASS,
  chainKgPerM: MASS_PER_M,
  selfKgPerM: MASS_PER_M,
  count: { from: 0, to: 10_000, whole: true },
  falls: { from: 1, to: 8, whole: true },
  lengthM: LENGTH,
  chainLengthM: LENGTH,
  liftM: LENGTH,
  shortestHookToHookM: LENGTH,
  nodeSpacingM: LENGTH,
  depthM: LENGTH,
  widthM: LENGTH,
  spanM: LENGTH,
  alongM: LENGTH,
  acrossM: LENGTH,
  atM: PLACE,
  besideM: PLACE,
  aboveM: PLACE,
  pickUpsAboveM: PLACE,
  fromM: PLACE,
  toM: PLACE,
  xM: PLACE,
  yM: PLACE,
  zM: PLACE,
  uM: PLACE,
  vM: PLACE,
  bottomZM: PLACE,
  topZM: PLACE,
  heightM: PLACE,
  levelMm: { from: -10_000, to: 10_000 },
  leastBendRatio: { from: 0, to: 1_000 },
  bendRatio: { from: 0, to: 10_000 },
  sideAngleDeg: { from: 0, to: 90 },
  basketDeg: { from: 0, to: 180 },
  flangeFromM: LENGTH,
  flangeToM: LENGTH,
  flangeM: LENGTH,
  catchesKg: MASS,
  catchFallM: LENGTH,
  catchPeakKn: STRENGTH,
  slackMm: { from: 0, to: 100_000 },
  levelWithinMm: { from: 0, to: 10_000 },
  azimuthDeg: ANGLE,
  framePitchDeg: ANGLE,
  splayDeg: ANGLE,
  allowedSplaysDeg: ANGLE,
  speedMPerMin: { from: 0, to: 1_000 },
  comesDownAtMPerS: { from: 0, to: 200 },
  dynamicFactor: FACTOR,
  limiterFactor: FACTOR,
  breakingKn: STRENGTH,
  inServiceKn: STRENGTH,
  outOfServiceKn: STRENGTH,
  pretensionKn: STRENGTH,
  holdsKn: STRENGTH,
  chainStiffnessKnPerM: { from: 0, to: 1e9 },
  eiKnm2: { from: 0, to: 1e12 },
  eiSidewaysKnm2: { from: 0, to: 1e12 },
  gaKn: { from: 0, to: 1e12 },
  gjKnm2: { from: 0, to: 1e12 },
  saggingKnm: STRENGTH,
  hoggingKnm: STRENGTH,
  shearKn: STRENGTH,
  liftOrder: { from: 0, to: 1_000_000, whole: true },
  side: { from: 0, to: 10_000, whole: true },
  on: { from: 0, to: 10_000, whole: true },
  stackSizes: { from: 1, to: 200, whole: true },
};
/** Numbers without a rule of their own: finite and of a size that can be multiplied safely. */
const ANY: Range = { from: -1e9, to: 1e9 };

/** Every number of the document against the range of its name, at any depth. */
export function numberFaults(value: unknown, pointer: string, name = ''): PlanFault[] {
  if (typeof value === 'number') return numberFault(value, pointer, RANGES[name] ?? ANY);
  if (Array.isArray(value)) return value.flatMap((item: unknown, index) => numberFaults(item, `${pointer}/${index}`, name));
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, member]) => numberFaults(member, `${pointer}/${escaped(key)}`, key));
}

function numberFault(value: number, pointer: string, { from, to, whole }: Range): PlanFault[] {
  if (!Number.isFinite(value)) return [{ pointer, code: 'not-finite', message: 'is not a finite number' }];
  if (value < from || value > to) return [{ pointer, code: 'out-of-range', message: `must lie between ${from} and ${to}` }];
  if (whole === true && !Number.isInteger(value)) return [{ pointer, code: 'not-whole', message: 'must be a whole number' }];
  return [];
}

/** A member name as a step of a JSON pointer (RFC 6901). */
export const escaped = (name: string): string => name.replaceAll('~', '~0').replaceAll('/', '~1');
