import { z } from 'zod';
import type { EquipmentItem, EquipmentVersion } from '../../store/equipment/items.ts';
import { etagOf } from '../headers.ts';
import { Id, InstantText, Sha256, Version } from '../schemas/common.ts';
import { EXAMPLE_ITEM } from '../schemas/equipment-example.ts';
import { EquipmentDataSchema } from '../schemas/plan.ts';

export const EQUIPMENT_KINDS = ['hoist', 'part', 'cabinet', 'arrayFrame', 'truss', 'cable'] as const;

export const EquipmentBody = z
  .strictObject({ data: EquipmentDataSchema, note: z.string().trim().max(500).describe('where the facts come from, or why they change') })
  .meta({ examples: [EXAMPLE_ITEM] });

export const EquipmentView = z
  .object({
    id: Id,
    library: z.enum(['own', 'generic']),
    organisationId: Id.nullable().describe('null: of the generic library, which nobody changes'),
    latest: Version.describe('the number of the latest version: what a plan names it by'),
    hash: Sha256.describe('of the facts of the latest version, as a plan must state it'),
    data: EquipmentDataSchema,
    note: z.string(),
    version: Version.describe('of the entry: its ETag'),
    createdAt: InstantText.nullable(),
    retiredAt: InstantText.nullable(),
  })
  .meta({ id: 'Equipment' });
export const EquipmentVersionView = z
  .object({
    equipmentId: Id,
    number: Version,
    hash: Sha256,
    note: z.string(),
    author: z.string().nullable(),
    createdAt: InstantText.nullable(),
  })
  .meta({ id: 'EquipmentVersion' });

export const presentItem = ({ orgId, latestNumber, sha256, createdAt, retiredAt, ...item }: EquipmentItem) => ({
  ...item,
  library: orgId === null ? ('generic' as const) : ('own' as const),
  organisationId: orgId,
  latest: latestNumber,
  hash: sha256,
  createdAt: createdAt?.toISOString() ?? null,
  retiredAt: retiredAt?.toISOString() ?? null,
});
export const presentVersion = ({ itemId, number, sha256, note, authorName, createdAt }: EquipmentVersion) => ({
  equipmentId: itemId,
  number,
  hash: sha256,
  note,
  author: authorName,
  createdAt: createdAt?.toISOString() ?? null,
});
export const itemAnswer = (status: 200 | 201) => (item: EquipmentItem) => ({
  status,
  body: presentItem(item),
  etag: etagOf(item.version),
  ...(status === 201 ? { location: `/api/v1/equipment/${item.id}` } : {}),
});

/** Where the next page begins; the generic library follows one's own. */
export function nextItem(items: readonly EquipmentItem[], limit: number): readonly string[] | null {
  const last = items.at(-1);
  if (!last || items.length < limit) return null;
  return [last.createdAt?.toISOString() ?? 'generic', last.id];
}
