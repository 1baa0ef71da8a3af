import { useState, useSyncExternalStore } from 'react';
import { keepUnits, readUnits } from './units-kept.ts';
import type { LengthUnit, MassUnit, Units } from './units.ts';

const listeners = new Set<() => void>();
let chosen: Units = readUnits();

export function chooseUnits(next: { mass?: MassUnit; length?: LengthUnit }): void {
  chosen = { ...chosen, ...next };
  keepUnits(chosen);
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

/** The units that a form began with: what is typed into it stays in them, whatever is switched to meanwhile. */
export function useUnitsAtStart(): Units {
  const units = useUnits();
  return useState(units)[0];
}
