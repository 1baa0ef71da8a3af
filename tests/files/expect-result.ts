import type { Result } from '../../src/domain/foundation/result.ts';
import type { ImportPlan } from '../../src/files/import-plan.ts';
import type { ImportChoices } from '../../src/files/import-choices.ts';
import type { Drafts, ImportKind } from '../../src/files/import-fields.ts';
import { mapColumns } from '../../src/files/map-columns.ts';
import { planImport, type Existing } from '../../src/files/plan-import.ts';
import { tableFromBytes } from '../../src/files/table-from-bytes.ts';
import type { Table, TableChoices } from '../../src/files/table.ts';

export function expectOk<T>(result: Result<T, unknown>): T {
  if (!result.ok) throw new Error(`expected a value, got ${JSON.stringify(result.error)}`);
  return result.value;
}

export function expectError<E>(result: Result<unknown, E>): E {
  if (result.ok) throw new Error(`expected an error, got ${JSON.stringify(result.value).slice(0, 500)}`);
  return result.error;
}

export const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

export const tableOf = async (file: string | Uint8Array, choices: TableChoices = {}): Promise<Table> =>
  expectOk(await tableFromBytes(typeof file === 'string' ? utf8(file) : file, 'roof', choices));

export async function planOf<K extends ImportKind>(
  kind: K,
  file: string | Uint8Array,
  { existing = [], choices = {} }: { existing?: readonly Existing<Drafts[K]>[]; choices?: ImportChoices } = {},
): Promise<ImportPlan<Drafts[K]>> {
  const table = await tableOf(file);
  const mapping = expectOk(mapColumns(table, kind, choices));
  return expectOk(planImport({ kind, table, mapping, existing, choices }));
}
