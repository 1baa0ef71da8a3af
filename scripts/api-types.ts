// Writes the types of the API as the browser client knows it, from the document that the service would serve.
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import openapiTS, { astToString } from 'openapi-typescript';
import { buildApp } from '../src/app.ts';
import { readConfig } from '../src/config.ts';
import { createStore } from '../src/store/store.ts';

const OUTPUT = join(import.meta.dirname, '../src/web/api/generated/schema.ts');

type Served = { paths: Record<string, Record<string, { responses: Record<string, unknown> }>> };

const config = readConfig({});
if (!config.ok) throw new Error('the defaults are no configuration');
const now = () => new Date();
const store = createStore({ url: 'postgresql://nobody@127.0.0.1:1/none', now }); // connects on first use, which never comes
const app = await buildApp({ store, config: config.value, now, log: false });
const document = structuredClone(app.swagger()) as unknown as Served;
// Refusals are all one shape, RFC 9457, which the client knows: leaving them out makes the types a tenth as long.
for (const methods of Object.values(document.paths))
  for (const operation of Object.values(methods))
    operation.responses = Object.fromEntries(Object.entries(operation.responses).filter(([status]) => status.startsWith('2')));
const types = await openapiTS(document as unknown as Parameters<typeof openapiTS>[0], { alphabetize: true });
await mkdir(join(OUTPUT, '..'), { recursive: true });
await writeFile(OUTPUT, `// Made by scripts/api-types.ts from the served OpenAPI document.\n${astToString(types)}`);
await app.close();
await store.close();
