import { canonicalBytes } from '../foundation/canonical.ts';
import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import { isInstant, nextDay } from './calendar.ts';
import { checkDraft } from './draft-check.ts';
import type { DraftFault } from './draft-faults.ts';
import { FaultList } from './draft-faults.ts';
import type {
  CalendarDay,
  Days,
  Instant,
  Limit,
  Member,
  PublishedRoof,
  RoofDraft,
  RoofPoint,
  SignedPolicy,
  StandingLoad,
} from './structure.ts';

export type NotPublishable = { readonly code: 'draft-not-publishable'; readonly faults: readonly DraftFault[] };

/** The instant at which a calendar day begins in a zone; null when the zone does not exist. */
export type DayStartOf = (day: CalendarDay, zone: string) => Instant | null;

/**
 * A working copy as it will be read from now on: lists in ascending id order, so that the same roof has the same bytes whatever order
 * it was entered in, and the start of every day that begins or ends something fixed as an instant.
 * @returns the roof, or every fault at once
 */
export function publishRoof(draft: RoofDraft, dayStartOf: DayStartOf): Result<PublishedRoof, NotPublishable> {
  const faults = checkDraft(draft);
  if (faults.length > 0 || draft.policy === null) return fail({ code: 'draft-not-publishable', faults });
  const dayStarts = frozenDayStarts(draft, dayStartOf);
  if (dayStarts === null) {
    const list = new FaultList();
    list.at('timeZone').add('zone-not-valid', 'there is no time zone of this name', { zone: draft.timeZone });
    return fail({ code: 'draft-not-publishable', faults: list.faults });
  }
  return ok(inOrder(draft, draft.policy, dayStarts));
}

/** What the hash of a revision is taken of. */
export const publishedBytes = (roof: PublishedRoof): string => canonicalBytes(roof);

/** Asked even when nothing in the draft has a date, so that a zone that does not exist is never published. */
const ANY_DAY: CalendarDay = '2000-01-01';

function frozenDayStarts(draft: RoofDraft, dayStartOf: DayStartOf): Record<CalendarDay, Instant> | null {
  if (dayStartOf(ANY_DAY, draft.timeZone) === null) return null;
  const starts: Record<CalendarDay, Instant> = {};
  for (const day of daysOf(draft)) {
    const start = dayStartOf(day, draft.timeZone);
    if (start === null) return null;
    if (!isInstant(start)) throw new RangeError(`the start of ${day} is ${start}, which is not an instant in UTC`);
    starts[day] = start;
  }
  return starts;
}

/** Days whose start matters: those that begin or end a period, and the day after an inspection is due, when it lapses. */
function daysOf(draft: RoofDraft): CalendarDay[] {
  const periods: Days[] = [...draft.keepOuts, ...draft.standingLoads];
  for (const { reductions, outOfService } of draft.points) periods.push(...reductions, ...outOfService);
  const days = periods.flatMap(({ fromDay, untilDay }) => [fromDay, untilDay]).filter((day) => day !== null);
  for (const { inspectionDueDay } of draft.points) if (inspectionDueDay !== null) days.push(nextDay(inspectionDueDay));
  return [...new Set(days)].sort();
}

function inOrder(draft: RoofDraft, policy: SignedPolicy, dayStarts: Record<CalendarDay, Instant>): PublishedRoof {
  return {
    format: 1,
    exposure: draft.exposure,
    timeZone: draft.timeZone,
    nodes: byId(draft.nodes),
    members: byId(draft.members).map(memberInOrder),
    points: byId(draft.points).map(pointInOrder),
    limits: byId(draft.limits).map(limitInOrder),
    keepOuts: byId(draft.keepOuts),
    standingLoads: byId(draft.standingLoads).map(standingLoadInOrder),
    policy,
    dayStarts,
  };
}

// Text compared by UTF-16 code units, as everywhere that order must be the same on every machine.
const compare = <T extends string | number>(a: T, b: T): number => (a < b ? -1 : a > b ? 1 : 0);
const byId = <T extends { id: string }>(items: readonly T[]): T[] => [...items].sort((a, b) => compare(a.id, b.id));

const memberInOrder = (member: Member): Member => ({
  ...member,
  supports: [...member.supports].sort((a, b) => compare(a.atM, b.atM) || compare(a.id, b.id)),
  deadLoads: [...member.deadLoads].sort((a, b) => compare(a.fromM, b.fromM) || compare(a.toM, b.toM) || compare(a.kgPerM, b.kgPerM)),
  allowables: [...member.allowables].sort((a, b) => compare(a.fromM, b.fromM)),
  panelPoints:
    member.panelPoints === null ? null : { ...member.panelPoints, atM: [...member.panelPoints.atM].sort((a, b) => compare(a, b)) },
  terms: termsInOrder(member.terms),
});

const pointInOrder = (point: RoofPoint): RoofPoint => ({
  ...point,
  on: [...point.on].sort((a, b) => compare(a.memberId, b.memberId) || compare(a.stationM, b.stationM)),
  terms: termsInOrder(point.terms),
});

function limitInOrder(limit: Limit): Limit {
  const terms = termsInOrder(limit.terms);
  if (limit.kind === 'group' || limit.kind === 'count') return { ...limit, terms, pointIds: [...limit.pointIds].sort() };
  if (limit.kind === 'weighted') {
    return { ...limit, terms, weights: [...limit.weights].sort((a, b) => compare(a.pointId, b.pointId)) };
  }
  return { ...limit, terms };
}

const standingLoadInOrder = (load: StandingLoad): StandingLoad => ({
  ...load,
  points: [...load.points].sort((a, b) => compare(a.pointId, b.pointId) || compare(a.massKg, b.massKg)),
  memberLoads: [...load.memberLoads].sort(
    (a, b) => compare(a.memberId, b.memberId) || compare(a.fromM, b.fromM) || compare(a.toM, b.toM) || compare(a.kgPerM, b.kgPerM),
  ),
});

const termsInOrder = <T extends { mustInclude: RoofPoint['terms']['mustInclude'] }>(terms: T): T => ({
  ...terms,
  mustInclude: terms.mustInclude === null ? null : [...new Set(terms.mustInclude)].sort(),
});
