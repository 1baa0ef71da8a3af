import type { Days } from '../../../domain/roof/structure.ts';
import { words } from '../../words.ts';

/** The days on which something of a roof holds; the last is the one before which it ends. */
export function daysText({ fromDay, untilDay }: Days): string {
  const parts = [
    ...(fromDay === null ? [] : [words.standing.since(fromDay)]),
    ...(untilDay === null ? [] : [words.standing.until(untilDay)]),
  ];
  return parts.length === 0 ? words.keepOuts.always : parts.join(' ');
}
