import { EventText, type Message } from './event-text.ts';

export type Change = {
  readonly number: number;
  readonly at: string;
  readonly type: string;
  readonly subjectId: string;
  readonly actorName: string;
};
export type PersonHere = { readonly name: string; readonly own: boolean; readonly you: boolean };
/** What is open on the page: others who have it open are told. */
export type OpenSubject = { readonly kind: 'proposalId' | 'spaceId'; readonly id: string };
export type LiveSnapshot = {
  /** `lost`: nothing is heard, and it has been so for a moment; `back`: it was lost until just now. */
  readonly state: 'starting' | 'up' | 'lost' | 'back';
  readonly lostAt: Date | null;
  readonly people: readonly PersonHere[];
};
export type LivePorts = {
  readonly ask: (query: string, headers: Record<string, string>, signal: AbortSignal) => Promise<Response>;
  readonly onChanges: (changes: readonly Change[]) => void;
  /** Anything may have changed. */
  readonly onMissed: () => void;
  /** The sign-in does not open it any more, or not for this. */
  readonly onRefused: () => void;
};

const SILENT_MS = 30_000; // the service says every 12 seconds that it is there
const LOST_AFTER_MS = 3_000; // a process that is replaced is back before that
const BACK_SHOWN_MS = 8_000;
const GATHERED_MS = 50; // one act is often several events
const LONGEST_WAIT_MS = 20_000;

/** The one stream of a tab: comes back by itself where it breaks, from where it was. */
export class LiveConnection {
  readonly #ports: LivePorts;
  readonly #watchers = new Set<() => void>();
  #snapshot: LiveSnapshot = { state: 'starting', lostAt: null, people: [] };
  #subject: OpenSubject | null = null;
  #lastId: string | null = null;
  #control: AbortController | null = null;
  #gathered: Change[] = [];
  #timers: Partial<Record<'lost' | 'back' | 'gather' | 'show', ReturnType<typeof setTimeout>>> = {};
  #wake = (): void => {};
  #end = (): void => {};

  constructor(ports: LivePorts) {
    this.#ports = ports;
  }

  readonly watch = (watcher: () => void): (() => void) => {
    this.#watchers.add(watcher);
    return () => void this.#watchers.delete(watcher);
  };
  readonly read = (): LiveSnapshot => this.#snapshot;

  start(): void {
    if (this.#control) return;
    this.#control = new AbortController();
    this.#awaitOrLose();
    void this.#run(this.#control.signal);
  }

  stop(): void {
    this.#control?.abort();
    this.#control = null;
    for (const timer of Object.values(this.#timers)) clearTimeout(timer);
    this.#timers = {};
    this.#tell();
  }

  /** What the page shows from now on; said a moment later, so that going from one page to the next is one change. */
  show(subject: OpenSubject | null): void {
    this.#subject = subject;
    clearTimeout(this.#timers.show);
    const before = this.#control?.signal;
    this.#timers.show = setTimeout(() => {
      if (!this.#control || this.#control.signal !== before) return;
      this.#control.abort();
      this.#control = null;
      this.#set({ people: [] });
      this.start();
    }, 0);
  }

  /** The network is said to be gone: a stream that is still open then would only be found silent much later. */
  readonly breakOff = (): void => this.#end();

  /** The network is said to be there again. */
  readonly tryNow = (): void => this.#wake();

  async #run(signal: AbortSignal): Promise<void> {
    for (let failures = 0; !signal.aborted; failures++) {
      let retryMs = 1_000;
      const text = new EventText();
      try {
        const isRead = await this.#readStream(signal, text);
        if (isRead) failures = 0;
        retryMs = text.retryMs ?? retryMs;
      } catch {
        // broken off, or none to be had: the same again
      }
      if (signal.aborted) return;
      this.#awaitOrLose();
      await this.#wait(Math.min(retryMs * 2 ** Math.min(failures, 6) * (0.75 + Math.random() / 2), LONGEST_WAIT_MS), signal);
    }
  }

  /** Until it ends or breaks. True where it was there at all. */
  async #readStream(signal: AbortSignal, text: EventText): Promise<boolean> {
    const own = new AbortController();
    const end = () => own.abort();
    this.#end = end;
    signal.addEventListener('abort', end);
    let silence = setTimeout(end, SILENT_MS);
    try {
      const query = this.#subject ? `?${this.#subject.kind}=${this.#subject.id}` : '';
      const answered = await this.#ports.ask(query, this.#lastId === null ? {} : { 'last-event-id': this.#lastId }, own.signal);
      if (!answered.ok || !answered.body) {
        if ([401, 403, 404].includes(answered.status)) this.#ports.onRefused();
        return false;
      }
      const reader = answered.body.pipeThrough(new TextDecoderStream()).getReader();
      for (;;) {
        const { done, value } = await reader.read();
        if (done) return true;
        clearTimeout(silence);
        silence = setTimeout(end, SILENT_MS);
        for (const message of text.push(value)) this.#take(message);
      }
    } finally {
      clearTimeout(silence);
      signal.removeEventListener('abort', end);
      end();
    }
  }

  #take({ event, data, id }: Message): void {
    if (id !== null) this.#lastId = id;
    const said = JSON.parse(data) as { missed?: boolean; people?: PersonHere[] };
    if (event === 'position') {
      this.#isUp();
      if (said.missed === true) this.#ports.onMissed();
    } else if (event === 'present') this.#set({ people: said.people ?? [] });
    else if (event === 'ended') this.#ports.onRefused();
    else if (event === 'change') {
      this.#gathered.push(said as Change);
      this.#timers.gather ??= setTimeout(() => this.#tell(), GATHERED_MS);
    }
  }

  #tell(): void {
    clearTimeout(this.#timers.gather);
    delete this.#timers.gather;
    const changes = this.#gathered;
    this.#gathered = [];
    if (changes.length > 0) this.#ports.onChanges(changes);
  }

  #isUp(): void {
    clearTimeout(this.#timers.lost);
    delete this.#timers.lost;
    if (this.#snapshot.state !== 'lost') return this.#set({ state: this.#snapshot.state === 'back' ? 'back' : 'up' });
    this.#set({ state: 'back', lostAt: null });
    this.#ports.onMissed(); // what was asked for while it was lost may be older than what was brought
    this.#timers.back = setTimeout(() => this.#set({ state: 'up' }), BACK_SHOWN_MS);
  }

  #awaitOrLose(): void {
    this.#set({ people: [] });
    if (this.#snapshot.state === 'lost') return;
    this.#timers.lost ??= setTimeout(() => {
      clearTimeout(this.#timers.back);
      this.#set({ state: 'lost', lostAt: new Date(Date.now() - LOST_AFTER_MS) });
      this.#ports.onMissed(); // from now on it is asked for
    }, LOST_AFTER_MS);
  }

  #set(change: Partial<LiveSnapshot>): void {
    const next = { ...this.#snapshot, ...change };
    if (JSON.stringify(next) === JSON.stringify(this.#snapshot)) return;
    this.#snapshot = next;
    for (const watcher of this.#watchers) watcher();
  }

  #wait(ms: number, signal: AbortSignal): Promise<void> {
    return new Promise((resolve) => {
      const timer = setTimeout(() => this.#wake(), ms);
      this.#wake = () => {
        clearTimeout(timer);
        signal.removeEventListener('abort', this.#wake);
        resolve();
      };
      signal.addEventListener('abort', this.#wake);
    });
  }
}
