import { PrismaPg } from '@prisma/adapter-pg';
import { PrismaClient } from './generated/client.ts';

export type Database = PrismaClient;
export type ClientOptions = {
  connectionString: string;
  poolSize: number;
  /** A broken idle connection is replaced at the next use; unheard, its error would end the process. */
  onConnectionLost?: (error: Error) => void;
};

const CONNECT_TIMEOUT_MS = 5000;

/** The application's pool of connections. It connects at the first query; `$disconnect` ends it. */
export const openClient = ({ connectionString, poolSize, onConnectionLost = () => {} }: ClientOptions): Database =>
  new PrismaClient({
    adapter: new PrismaPg(
      { connectionString, max: poolSize, connectionTimeoutMillis: CONNECT_TIMEOUT_MS, keepAlive: true },
      { onPoolError: onConnectionLost, onConnectionError: onConnectionLost },
    ),
  });
