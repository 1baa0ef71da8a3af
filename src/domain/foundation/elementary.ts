/**
 * Trigonometry that gives the same bits in every JavaScript engine. The engines' own functions differ in the last digit, which would
 * make one assessment hash differently in a server and in a browser. This is a port of fdlibm 5.3, by its algorithm and constants:
 * errors stay below one unit in the last place. Plus, minus, times, divide and square root are exact to the bit everywhere (IEEE 754).
 *
 * Angles are in radians. An argument outside a function's domain is a bug of the caller and throws.
 *
 * Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunSoft. Permission to use, copy, modify, and
 * distribute this software is freely granted, provided that this notice is preserved.
 */
export const PI = 3.141592653589793;

/** Dividing first keeps 180, 90 and 45 degrees exact. */
export const degToRad = (angleDeg: number): number => (angleDeg / 180) * PI;
export const radToDeg = (angleRad: number): number => (angleRad / PI) * 180;

const HALF_PI_HI = 1.570796326794896558;
const HALF_PI_LO = 6.12323399573676603587e-17;
const QUARTER_PI_HI = 7.85398163397448278999e-1;
const QUARTER_PI_LO = 3.06161699786838301793e-17;
const PI_LO = 1.2246467991473531772e-16;

// One view for all calls: reading and clearing halves of a double is the only thing done with it, never across a call.
const float = new Float64Array(1);
const words = new Uint32Array(float.buffer);
float[0] = 1;
const HIGH = words[1] === 0 ? 0 : 1; // byte order of the machine
const LOW = 1 - HIGH;

/** The exponent of a double, biased by 1023. */
function biasedExponent(x: number): number {
  float[0] = x;
  return ((words[HIGH] ?? 0) >>> 20) & 0x7ff;
}

/** `x` with the lower 32 bits of its mantissa cleared, so that its square is exact enough to correct a rounding error with. */
function withoutLowWord(x: number): number {
  float[0] = x;
  words[LOW] = 0;
  return float[0];
}

// --- Reduction to [-pi/4, pi/4] -----------------------------------------------------------------

const TWO_OVER_PI = 6.36619772367581382433e-1;
// pi/2 in three parts of 33 bits, each with the tail that is left after it.
const HALF_PI_1 = 1.57079632673412561417;
const HALF_PI_1_TAIL = 6.07710050650619224932e-11;
const HALF_PI_2 = 6.0771005063039659766e-11;
const HALF_PI_2_TAIL = 2.02226624879595063154e-21;
const HALF_PI_3 = 2.0222662487111664558e-21;
const HALF_PI_3_TAIL = 8.47842766036889956997e-32;
/** 2^20·pi/2: up to here three parts of pi/2 are enough. No angle of ours comes near it. */
const LARGEST_ANGLE_RAD = 1647099.3291865;

let reducedHi = 0;
let reducedLo = 0;
/** Leaves x - n·pi/2 in `reducedHi + reducedLo` and returns n modulo 4. Module variables, because a tuple per call would cost more. */
function reduce(x: number): number {
  const size = Math.abs(x);
  if (!(size <= LARGEST_ANGLE_RAD)) throw new RangeError(`an angle of ${x} rad is outside ±2^20·pi/2`);
  if (size <= QUARTER_PI_HI) {
    reducedHi = x;
    reducedLo = 0;
    return 0;
  }
  const n = Math.floor(size * TWO_OVER_PI + 0.5);
  let r = size - n * HALF_PI_1;
  let w = n * HALF_PI_1_TAIL;
  let hi = r - w;
  const exponent = biasedExponent(size);
  if (exponent - biasedExponent(hi) > 16) {
    // Many digits were lost: take the second part of pi/2, then the third.
    let before = r;
    w = n * HALF_PI_2;
    r = before - w;
    w = n * HALF_PI_2_TAIL - (before - r - w);
    hi = r - w;
    if (exponent - biasedExponent(hi) > 49) {
      before = r;
      w = n * HALF_PI_3;
      r = before - w;
      w = n * HALF_PI_3_TAIL - (before - r - w);
      hi = r - w;
    }
  }
  const lo = r - hi - w;
  reducedHi = x < 0 ? -hi : hi;
  reducedLo = x < 0 ? -lo : lo;
  return (x < 0 ? -n : n) & 3;
}

// --- Sine and cosine ----------------------------------------------------------------------------

const TINY = 7.450580596923828e-9; // 2^-27: below it the first term is the whole answer

/** Sine of x + tail on [-pi/4, pi/4]. */
function kernelSin(x: number, tail: number): number {
  if (Math.abs(x) < TINY) return x;
  const z = x * x;
  const v = z * x;
  const r =
    8.33333333332248946124e-3 +
    z * (-1.98412698298579493134e-4 + z * (2.75573137070700676789e-6 + z * (-2.50507602534068634195e-8 + z * 1.58969099521155010221e-10)));
  const s1 = -1.66666666666666324348e-1;
  return tail === 0 ? x + v * (s1 + z * r) : x - (z * (0.5 * tail - v * r) - tail - v * s1);
}

/** Cosine of x + tail on [-pi/4, pi/4]. */
function kernelCos(x: number, tail: number): number {
  const size = Math.abs(x);
  if (size < TINY) return 1;
  const z = x * x;
  const r =
    z *
    (4.16666666666666019037e-2 +
      z *
        (-1.38888888888741095749e-3 +
          z *
            (2.48015872894767294178e-5 +
              z * (-2.75573143513906633035e-7 + z * (2.0875723212981748279e-9 + z * -1.13596475577881948265e-11)))));
  if (size < 0.2999999523162842) return 1 - (0.5 * z - (z * r - x * tail));
  // Near 1/sqrt(2) the subtraction from 1 is split, so that one half of it is exact.
  const exact = size >= 0.7812504768371582 ? 0.28125 : withoutLowWord(size) / 4;
  return 1 - exact - (0.5 * z - exact - (z * r - x * tail));
}

export function sin(angleRad: number): number {
  const quadrant = reduce(angleRad);
  const size = quadrant % 2 === 0 ? kernelSin(reducedHi, reducedLo) : kernelCos(reducedHi, reducedLo);
  return quadrant < 2 ? size : -size;
}

export function cos(angleRad: number): number {
  const quadrant = reduce(angleRad);
  const size = quadrant % 2 === 0 ? kernelCos(reducedHi, reducedLo) : kernelSin(reducedHi, reducedLo);
  return quadrant === 0 || quadrant === 3 ? size : -size;
}

// --- Tangent ------------------------------------------------------------------------------------

export function tan(angleRad: number): number {
  const quadrant = reduce(angleRad);
  let x = reducedHi;
  let tail = reducedLo;
  const inverted = quadrant % 2 === 1; // tan(x + pi/2) = -1/tan(x)
  if (Math.abs(x) < 3.725290298461914e-9 && !inverted) return x; // 2^-28
  const nearQuarter = Math.abs(x) >= 0.6743354797363281;
  const sign = x < 0 ? -1 : 1;
  if (nearQuarter) {
    // tan(x) from tan(pi/4 - x): the polynomial is for small arguments.
    x = QUARTER_PI_HI - sign * x + (QUARTER_PI_LO - sign * tail);
    tail = 0;
  }
  const z = x * x;
  const zz = z * z;
  const odd =
    1.33333333333201242699e-1 +
    zz *
      (2.18694882948595424599e-2 +
        zz *
          (3.59207910759131235356e-3 +
            zz * (5.88041240820264096874e-4 + zz * (7.817944429395570923e-5 + zz * -1.85586374855275456654e-5))));
  const even =
    z *
    (5.39682539762260521377e-2 +
      zz *
        (8.86323982359930005737e-3 +
          zz *
            (1.45620945432529025516e-3 +
              zz * (2.46463134818469906812e-4 + zz * (7.14072491382608190305e-5 + zz * 2.59073051863633712884e-5)))));
  const s = z * x;
  const r = tail + z * (s * (odd + even) + tail) + 3.33333333333334091986e-1 * s;
  const w = x + r;
  if (nearQuarter) {
    const one = inverted ? -1 : 1;
    return sign * (one - 2 * (x - ((w * w) / (w + one) - r)));
  }
  if (!inverted) return w;
  // -1/(x + r), rounded once: the quotient is corrected by what the halves leave over.
  const high = withoutLowWord(w);
  const low = r - (high - x);
  const quotient = -1 / w;
  const quotientHigh = withoutLowWord(quotient);
  return quotientHigh + quotient * (1 + quotientHigh * high + quotientHigh * low);
}

// --- Arc functions ------------------------------------------------------------------------------

/** (asin(s) - s) / s as a function of t = s², on [0, 1/4]. */
function arcRemainder(t: number): number {
  const p =
    t *
    (1.66666666666666657415e-1 +
      t *
        (-3.25565818622400915405e-1 +
          t *
            (2.01212532134862925881e-1 +
              t * (-4.00555345006794114027e-2 + t * (7.91534994289814532176e-4 + t * 3.4793310759602116757e-5)))));
  const q =
    1 + t * (-2.40339491173441421878 + t * (2.02094576023350569471 + t * (-6.8828397160545329303e-1 + t * 7.70381505559019352791e-2)));
  return p / q;
}

/** @param x within [-1, 1] @returns radians within [-pi/2, pi/2] */
export function asin(x: number): number {
  const size = Math.abs(x);
  if (!(size <= 1)) throw new RangeError(`asin of ${x}`);
  if (size === 1) return x * HALF_PI_HI + x * HALF_PI_LO;
  if (size < TINY) return x;
  if (size < 0.5) return x + x * arcRemainder(x * x);
  const t = (1 - size) * 0.5;
  const s = Math.sqrt(t);
  const remainder = arcRemainder(t);
  let angle: number;
  if (size >= 0.9749999046325684) {
    angle = HALF_PI_HI - (2 * (s + s * remainder) - HALF_PI_LO);
  } else {
    const high = withoutLowWord(s);
    const correction = (t - high * high) / (s + high);
    const p = 2 * s * remainder - (HALF_PI_LO - 2 * correction);
    angle = QUARTER_PI_HI - (p - (QUARTER_PI_HI - 2 * high));
  }
  return x < 0 ? -angle : angle;
}

/** @param x within [-1, 1] @returns radians within [0, pi] */
export function acos(x: number): number {
  const size = Math.abs(x);
  if (!(size <= 1)) throw new RangeError(`acos of ${x}`);
  if (x === 1) return 0;
  if (x === -1) return PI;
  if (size < 0.5) {
    if (size <= 6.938893903907228e-18) return HALF_PI_HI; // 2^-57
    return HALF_PI_HI - (x - (HALF_PI_LO - x * arcRemainder(x * x)));
  }
  const z = (1 - size) * 0.5;
  const s = Math.sqrt(z);
  const remainder = arcRemainder(z);
  if (x < 0) return PI - 2 * (s + (remainder * s - HALF_PI_LO));
  const high = withoutLowWord(s);
  const correction = (z - high * high) / (s + high);
  return 2 * (high + (remainder * s + correction));
}

/** @param x any finite number @returns radians within [-pi/2, pi/2] */
export function atan(x: number): number {
  const size = Math.abs(x);
  if (!(size < Infinity)) throw new RangeError(`atan of ${x}`);
  if (size >= 73786976294838210000) return x < 0 ? -HALF_PI_HI : HALF_PI_HI; // 2^66
  if (size < 1.862645149230957e-9) return x; // 2^-29
  // atan(x) = atan(c) + atan((x - c)/(1 + c·x)) with c of 0, 1/2, 1, 3/2 or infinity, whichever is nearest.
  if (size < 0.4375) return x - x * arctanSeries(x);
  let [angle, angleLow, rest] = [0, 0, 0];
  if (size < 0.6875) {
    [angle, angleLow, rest] = [4.63647609000806093515e-1, 2.26987774529616870924e-17, (2 * size - 1) / (2 + size)];
  } else if (size < 1.1875) {
    [angle, angleLow, rest] = [QUARTER_PI_HI, QUARTER_PI_LO, (size - 1) / (size + 1)];
  } else if (size < 2.4375) {
    [angle, angleLow, rest] = [9.82793723247329054082e-1, 1.39033110312309984516e-17, (size - 1.5) / (1 + 1.5 * size)];
  } else {
    [angle, angleLow, rest] = [HALF_PI_HI, HALF_PI_LO, -1 / size];
  }
  const found = angle - (rest * arctanSeries(rest) - angleLow - rest);
  return x < 0 ? -found : found;
}

/** (x - atan(x)) / x for |x| below 7/16. */
function arctanSeries(x: number): number {
  const z = x * x;
  const w = z * z;
  const even =
    z *
    (3.33333333333329318027e-1 +
      w *
        (1.42857142725034663711e-1 +
          w *
            (9.09088713343650656196e-2 +
              w * (6.66107313738753120669e-2 + w * (4.97687799461593236017e-2 + w * 1.62858201153657823623e-2)))));
  const odd =
    w *
    (-1.99999999998764832476e-1 +
      w *
        (-1.1111110405462355788e-1 + w * (-7.69187620504482999495e-2 + w * (-5.83357013379057348645e-2 + w * -3.6531572744216915527e-2))));
  return even + odd;
}

/** Angle of the point (x, y) from the x axis, radians within [-pi, pi]. The origin itself has 0 (or pi for x = -0), as in ECMAScript. */
export function atan2(y: number, x: number): number {
  if (!(Math.abs(y) < Infinity && Math.abs(x) < Infinity)) throw new RangeError(`atan2 of ${y}, ${x}`);
  const xNegative = x < 0 || Object.is(x, -0);
  const yNegative = y < 0 || Object.is(y, -0);
  if (y === 0) return xNegative ? (yNegative ? -PI : PI) : y;
  if (x === 0) return yNegative ? -HALF_PI_HI : HALF_PI_HI;
  const exponents = biasedExponent(y) - biasedExponent(x);
  let angle: number;
  if (exponents > 60) angle = HALF_PI_HI;
  else if (xNegative && exponents < -60) angle = 0;
  else angle = atan(Math.abs(y / x));
  if (xNegative) angle = PI - (angle - PI_LO);
  return yNegative ? -angle : angle;
}
