import { pathToFileURL } from 'node:url';
import { WORKING_FACTORS } from '../src/domain/roof/capacity.ts';
import type { LoadUnit } from '../src/domain/roof/load-timeline.ts';
import { timelineOf, unitsTouching } from '../src/domain/roof/load-timeline.ts';
import { memberFindings } from '../src/domain/roof/member-limits.ts';
import { sumFindings } from '../src/domain/roof/sum-limits.ts';

export type Row = { name: string; medianUs: number; goalUs: number | null };

/** Median of a few calls after warm-up, in processor time: on a machine that others use too, the clock would measure them. */
function medianUs(call: () => void, rounds = 15): number {
  for (let warm = 0; warm < 3; warm++) call();
  const times: number[] = [];
  for (let round = 0; round < rounds; round++) {
    const from = process.cpuUsage();
    call();
    const { user, system } = process.cpuUsage(from);
    times.push(user + system);
  }
  return times.sort((a, b) => a - b)[(rounds - 1) / 2] ?? NaN;
}

const day = (n: number): string => new Date(Date.UTC(2020, 0, 1 + n)).toISOString();
const pointId = (n: number): string => `p${String(n).padStart(4, '0')}`;
const POINTS = 2000;

/** Invented: loads on ten of 2,000 points each, two days long, so many beginning on a day. */
const loads = (count: number, perDay: number): LoadUnit[] =>
  Array.from({ length: count }, (_, n) => ({
    id: `load-${String(n).padStart(5, '0')}`,
    from: day(Math.floor(n / perDay)),
    to: day(Math.floor(n / perDay) + 2),
    permanent: false,
    points: Array.from({ length: 10 }, (_point, k) => ({ pointId: pointId((n * 37 + k * 11) % POINTS), massKg: 100 + ((n * 7 + k) % 50) })),
  }));

const bay = (start: number) =>
  Array.from({ length: 20 }, (_, k) => ({ pointId: pointId((start + k) % POINTS), factor: k % 3 === 0 ? -0.5 : 1 }));

function everyLimit(timeline: ReturnType<typeof timelineOf>): void {
  for (let n = 0; n < POINTS; n++) sumFindings({ terms: [{ pointId: pointId(n), factor: 1 }], maxKg: 1000, minKg: null }, timeline, 0.9);
  for (let n = 0; n < 100; n++) sumFindings({ terms: bay(n * 20), maxKg: 5000, minKg: -500 }, timeline, 0.9);
}

function girder(timeline: ReturnType<typeof timelineOf>): void {
  const stations = new Map(Array.from({ length: 40 }, (_, k) => [pointId(k * 50), 0.5 + k]));
  const onMember = unitsTouching(timeline, stations.keys()).map((unit) => ({
    unit,
    pattern: {
      points: unit.points.flatMap(({ pointId: id, massKg }) => {
        const atM = stations.get(id);
        return atM === undefined ? [] : [{ atM, massKg }];
      }),
      spreads: [],
    },
  }));
  const supports = [0, 14, 28, 40].map((atM) => ({ id: `s${atM}`, atM }));
  const ranges = [{ fromM: 0, toM: 40, saggingKnm: 500, hoggingKnm: 500, shearKn: 300 }];
  const always = [{ points: [], spreads: [{ fromM: 0, toM: 40, kgPerM: 80 }] }];
  const found = memberFindings({ lengthM: 40, supports, ranges, always, factors: WORKING_FACTORS }, onMember, timeline, 0.9);
  if (!found.ok) throw new Error(found.error.code);
}

export function run(): Row[] {
  const few = loads(100, 4);
  const many = loads(10_000, 4);
  const crowded = loads(10_000, 10_000);
  const window = { from: day(10), to: day(13) };
  const timelines = { few: timelineOf(few), many: timelineOf(many), crowded: timelineOf(crowded), shown: timelineOf(many, window) };
  return [
    { name: 'timeline of 10,000 loads', medianUs: medianUs(() => timelineOf(many)), goalUs: null },
    { name: 'one show of 10,000: timeline', medianUs: medianUs(() => timelineOf(many, window)), goalUs: null },
    { name: 'one show of 10,000: 2,000 points, 100 bays', medianUs: medianUs(() => everyLimit(timelines.shown)), goalUs: null },
    { name: 'all of 100: 2,000 points, 100 bays', medianUs: medianUs(() => everyLimit(timelines.few)), goalUs: null },
    { name: 'all of 10,000: 2,000 points, 100 bays', medianUs: medianUs(() => everyLimit(timelines.many)), goalUs: 500_000 },
    { name: '10,000 at once: 2,000 points, 100 bays', medianUs: medianUs(() => everyLimit(timelines.crowded)), goalUs: null },
    { name: 'one show of 10,000: girder on 4 supports, 40 points', medianUs: medianUs(() => girder(timelines.shown)), goalUs: null },
    { name: 'all of 10,000: girder on 4 supports, 40 points', medianUs: medianUs(() => girder(timelines.many), 5), goalUs: 1_000_000 },
    { name: '10,000 at once: girder on 4 supports, 40 points', medianUs: medianUs(() => girder(timelines.crowded), 3), goalUs: null },
  ];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) console.table(run());
