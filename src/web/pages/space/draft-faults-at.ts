import { FaultList, type DraftFault } from '../../../domain/roof/draft-faults.ts';
import type { ReadRows } from '../../parts/typed-rows.ts';

/** What the roof's own rules say of one thing, by its own pointers. */
export function faultsOf(check: (list: FaultList) => void): readonly DraftFault[] {
  const list = new FaultList();
  check(list);
  return list.faults;
}

export const messageAt = (faults: readonly DraftFault[], ...steps: (string | number)[]): string | null =>
  faults.find(({ pointer }) => pointer === `/${steps.join('/')}`)?.message ?? null;

/** Of a cell of the rows under `list`: what cannot be read, else what cannot be. */
export const faultInRows =
  <T>(read: ReadRows<T>, faults: readonly DraftFault[], list: string) =>
  (key: number, name: string): string | null =>
    read.fault(key, name) ?? messageAt(faults, list, read.keys.indexOf(key), name);

/** What no field and no cell says: of a list or a row as a whole, or of what the form does not show. */
export const faultsUntold = (faults: readonly DraftFault[], told: RegExp): string[] => [
  ...new Set(faults.filter(({ pointer }) => !told.test(pointer)).map(({ message }) => message)),
];
