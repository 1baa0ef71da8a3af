/** Standard gravity [m/s²], exact by definition (CGPM 1901; ISO 80000-3). */
export const STANDARD_GRAVITY = 9.80665;
/** Exact by the international yard and pound agreement of 1959. */
export const KG_PER_LB = 0.45359237;
export const M_PER_FT = 0.3048;

/** Weight of a mass [kg] in kilonewtons. */
export const kgToKn = (massKg: number): number => (massKg * STANDARD_GRAVITY) / 1000;
/** The mass [kg] whose weight is the force [kN]. */
export const knToKg = (forceKn: number): number => (forceKn * 1000) / STANDARD_GRAVITY;
