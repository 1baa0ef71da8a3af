import { LENGTH_UNITS, MASS_UNITS, type Units } from './units.ts';

/** Kept on this machine: a habit of the person at it, and no secret. */
const KEY = 'roofbook.units';

export function readUnits(): Units {
  const [mass, length] = (localStorage.getItem(KEY) ?? '').split(' ');
  return {
    mass: MASS_UNITS.find((unit) => unit === mass) ?? 'kg',
    length: LENGTH_UNITS.find((unit) => unit === length) ?? 'm',
  };
}
export const keepUnits = ({ mass, length }: Units): void => localStorage.setItem(KEY, `${mass} ${length}`);
