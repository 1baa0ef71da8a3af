import { canonicalBytes } from '../foundation/canonical.ts';
import type { Json } from '../foundation/canonical.ts';
import type { PublishedRoof } from './structure.ts';

/** `path` is a JSON pointer into the item. Null stands for "not stated" and for a field that its kind does not have. */
type FieldChange = { path: string; old: Json; new: Json };
type ItemChange = { id: string; label: string; fields: FieldChange[] };
type KindChanges = { added: { id: string; label: string }[]; removed: { id: string; label: string }[]; changed: ItemChange[] };

export const ROOF_KINDS = ['nodes', 'members', 'points', 'limits', 'keepOuts', 'standingLoads'] as const;
type RoofKind = (typeof ROOF_KINDS)[number];

/** `space`: what belongs to no item (exposure, zone, policy, the frozen starts of days). */
export type RoofChanges = { space: FieldChange[] } & Record<RoofKind, KindChanges>;

/** What is different in `after`, item by item by id, in ascending id order. Lists inside an item are shown as a whole. */
export function changesBetween(before: PublishedRoof, after: PublishedRoof): RoofChanges {
  return {
    space: fieldChanges(spaceOf(before), spaceOf(after)),
    nodes: kindChanges(before.nodes, after.nodes),
    members: kindChanges(before.members, after.members),
    points: kindChanges(before.points, after.points),
    limits: kindChanges(before.limits, after.limits),
    keepOuts: kindChanges(before.keepOuts, after.keepOuts),
    standingLoads: kindChanges(before.standingLoads, after.standingLoads),
  };
}

export function isUnchanged(changes: RoofChanges): boolean {
  const untouched = ({ added, removed, changed }: KindChanges) => added.length + removed.length + changed.length === 0;
  return changes.space.length === 0 && ROOF_KINDS.every((kind) => untouched(changes[kind]));
}

const spaceOf = ({ format, exposure, timeZone, policy, dayStarts }: PublishedRoof): Json => ({
  format,
  exposure,
  timeZone,
  policy,
  dayStarts,
});

type Item = { readonly id: string; readonly label: string } & { readonly [field: string]: Json };

function kindChanges(before: readonly Item[], after: readonly Item[]): KindChanges {
  const [old, now] = [byId(before), byId(after)];
  const named = ({ id, label }: Item) => ({ id, label });
  const changed: ItemChange[] = [];
  for (const item of now.values()) {
    const was = old.get(item.id);
    const fields = was === undefined ? [] : fieldChanges(was, item);
    if (fields.length > 0) changed.push({ id: item.id, label: item.label, fields });
  }
  return {
    added: [...now.values()].filter(({ id }) => !old.has(id)).map(named),
    removed: [...old.values()].filter(({ id }) => !now.has(id)).map(named),
    changed,
  };
}

const byId = (items: readonly Item[]): Map<string, Item> =>
  new Map([...items].sort((a, b) => (a.id < b.id ? -1 : 1)).map((item) => [item.id, item]));

function fieldChanges(before: Json, after: Json, path = ''): FieldChange[] {
  if (canonicalBytes(before) === canonicalBytes(after)) return [];
  if (!isObject(before) || !isObject(after)) return [{ path, old: before, new: after }];
  const names = [...new Set([...Object.keys(before), ...Object.keys(after)])].sort();
  return names.flatMap((name) => fieldChanges(before[name] ?? null, after[name] ?? null, `${path}/${escaped(name)}`));
}

const isObject = (value: Json): value is { readonly [member: string]: Json | undefined } =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** @source RFC 6901, JSON Pointer */
const escaped = (name: string): string => name.replaceAll('~', '~0').replaceAll('/', '~1');
