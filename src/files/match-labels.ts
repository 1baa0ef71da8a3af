/** Equal keys are one label: capitals and runs of spaces do not tell two painted labels apart. Invisible characters are dropped. */
export const labelKey = (label: string): string =>
  label
    .normalize('NFKC')
    .replace(/\p{Cf}/gu, '')
    .replace(/\s+/g, ' ')
    .trim()
    .toLowerCase();

/**
 * Labels that a person may take for one another: P 14, P14, P-14, p.014. Close is not equal: it is asked about. What parts two
 * numbers stays, because 1-11 and 11-1 are two points of one grid.
 */
export const nearKey = (label: string): string =>
  labelKey(label)
    .replace(/(?<=\p{N})[^\p{L}\p{N}]+(?=\p{N})/gu, '.')
    .replace(/[^\p{L}\p{N}.]+|(?<!\p{N})\.|\.(?!\p{N})/gu, '')
    .replace(/(?<!\p{N})0+(?=\p{N})/gu, '');

export type Known = { id: string; label: string };
export type LabelMatch =
  | { is: 'known'; id: string }
  | { is: 'new' }
  /** Known labels that are near, or several that are equal. */
  | { is: 'unsure'; candidates: readonly Known[] };

/** Finds what a label names among the known ones. */
export function labelMatcher(known: readonly Known[]): (label: string) => LabelMatch {
  const byKey = grouped(known, (each) => labelKey(each.label));
  const byNearKey = grouped(known, (each) => nearKey(each.label));
  return (label) => {
    const equal = byKey.get(labelKey(label)) ?? [];
    const [first] = equal;
    if (first !== undefined && equal.length === 1) return { is: 'known', id: first.id };
    if (equal.length > 1) return { is: 'unsure', candidates: equal };
    const near = nearKey(label) === '' ? [] : (byNearKey.get(nearKey(label)) ?? []);
    return near.length > 0 ? { is: 'unsure', candidates: near } : { is: 'new' };
  };
}

export function grouped<T>(items: readonly T[], keyOf: (item: T) => string): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
}
