export type Message = { readonly event: string; readonly data: string; readonly id: string | null };

/** Messages out of the text of a stream, as it comes in pieces. @source WHATWG HTML §9.2.6, for streams whose lines end in LF */
export class EventText {
  #rest = '';

  /** How long the server asks to wait before coming back. */
  retryMs: number | null = null;

  /** The messages that are whole with this piece. */
  push(piece: string): Message[] {
    const blocks = (this.#rest + piece).split('\n\n');
    this.#rest = blocks.pop() ?? '';
    return blocks.flatMap((block) => this.#messageOf(block));
  }

  #messageOf(block: string): Message[] {
    let event = 'message';
    let id: string | null = null;
    const data: string[] = [];
    for (const line of block.split('\n')) {
      const colon = line.indexOf(':');
      const field = colon < 0 ? line : line.slice(0, colon);
      const value = colon < 0 ? '' : line.slice(colon + 1).replace(/^ /, '');
      if (field === 'event') event = value;
      else if (field === 'data') data.push(value);
      else if (field === 'id') id = value;
      else if (field === 'retry' && /^\d+$/.test(value)) this.retryMs = Number(value);
    }
    return data.length === 0 ? [] : [{ event, data: data.join('\n'), id }];
  }
}
