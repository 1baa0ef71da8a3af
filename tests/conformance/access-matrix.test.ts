import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { startApp, type RunningApp } from '../support/app.ts';
import table from './access-matrix.json' with { type: 'json' };
import { operationsOf, readDocument, type Operation } from './operations.ts';
import { Watch, type Got } from './watch.ts';
import { CANARY, makeWorld } from './world.ts';

/** By operation, and by organisation where there are two to ask about: one word for each column. */
const Table = z.strictObject({ columns: z.array(z.string()), rows: z.record(z.string(), z.string()) });
const { columns, rows } = Table.parse(table);

/** Where each side has one of its own to be asked about. */
const OF_EACH_SIDE = ['organisationId', 'equipmentId', 'equipmentImportId'];

/** Who has nothing to do with either side. */
const STRANGERS = ['signedOut', 'thirdVenue', 'thirdTour', 'supplier'];

type Observed = { rows: Record<string, string>; leaks: string[]; faults: readonly string[] };

/** Asks for everything as everybody. An act names a version that nothing has, so it gets past the policy and changes nothing. */
async function observe(running: RunningApp): Promise<Observed> {
  const document = await readDocument(running.app);
  const watch = new Watch(running.app, document);
  const world = await makeWorld(running);
  const found: Observed = { rows: {}, leaks: [], faults: watch.faults };
  for (const operation of lastToEndTheSession(operationsOf(document))) {
    const ofBoth = operation.params.some((name) => OF_EACH_SIDE.includes(name));
    for (const of of ofBoth ? (['venue', 'tour'] as const) : (['venue'] as const)) {
      const row = ofBoth ? `${operation.id} (${of})` : operation.id;
      const cells: string[] = [];
      for (const column of columns) {
        const voice = world.voices.get(column);
        if (!voice) throw new Error(`nobody is ${column}`);
        const body = operation.body ? { body: world.bodyOf(operation) } : {};
        const got = await watch.send(operation, { ...voice, params: world.paramsOf(operation, of), ...body });
        cells.push(cellOf(got));
        if (STRANGERS.includes(column) && got.text.includes(CANARY)) found.leaks.push(`${row} as ${column}: ${got.text.slice(0, 300)}`);
      }
      found.rows[row] = cells.join(' ');
    }
  }
  return found;
}

const lastToEndTheSession = (operations: Operation[]) =>
  operations.toSorted((one, other) => Number(one.id === 'signOut') - Number(other.id === 'signOut'));

/** Past the policy is `ok`, whatever the state then says. */
function cellOf({ status, code }: Got): string {
  if (code === 'not-signed-in') return '401';
  if (status === 403 || status === 404) return String(status);
  return status < 500 && code !== 'invalid-request' ? 'ok' : `${status}`;
}

const WALLS = {
  'both walls': {},
  "the database's wall alone": { walls: { store: false } },
  "the store's wall alone": { asSuperuser: true },
} as const;

describe.each(Object.entries(WALLS))('with %s', (name, options) => {
  let running: RunningApp;
  let observed: Observed;
  beforeAll(async () => {
    running = await startApp(options);
    observed = await observe(running);
  }, 300_000);
  afterAll(() => running.close());

  test('everybody may do what the table says, and nothing else', () => {
    expect(Object.keys(observed.rows).toSorted()).toEqual(Object.keys(rows).toSorted());
    const surprises = Object.entries(observed.rows).flatMap(([row, cells]) =>
      cells.split(' ').flatMap((cell, at) => {
        const wanted = rows[row]?.split(' ')[at];
        // Without a wall, something may be told apart from nothing; it may not be read or changed.
        const isSurprise = name === 'both walls' ? cell !== wanted : cell === 'ok' && wanted !== 'ok';
        return isSurprise ? [`${row} as ${columns[at]}: ${cell}, not ${wanted}`] : [];
      }),
    );
    expect(surprises).toEqual([]);
    expect(observed.faults).toEqual([]);
  });

  test('a stranger receives nothing of what the two sides keep between them', () => {
    expect(observed.leaks).toEqual([]);
  });
});
