import type { Database, Scope } from './database.ts';
import {
  changeItem,
  createItem,
  equipmentAt,
  equipmentWhere,
  retireItem,
  versionAt,
  versionsOf,
  type EquipmentFilter,
  type EquipmentPage,
} from './equipment/items.ts';
import { act } from './once.ts';

/** The catalogue of equipment: each organisation's own, and beside it the generic library. */
export function equipmentStore(db: Database) {
  return {
    create: act(db, createItem),
    change: act(db, changeItem),
    retire: act(db, retireItem),
    item: (scope: Scope, id: string) => db.read(scope, (tx) => equipmentAt(tx, id)),
    list: (scope: Scope, filter: EquipmentFilter, page: EquipmentPage) => db.read(scope, (tx) => equipmentWhere(tx, filter, page)),
    versions: (scope: Scope, id: string, below: number | null, limit: number) => db.read(scope, (tx) => versionsOf(tx, id, below, limit)),
    version: (scope: Scope, id: string, number: number) => db.read(scope, (tx) => versionAt(tx, id, number)),
  };
}
