import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { startApp, type RunningApp } from '../support/app.ts';
import table from './access-matrix.json' with { type: 'json' };
import { operationsOf, readDocument, type Operation } from './operations.ts';
import { Schemas, Watch, type Got } from './watch.ts';
import { CANARY, makeWorld } from './world.ts';

/** By operation, and by organisation where there are two to ask about: one word for each column. */
const Table = z.strictObject({ columns: z.array(z.string()), rows: z.record(z.string(), z.string()) });
const { columns, rows } = Table.parse(table);

/** Where each side has one of its own to be asked about. */
const OF_EACH_SIDE = ['organisationId', 'equipmentId', 'equipmentImportId'];

/** Who has nothing to do with either side. */
const STRANGERS = ['signedOut', 'thirdVenue', 'thirdTour', 'supplier'];

const WALLS = ['both walls', "the database's wall alone", "the store's wall alone"] as const;
type Walls = (typeof WALLS)[number];

type Observed = { rows: Record<string, (string | null)[]>; leaks: string[]; faults: readonly string[] };

/**
 * Asks for everything as everybody, with both walls and with either alone. An act names a version that nothing has, so it
 * gets past the policy and changes nothing. One wall lets nobody do less than both: what both let somebody on one of the
 * sides do is asked with both only (null otherwise). A stranger asks for everything, to see what comes back.
 */
async function observe(apps: Readonly<Record<Walls, RunningApp>>): Promise<Record<Walls, Observed>> {
  const document = await readDocument(apps['both walls'].app);
  const world = await makeWorld(apps['both walls']);
  const schemas = new Schemas(document);
  const observers = WALLS.map((walls) => {
    const watch = new Watch(apps[walls].app, schemas);
    const observed: Observed = { rows: {}, leaks: [], faults: watch.faults };
    return { walls, watch, observed };
  });
  for (const operation of lastToEndTheSession(operationsOf(document))) {
    const ofBoth = operation.params.some((name) => OF_EACH_SIDE.includes(name));
    for (const of of ofBoth ? (['venue', 'tour'] as const) : (['venue'] as const)) {
      const row = ofBoth ? `${operation.id} (${of})` : operation.id;
      const wanted = rows[row]?.split(' ') ?? [];
      const body = operation.body ? { body: world.bodyOf(operation) } : {};
      for (const { walls, watch, observed } of observers) {
        const cellAs = async (column: string, at: number): Promise<string | null> => {
          const voice = world.voices.get(column);
          if (!voice) throw new Error(`nobody is ${column}`);
          const isStranger = STRANGERS.includes(column);
          if (walls !== 'both walls' && wanted[at] === 'ok' && !isStranger) return null;
          const got = await watch.send(operation, { ...voice, params: world.paramsOf(operation, of), ...body });
          if (isStranger && got.text.includes(CANARY)) observed.leaks.push(`${row} as ${column}: ${got.text.slice(0, 300)}`);
          return cellOf(got);
        };
        observed.rows[row] = await severalAtOnce(columns, cellAs);
      }
    }
  }
  return Object.fromEntries(observers.map(({ walls, observed }) => [walls, observed])) as Record<Walls, Observed>;
}

/** In order, with as many at a time as may search for alternatives at once. */
async function severalAtOnce<T, U>(all: readonly T[], each: (one: T, at: number) => Promise<U>): Promise<U[]> {
  const done: U[] = [];
  for (let from = 0; from < all.length; from += 2) {
    done.push(...(await Promise.all(all.slice(from, from + 2).map((one, at) => each(one, from + at)))));
  }
  return done;
}

const lastToEndTheSession = (operations: Operation[]) =>
  operations.toSorted((one, other) => Number(one.id === 'signOut') - Number(other.id === 'signOut'));

/** Past the policy is `ok`, whatever the state then says. */
function cellOf({ status, code }: Got): string {
  if (code === 'not-signed-in') return '401';
  if (status === 403 || status === 404) return String(status);
  return status < 500 && code !== 'invalid-request' ? 'ok' : `${status}`;
}

let apps: Record<Walls, RunningApp>;
let observed: Record<Walls, Observed>;
beforeAll(async () => {
  const both = await startApp();
  apps = {
    'both walls': both,
    "the database's wall alone": await startApp({ beside: both, walls: { store: false } }),
    "the store's wall alone": await startApp({ beside: both, asSuperuser: true }),
  };
  observed = await observe(apps);
}, 300_000);
afterAll(async () => {
  for (const walls of WALLS.toReversed()) await apps[walls].close(); // the first has made the database of all
});

describe.each(WALLS)('with %s', (walls) => {
  test('everybody may do what the table says, and nothing else', () => {
    expect(Object.keys(observed[walls].rows).toSorted()).toEqual(Object.keys(rows).toSorted());
    const surprises = Object.entries(observed[walls].rows).flatMap(([row, cells]) =>
      cells.flatMap((cell, at) => {
        const wanted = rows[row]?.split(' ')[at];
        // Without a wall, something may be told apart from nothing; it may not be read or changed.
        const isSurprise = walls === 'both walls' ? cell !== wanted : cell === 'ok' && wanted !== 'ok';
        return isSurprise ? [`${row} as ${columns[at]}: ${cell}, not ${wanted}`] : [];
      }),
    );
    expect(surprises).toEqual([]);
    expect(observed[walls].faults).toEqual([]);
  });

  test('a stranger receives nothing of what the two sides keep between them', () => {
    expect(observed[walls].leaks).toEqual([]);
  });
});
