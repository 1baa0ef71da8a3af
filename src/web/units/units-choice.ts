import { useSyncExternalStore } from 'react';
import { LENGTH_UNITS, MASS_UNITS, type LengthUnit, type MassUnit, type Units } from './units.ts';

/** Kept on this machine: a habit of the person at it, and no secret. */
const KEY = 'roofbook.units';
const listeners = new Set<() => void>();
let chosen: Units = read();

function read(): Units {
  const [mass, length] = (localStorage.getItem(KEY) ?? '').split(' ');
  return {
    mass: MASS_UNITS.find((unit) => unit === mass) ?? 'kg',
    length: LENGTH_UNITS.find((unit) => unit === length) ?? 'm',
  };
}

export function chooseUnits(next: { mass?: MassUnit; length?: LengthUnit }): void {
  chosen = { ...chosen, ...next };
  localStorage.setItem(KEY, `${chosen.mass} ${chosen.length}`);
  for (const tell of listeners) tell();
}

export const useUnits = (): Units =>
  useSyncExternalStore(
    (tell) => {
      listeners.add(tell);
      return () => listeners.delete(tell);
    },
    () => chosen,
  );
