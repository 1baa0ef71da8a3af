/** A list as it differs from the one before it: what is the very same object there is named by its place. */
export type Differences<T> = readonly (number | T)[];

export function differences<T extends object>(before: readonly T[], now: readonly T[]): Differences<T> {
  const places = new Map(before.map((one, place) => [one, place]));
  return now.map((one) => places.get(one) ?? one);
}

/** The list again, with the objects that the one before has: whoever shows them sees which are new. */
export function applied<T extends object>(before: readonly T[], changes: Differences<T>): readonly T[] {
  return changes.map((one) => {
    const found = typeof one === 'number' ? before[one] : one;
    if (found === undefined) throw new Error('differences are applied to the list that they were taken from');
    return found;
  });
}
