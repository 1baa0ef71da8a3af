import pg from 'pg';
import { DatabaseLost, type DatabaseOptions } from '../database.ts';

type Channel = 'roofbook_event' | 'roofbook_presence' | 'roofbook_sign_in';
const CHANNELS: readonly Channel[] = ['roofbook_event', 'roofbook_presence', 'roofbook_sign_in'];

export type Heard = {
  readonly notice: (channel: Channel, payload: string) => void;
  /** Notices may have been missed: the connection was gone for a while. */
  readonly back: () => void;
};

const PING_MS = 15_000; // a connection whose other end has vanished says nothing of it by itself
const ANSWER_WITHIN_MS = 5_000;
const FIRST_WAIT_MS = 100;
const LONGEST_WAIT_MS = 5_000;

/**
 * The process's one connection for what other processes (and this one) tell by NOTIFY. Made when it is first needed, made again when
 * it is lost. It needs a session of its own: a pooler that shares connections between transactions hears nothing.
 */
export class Listener {
  readonly #url: DatabaseOptions['url'];
  readonly #heard: Heard;
  #client: pg.Client | null = null;
  #connecting: Promise<void> | null = null;
  #isClosed = false;
  #stopPinging = (): void => {};

  constructor(url: DatabaseOptions['url'], heard: Heard) {
    this.#url = url;
    this.#heard = heard;
  }

  get isUp(): boolean {
    return this.#client !== null;
  }

  /** Resolves once nothing that is committed from now on is missed; throws `DatabaseLost` where that does not come about soon. */
  async ready(): Promise<void> {
    if (this.#client) return;
    this.#connecting ??= this.#connect();
    let patience: NodeJS.Timeout | undefined;
    const late = new Promise<never>((_, reject) => {
      patience = setTimeout(() => reject(new DatabaseLost('no notices are heard')), ANSWER_WITHIN_MS);
    });
    try {
      await Promise.race([this.#connecting, late]);
    } finally {
      clearTimeout(patience);
    }
    if (this.#isClosed) throw new DatabaseLost('closed');
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    this.#stopPinging();
    const client = this.#client;
    this.#client = null;
    await client?.end();
    await this.#connecting;
  }

  async #connect(): Promise<void> {
    for (let waitMs = FIRST_WAIT_MS; !this.#isClosed; waitMs = Math.min(2 * waitMs, LONGEST_WAIT_MS)) {
      try {
        await this.#open();
        break;
      } catch {
        await new Promise((resolve) => setTimeout(resolve, waitMs * (0.5 + Math.random() / 2)));
      }
    }
    this.#connecting = null;
  }

  async #open(): Promise<void> {
    const client = new pg.Client({
      connectionString: typeof this.#url === 'string' ? this.#url : this.#url(),
      application_name: 'roofbook notices',
      keepAlive: true,
      connectionTimeoutMillis: ANSWER_WITHIN_MS,
      query_timeout: ANSWER_WITHIN_MS,
    });
    client.on('error', () => this.#lose(client));
    client.on('end', () => this.#lose(client));
    client.on('notification', ({ channel, payload = '' }) => this.#heard.notice(channel as Channel, payload));
    await client.connect();
    await client.query(CHANNELS.map((channel) => `LISTEN ${channel}`).join('; '));
    if (this.#isClosed) return void (await client.end());
    this.#client = client;
    const pings = setInterval(() => void client.query('SELECT 1').catch(() => this.#lose(client)), PING_MS);
    pings.unref();
    this.#stopPinging = () => clearInterval(pings);
    this.#heard.back();
  }

  #lose(client: pg.Client): void {
    if (client !== this.#client) return;
    this.#client = null;
    this.#stopPinging();
    void client.end().catch(() => {});
    if (!this.#isClosed) this.#connecting ??= this.#connect();
  }
}
