import { createStore } from '../src/store/store.ts';
import { Database } from '../src/store/database.ts';
import { hangingDuring } from '../src/store/roof-lock.ts';
import { copyTemplate, startCluster, urlOf } from '../tests/support/cluster.ts';
import { withOtherShows } from '../tests/support/past-shows.ts';
import { pointAt, publishedScene } from '../tests/support/scene.ts';

const NOW = new Date('2026-06-01T12:00:00Z');
const POINTS = 40;
const READS = 1000;

/** What hangs during one show, read among 100 and among 10,000 other shows of the same space, turn by turn. */
export async function run(): Promise<void> {
  const cluster = await startCluster();
  try {
    const readers = [];
    for (const count of [100, 10_000]) readers.push(await readerAmong(cluster.address, count));
    const times: number[][] = [[], []];
    for (let n = 0; n < READS + 200; n += 1) {
      for (const [at, { read }] of readers.entries()) {
        const began = performance.now();
        await read();
        if (n >= 200) times[at]!.push(performance.now() - began);
      }
    }
    const [few, many] = times.map((all) => all.sort((a, b) => a - b));
    const at = (all: number[], share: number): number => all[Math.floor(all.length * share)]!;
    for (const [name, share] of [
      ['median', 0.5],
      ['p99', 0.99],
    ] as const) {
      const [a, b] = [at(few!, share), at(many!, share)];
      console.log(
        `what hangs, ${name}: ${a.toFixed(2)} ms among 100 shows, ${b.toFixed(2)} ms among 10,000, ratio ${(b / a).toFixed(2)} (goal 1.1)`,
      );
    }
    for (const { close } of readers) await close();
  } finally {
    await cluster.stop();
  }
}

async function readerAmong(cluster: Parameters<typeof urlOf>[0], count: number) {
  const name = `history_${count}`;
  await copyTemplate(cluster, name);
  const store = createStore({ url: urlOf(cluster, 'app', name), now: () => NOW });
  const points = Array.from({ length: POINTS }, (_, n) => pointAt(`P${n}`, n, 0, 1000));
  const { space, manager } = await publishedScene(store, { points });
  await store.close();
  const around = new Date('2026-08-03T06:00:00Z');
  await withOtherShows(urlOf(cluster, 'superuser', name), { spaceId: space.id, pointIds: points.map(({ id }) => id), around, count });
  const database = new Database({ url: urlOf(cluster, 'app', name), now: () => NOW });
  const [from, to] = [new Date('2026-08-09T08:00:00Z'), new Date('2026-08-12T04:00:00Z')];
  return {
    read: () => database.read(manager.scope, (tx) => hangingDuring(tx, space.id, from, to, null)),
    close: () => database.close(),
  };
}
