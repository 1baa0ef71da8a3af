import type { Database, Scope } from './database.ts';
import {
  answerImport,
  applyImport,
  createImport,
  importWithBytes,
  type Answering,
  type AppliedImport,
  type Applying,
  type CatalogueDryRun,
  type NewImport,
  type PlannedImport,
} from './equipment/imports.ts';
import {
  catalogueOf,
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
import { act, type Reply } from './once.ts';

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
    catalogue: (scope: Scope) => db.read(scope, (tx) => catalogueOf(tx)),

    createImport: <D extends CatalogueDryRun, E>(scope: Scope, input: NewImport<D, E>, reply: Reply<PlannedImport<D>>) =>
      act(db, createImport<D, E>)(scope, input, reply),
    importWithBytes: (scope: Scope, id: string) => db.read(scope, (tx) => importWithBytes(tx, id)),
    answerImport: <D extends CatalogueDryRun, E>(scope: Scope, input: Answering<D, E>, reply: Reply<PlannedImport<D>>) =>
      act(db, answerImport<D, E>)(scope, input, reply),
    applyImport: <D extends CatalogueDryRun, E>(scope: Scope, input: Applying<D, E>, reply: Reply<AppliedImport<D>>) =>
      act(db, applyImport<D, E>)(scope, input, reply),
  };
}
