import type { StreamLimits } from '../../config.ts';
import { ProblemError } from '../problem.ts';
import type { EventStream } from './event-stream.ts';

export type OpenStream = {
  readonly stream: EventStream;
  readonly personId: string;
  readonly subjectId: string | null;
  /** Asks again whether they may follow; ends the stream where not. */
  readonly check: () => void;
  readonly showPresence: () => void;
};

const CHECK_EVERY_BEATS = 4;

/** The streams that this process holds open: how many there may be, that they are alive, and that whoever follows still may. */
export class OpenStreams {
  readonly #limits: StreamLimits;
  readonly #isHeard: () => boolean;
  readonly #open = new Set<OpenStream>();
  readonly #places = new Map<string, number>();
  #taken = 0;
  #beats = 0;
  #isClosing = false;
  readonly #timer: NodeJS.Timeout;

  constructor(limits: StreamLimits, isHeard: () => boolean) {
    this.#limits = limits;
    this.#isHeard = isHeard;
    this.#timer = setInterval(() => this.#beat(), limits.beatMs);
    this.#timer.unref();
  }

  /** A place for one more stream, to be given back; refuses where there is none. */
  take(personId: string): () => void {
    const own = this.#places.get(personId) ?? 0;
    if (own >= this.#limits.perPerson) throw new ProblemError({ code: 'too-many-streams', limit: own }, { 'retry-after': '5' });
    if (this.#isClosing || this.#taken >= this.#limits.atMost)
      throw new ProblemError({ code: 'streams-full' }, { 'retry-after': String(2 + Math.floor(Math.random() * 8)) });
    this.#places.set(personId, own + 1);
    this.#taken += 1;
    return () => {
      const left = (this.#places.get(personId) ?? 1) - 1;
      if (left === 0) this.#places.delete(personId);
      else this.#places.set(personId, left);
      this.#taken -= 1;
    };
  }

  add(one: OpenStream): void {
    this.#open.add(one);
    one.stream.once('close', () => this.#open.delete(one));
  }

  /** Null: of everybody. */
  check(personId: string | null): void {
    for (const one of this.#open) if (personId === null || one.personId === personId) one.check();
  }

  showPresence(subjectId: string | null): void {
    for (const one of this.#open) if (one.subjectId !== null && (subjectId === null || one.subjectId === subjectId)) one.showPresence();
  }

  /** Clients come back to another process, and miss nothing. */
  close(): void {
    this.#isClosing = true;
    clearInterval(this.#timer);
    for (const { stream } of this.#open) stream.end();
  }

  #beat(): void {
    this.#beats += 1;
    let nth = 0;
    for (const one of this.#open) {
      nth += 1;
      // Without notices a stream would be silent for no good reason: its client notices, and tries elsewhere.
      if (this.#isHeard()) one.stream.beat();
      if ((this.#beats + nth) % CHECK_EVERY_BEATS === 0) one.check();
    }
  }
}
