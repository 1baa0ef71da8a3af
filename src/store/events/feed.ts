/** What happened, as the organisation's log has it: what and to what, by whom. What changed is read where it stands. */
export type LoggedEvent = {
  readonly number: number;
  readonly at: Date;
  readonly type: string;
  readonly subjectId: string;
  readonly actorName: string;
};
export type Log = {
  /** In order, at most PAGE of them. */
  readonly after: (orgId: string, number: number, limit: number) => Promise<LoggedEvent[]>;
  readonly head: (orgId: string) => Promise<number>;
};
export type Follower = {
  /** Given each event once, in order, without a gap. The next are given once it resolves. */
  readonly take: (events: readonly LoggedEvent[]) => Promise<void>;
  /** The log could not be read: nothing comes after this. */
  readonly lost: () => void;
};
export type Following = {
  /** Events after this number are given. */
  readonly position: number;
  /** Whether some may lie before it that the follower has not seen. */
  readonly missed: boolean;
  readonly begin: () => void;
  readonly stop: () => void;
};

const PAGE = 500;

/** Hands the logs of organisations to those who follow them: each new event is read once for all followers of one organisation. */
export class Feed {
  readonly #log: Log;
  readonly #tails = new Map<string, Tail>();

  constructor(log: Log) {
    this.#log = log;
  }

  /**
   * The follower is on the list before the log's end is read, so an event falls into one or the other; where into both, its number
   * says so. Numbers are given under the lock of the organisation's head row, so they are in the order of commits and have no holes.
   */
  async follow(orgId: string, after: number | null, follower: Follower): Promise<Following> {
    const tail = this.#tails.get(orgId) ?? new Tail(orgId, this.#log);
    this.#tails.set(orgId, tail);
    const place = new Place(orgId, this.#log, follower);
    tail.places.add(place);
    const stop = () => {
      place.isStopped = true;
      tail.places.delete(place);
      if (tail.places.size === 0 && this.#tails.get(orgId) === tail) this.#tails.delete(orgId);
    };
    try {
      const first = after === null ? [] : await this.#log.after(orgId, after, PAGE);
      const isKnown = after !== null && (first.length > 0 || (await this.#log.head(orgId)) >= after); // one beyond the end is not of this log
      const position = isKnown ? after : await this.#log.head(orgId);
      place.sent = position;
      return { position, missed: !isKnown, begin: () => void place.catchUp(position, first.length > 0 ? first : null), stop };
    } catch (error) {
      stop();
      throw error;
    }
  }

  /** Told by the database: the organisation's log has reached `number`. */
  reached(orgId: string, number: number): void {
    this.#tails.get(orgId)?.reach(number);
  }

  /** Notices may have been missed: as if told anew how far each log goes. */
  catchUp(): void {
    for (const [orgId, tail] of this.#tails) {
      this.#log.head(orgId).then(
        (number) => tail.reach(number),
        () => tail.lose(),
      );
    }
  }
}

/** The end of one organisation's log, as far as it has been handed out. */
class Tail {
  readonly places = new Set<Place>();
  readonly #orgId: string;
  readonly #log: Log;
  #wanted = 0;
  #isReading = false;

  constructor(orgId: string, log: Log) {
    this.#orgId = orgId;
    this.#log = log;
  }

  reach(number: number): void {
    this.#wanted = Math.max(this.#wanted, number);
    void this.#readOn();
  }

  /** Reads what the followers who are up to date have not been given yet. Those who are not, read for themselves. */
  async #readOn(): Promise<void> {
    if (this.#isReading) return;
    this.#isReading = true;
    try {
      for (;;) {
        const wanted = this.#wanted;
        const waiting = [...this.places].filter(({ isLive }) => isLive).map(({ sent }) => sent);
        const events = waiting.length === 0 ? [] : await this.#log.after(this.#orgId, Math.min(...waiting), PAGE);
        for (const place of this.places) place.give(events, this.#wanted);
        if (events.length < PAGE && wanted === this.#wanted) break;
      }
    } catch {
      this.lose();
    } finally {
      this.#isReading = false;
    }
  }

  lose(): void {
    for (const place of [...this.places]) place.lose();
  }
}

class Place {
  sent = 0;
  isLive = false;
  isStopped = false;
  #wanted = 0;
  readonly #orgId: string;
  readonly #log: Log;
  readonly #follower: Follower;

  constructor(orgId: string, log: Log, follower: Follower) {
    this.#orgId = orgId;
    this.#log = log;
    this.#follower = follower;
  }

  /** `reached`: how far the log is known to go. Where `events` do not begin where this follower is, it reads for itself. */
  give(events: readonly LoggedEvent[], reached: number): void {
    this.#wanted = Math.max(this.#wanted, reached);
    if (!this.isLive) return;
    const next = events.filter(({ number }) => number > this.sent);
    if (next.length === 0) return;
    void this.catchUp(this.#wanted, next[0]!.number === this.sent + 1 ? next : []);
  }

  /** Hands out `events`, then what the log holds beyond them, until nothing is left; then the follower is up to date. */
  async catchUp(wanted: number, events: readonly LoggedEvent[] | null = null): Promise<void> {
    this.isLive = false;
    this.#wanted = Math.max(this.#wanted, wanted);
    try {
      for (let next = events; !this.isStopped;) {
        next ??= await this.#log.after(this.#orgId, this.sent, PAGE);
        const last = next.at(-1);
        if (last) {
          this.sent = last.number;
          await this.#follower.take(next);
        }
        if (next.length < PAGE && this.sent >= this.#wanted) break;
        next = null;
      }
      this.isLive = !this.isStopped;
    } catch {
      this.lose();
    }
  }

  lose(): void {
    if (this.isStopped) return;
    this.isStopped = true;
    this.#follower.lost();
  }
}
