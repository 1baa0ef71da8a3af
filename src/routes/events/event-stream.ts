import { PassThrough } from 'node:stream';

const RECONNECT_MS = 1_000; // and as much again at random, so that those who lose one process together come to the next one by one
const MOST_UNSENT_BYTES = 256 * 1024;
const DRAINS_WITHIN_MS = 15_000;

/** One open stream of Server-Sent Events. @source WHATWG HTML §9.2 */
export class EventStream extends PassThrough {
  constructor() {
    super({ highWaterMark: 16 * 1024 });
    this.on('error', () => {}); // the other end has gone: 'close' says so
    this.write(`retry: ${RECONNECT_MS + Math.floor(Math.random() * RECONNECT_MS)}\n\n`);
  }

  /** `id` makes it what Last-Event-ID says after a break. False: the client reads too slowly and was dropped; it comes back and replays. */
  send(event: string, data: unknown, id?: number): boolean {
    return this.#put(`event: ${event}\n${id === undefined ? '' : `id: ${id}\n`}data: ${JSON.stringify(data)}\n\n`);
  }

  /** The last thing that is said, however long it is. */
  finish(event: string, data: unknown): void {
    if (!this.destroyed && !this.writableEnded) this.end(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  }

  /** A comment, which clients pass over: shows both ends and everything between that the stream is alive. */
  beat(): void {
    this.#put(':\n\n');
  }

  /** Resolves when there is room for more, or the stream has ended. */
  async drained(): Promise<void> {
    if (this.destroyed || !this.writableNeedDrain) return;
    await new Promise<void>((resolve) => {
      const patience = setTimeout(() => this.destroy(), DRAINS_WITHIN_MS);
      const done = () => {
        clearTimeout(patience);
        this.off('drain', done).off('close', done);
        resolve();
      };
      this.once('drain', done).once('close', done);
    });
  }

  #put(text: string): boolean {
    if (this.destroyed || this.writableEnded) return false;
    this.write(text);
    if (this.writableLength + this.readableLength <= MOST_UNSENT_BYTES) return true;
    this.destroy();
    return false;
  }
}
