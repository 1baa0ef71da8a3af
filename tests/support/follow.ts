import { EventText, type Message } from '../../src/web/live/event-text.ts';

export type Followed = {
  status: number;
  headers: Headers;
  /** The next message of the stream; null once it has ended. */
  next: () => Promise<Message | null>;
  /** The next of this kind. */
  until: (event: string) => Promise<Record<string, unknown>>;
  drop: () => void;
};

/** Opens a stream of events over the wire. */
export async function follow(base: string, headers: Record<string, string>, query = ''): Promise<Followed> {
  const control = new AbortController();
  const answered = await fetch(`${base}/api/v1/events${query}`, { headers, signal: control.signal });
  const reader = answered.body!.pipeThrough(new TextDecoderStream()).getReader();
  const text = new EventText();
  const ready: Message[] = [];
  const next = async (): Promise<Message | null> => {
    for (;;) {
      const message = ready.shift();
      if (message) return message;
      const read = await reader.read().catch(() => ({ done: true as const, value: undefined }));
      if (read.done) return null;
      ready.push(...text.push(read.value));
    }
  };
  return {
    status: answered.status,
    headers: answered.headers,
    next,
    until: async (event) => {
      for (;;) {
        const message = await next();
        if (message === null) throw new Error(`the stream ended before ${event}`);
        if (message.event === event) return JSON.parse(message.data) as Record<string, unknown>;
      }
    },
    drop: () => control.abort(),
  };
}
