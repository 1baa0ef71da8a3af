import { isCalendarDay } from './calendar.ts';
import type { CalendarDay, Days } from './structure.ts';

/**
 * Something in a working copy that cannot be published. `pointer` is a JSON pointer into the draft, with the position in the list:
 * `/members/3/supports/0/atM`. The code is for programs, the message for people; `facts` are the numbers behind it.
 */
export type DraftFault = { pointer: string; code: DraftFaultCode; message: string; facts: Record<string, number | string> };

export type DraftFaultCode =
  | 'id-missing'
  | 'id-repeated'
  | 'id-unknown'
  | 'label-missing'
  | 'label-repeated'
  | 'number-out-of-range'
  | 'range-reversed'
  | 'ranges-overlap'
  | 'day-not-valid'
  | 'days-reversed'
  | 'instant-not-valid'
  | 'zone-not-valid'
  | 'member-without-length'
  | 'station-off-member'
  | 'supports-coincide'
  | 'shares-not-whole'
  | 'reduction-not-lower'
  | 'set-empty'
  | 'value-missing'
  | 'polygon-not-valid'
  | 'policy-not-signed'
  | 'thresholds-reversed';

/** Collects faults below one place of the draft; `at` goes one step down. */
export class FaultList {
  readonly faults: DraftFault[];
  readonly pointer: string;

  constructor(pointer = '', faults: DraftFault[] = []) {
    this.pointer = pointer;
    this.faults = faults;
  }

  at(...steps: (string | number)[]): FaultList {
    return new FaultList([this.pointer, ...steps].join('/'), this.faults);
  }

  add(code: DraftFaultCode, message: string, facts: Record<string, number | string> = {}): void {
    this.faults.push({ pointer: this.pointer, code, message, facts });
  }

  /** @returns whether the number is finite and within [least, most] */
  number(value: number, least: number, most: number, unit: string): boolean {
    if (Number.isFinite(value) && value >= least && value <= most) return true;
    const said: Record<string, number> = Number.isFinite(value) ? { value } : {};
    this.add('number-out-of-range', `must be between ${least} and ${most} ${unit}`, { ...said, least, most, unit });
    return false;
  }

  /** @returns whether the number is finite and above `bound`, up to `most` */
  numberAbove(value: number, bound: number, most: number, unit: string): boolean {
    if (Number.isFinite(value) && value > bound && value <= most) return true;
    const said: Record<string, number> = Number.isFinite(value) ? { value } : {};
    this.add('number-out-of-range', `must be more than ${bound} and at most ${most} ${unit}`, { ...said, above: bound, most, unit });
    return false;
  }

  day(day: CalendarDay | null): boolean {
    if (day === null) return true;
    if (isCalendarDay(day)) return true;
    this.add('day-not-valid', 'must be a day of the calendar from 1900 to 9998, YYYY-MM-DD', { day });
    return false;
  }

  days({ fromDay, untilDay }: Days): void {
    const real = [this.at('fromDay').day(fromDay), this.at('untilDay').day(untilDay)].every(Boolean);
    if (real && fromDay !== null && untilDay !== null && fromDay >= untilDay) {
      this.at('untilDay').add('days-reversed', 'must be after the first day', { fromDay, untilDay });
    }
  }

  known(id: string, ids: ReadonlySet<string>, what: string): boolean {
    if (ids.has(id)) return true;
    this.add('id-unknown', `there is no ${what} with this id`, { id });
    return false;
  }
}
