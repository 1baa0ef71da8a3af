import { once } from 'node:events';
import { connect, createServer, type Socket } from 'node:net';

/** Stands between a service and PostgreSQL, passes everything on, and can cut in at a moment that does not depend on the machine's pace. */
export type DatabaseBetween = {
  /** The same login by way of here. */
  urlOf: (url: string) => string;
  /** Cuts in once: instead of passing on the piece of which `moment` says yes, `then` happens, and all connections break. */
  cutWhen: (moment: (piece: Piece) => boolean, then: () => void) => void;
  /** Whatever was not cut yet is not cut any more. */
  leaveAlone: () => void;
  close: () => void;
};
export type Piece = {
  /** Counted from `cutWhen` on, over all connections and both directions. */
  number: number;
  /** The answer to the COMMIT of a transaction that has written history: it is done, and the service does not know it yet. */
  committed: boolean;
};

export async function databaseBetween(port: number): Promise<DatabaseBetween> {
  const sockets = new Set<Socket>();
  let number = 0;
  let armed: { moment: (piece: Piece) => boolean; then: () => void } | null = null;

  /** False: the piece is held back. */
  function passes(committed: boolean): boolean {
    number += 1;
    if (!armed?.moment({ number, committed })) return true;
    const { then } = armed;
    armed = null;
    then();
    for (const socket of sockets) socket.destroy();
    return false;
  }

  const server = createServer((client) => {
    const behind = connect(port, '127.0.0.1');
    let wrote = false;
    for (const [socket, other] of [
      [client, behind],
      [behind, client],
    ] as const) {
      sockets.add(socket);
      socket.on('error', () => {}); // the other end is told by the close
      socket.on('close', () => {
        sockets.delete(socket);
        other.destroy();
      });
      socket.on('data', (piece) => {
        const fromService = socket === client;
        if (fromService && piece.includes('append_history')) wrote = true;
        const committed = !fromService && wrote && piece.includes('COMMIT\0');
        if (committed) wrote = false;
        if (passes(committed)) other.write(piece);
      });
    }
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return {
    urlOf: (url) => {
      const here = new URL(url);
      here.port = String(address.port);
      return here.href;
    },
    cutWhen: (moment, then) => {
      number = 0;
      armed = { moment, then };
    },
    leaveAlone: () => {
      armed = null;
    },
    close: () => {
      server.close();
      for (const socket of sockets) socket.destroy();
    },
  };
}
