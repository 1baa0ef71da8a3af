import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { PrismaPg } from '@prisma/adapter-pg';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';
import * as bindings from '@prisma/schema-engine-wasm/schema_engine_bg';
import type { SchemaEngine } from '@prisma/schema-engine-wasm/schema_engine_bg';

// Prisma's own schema engine, as WebAssembly from npm: the command-line tool wants to load a binary from the net. It compares schema
// texts here and does not migrate, because its adapter cuts a script at every semicolon.

/** One engine per process. It asks the database for its version and keeps a connection until that has idled for 10 s. */
export async function openEngine(connectionString: string): Promise<SchemaEngine> {
  const folder = dirname(createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm/schema_engine_bg'));
  const module = new WebAssembly.Module(await readFile(join(folder, 'schema_engine_bg.wasm')));
  const instance = new WebAssembly.Instance(module, { './schema_engine_bg.js': { ...bindings } });
  bindings.__wbg_set_wasm(instance.exports);
  (instance.exports.__wbindgen_start as () => void)();
  const adapter = bindMigrationAwareSqlAdapterFactory(new PrismaPg({ connectionString }));
  return bindings.SchemaEngine.new({ datamodels: undefined }, () => {}, adapter);
}

/** The statements that make an empty database what the schema says. Triggers, policies, checks and grants are not in it. */
export const statementsFromEmpty = (engine: SchemaEngine, schema: string): Promise<string> =>
  diff(engine, { tag: 'empty' }, schemaText(schema));

/** The statements that lead from one schema text to another. */
export const statementsBetween = (engine: SchemaEngine, from: string, to: string): Promise<string> =>
  diff(engine, schemaText(from), schemaText(to));

type DiffTarget = Parameters<SchemaEngine['diff']>[0]['from'];
const schemaText = (content: string): DiffTarget => ({ tag: 'schemaDatamodel', files: [{ path: 'schema.prisma', content }] });

async function diff(engine: SchemaEngine, from: DiffTarget, to: DiffTarget): Promise<string> {
  const filters = { externalTables: [], externalEnums: [] };
  const { stdout } = await engine.diff({ from, to, script: true, exitCode: null, filters });
  if (stdout === null) throw new Error('the schema engine gave no statements');
  return stdout;
}
