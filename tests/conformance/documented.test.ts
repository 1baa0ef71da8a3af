import { afterAll, beforeAll, expect, test } from 'vitest';
import { PROBLEMS } from '../../src/routes/problem-table.ts';
import { startApp, type RunningApp } from '../support/app.ts';
import { examplesOf, operationsOf, readDocument, type Document, type Operation } from './operations.ts';
import { Schemas } from './watch.ts';

let running: RunningApp;
let document: Document;
let operations: Operation[];
let schemas: Schemas;
const routes: string[] = [];
beforeAll(async () => {
  running = await startApp();
  document = await readDocument(running.app);
  operations = operationsOf(document);
  schemas = new Schemas(document);
  routes.push(...printedRoutes(running.app.printRoutes({ commonPrefix: false })));
});
afterAll(() => running.close());

/** `METHOD /path/{param}` of everything the router holds under /api/v1. */
function printedRoutes(tree: string): string[] {
  const parts: string[] = [];
  return tree.split('\n').flatMap((line) => {
    const found = /^([\s│]*)[├└]── (\S+)(?: \(([^)]*)\))?$/u.exec(line);
    if (!found) return [];
    const depth = found[1]!.length / 4;
    parts.length = depth;
    parts.push(found[2]!);
    if (found[3] === undefined) return [];
    // Two names for one parameter print as `:a|:b`: the tree cannot tell them apart, so names are left out of the comparison.
    const path = parts.join('').replace(/:\w+(?:\|:\w+)*/g, '{}');
    return found[3]
      .split(', ')
      .filter((method) => method !== 'HEAD')
      .map((method) => `${method} ${path}`);
  });
}

test('the document describes what the router serves, no more and no less', () => {
  const described = operations.map(({ name }) => name.replace(/\{\w+\}/g, '{}'));
  const served = routes.filter((route) => route.includes(' /api/v1/') && !route.endsWith('/api/v1/openapi.json'));
  expect(document.openapi).toMatch(/^3\.1\./);
  expect(served.length).toBeGreaterThan(80);
  expect(described.toSorted()).toEqual(served.toSorted());
});

test('every operation has an id of its own, a tag, a summary, and says whether it needs a sign-in', () => {
  const ids = operations.map(({ id }) => id);
  expect(ids.filter((id, at) => id === '' || ids.indexOf(id) !== at)).toEqual([]);
  const bare = operations.filter(({ object }) => !object.summary || !object.tags?.length);
  expect(bare.map(({ name }) => name)).toEqual([]);
  const closed = operations.filter(({ open }) => !open);
  expect(closed.every(({ object }) => JSON.stringify(object.security) === '[{"bearer":[]}]')).toBe(true);
  expect(document.components.securitySchemes).toHaveProperty('bearer');
});

test('every body has an example, and examples fit their schemas', () => {
  const faults = operations.flatMap(({ name, body }) => {
    if (!body) return [];
    if (body.examples.length === 0) return [`${name}: no example`];
    return body.examples.flatMap((example) => schemas.misfit(body.schema, example) ?? []).map((misfit) => `${name}: ${misfit}`);
  });
  for (const [name, schema] of Object.entries(document.components.schemas)) {
    for (const example of examplesOf(document, { schema })) {
      const misfit = schemas.misfit({ $ref: `#/components/schemas/${name}` }, example);
      if (misfit !== null) faults.push(`${name}: ${misfit}`);
    }
  }
  expect(faults).toEqual([]);
});

test('every operation declares one good answer with its schema, and the refusals that its shape makes possible', () => {
  const faults = operations.flatMap(({ name, method, object, open, params, body, takesKey, takesMatch }) => {
    const wanted = new Set([400, 406, 429, 503]);
    if (!open) wanted.add(401).add(403);
    if (params.length > 0) wanted.add(404);
    if (body) wanted.add(413).add(415);
    if (takesKey) wanted.add(409).add(422);
    if (takesMatch) wanted.add(412).add(428);
    const missing = [...wanted].filter((status) => !(status in object.responses)).map((status) => `${status} is not declared`);
    const good = Object.entries(object.responses).filter(([status]) => status.startsWith('2'));
    const noSchema = good.filter(([status, { content }]) => status !== '204' && !Object.values(content ?? {}).every((one) => one.schema));
    const empty = good.filter(([status, { content }]) => status !== '204' && Object.keys(content ?? {}).length === 0);
    const creates = method === 'POST' && !open && '201' in object.responses;
    const faultsHere = [...missing];
    if (good.length === 0) faultsHere.push('no good answer');
    if (noSchema.length + empty.length > 0) faultsHere.push('a good answer without a schema');
    if ((creates || (method === 'POST' && takesMatch)) && !takesKey) faultsHere.push('creates or decides without an idempotency key');
    if (['PUT', 'PATCH', 'DELETE'].includes(method) && !takesMatch) faultsHere.push('changes without If-Match');
    return faultsHere.map((fault) => `${name}: ${fault}`);
  });
  expect(faults).toEqual([]);
});

test('every kind of refusal is explained at its address', async () => {
  for (const [code, row] of Object.entries(PROBLEMS)) {
    const served = await running.app.inject({ url: `/problems/${code}` });
    expect(served.statusCode, code).toBe(200);
    expect(served.json()).toMatchObject({ ...row, type: `/problems/${code}` });
  }
  expect((await running.app.inject({ url: '/problems/no-such-code' })).statusCode).toBe(404);
});
