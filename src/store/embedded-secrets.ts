import { randomBytes } from 'node:crypto';
import { link, open, readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';

const Secrets = z.strictObject({ superuser: z.string(), owner: z.string(), app: z.string(), worker: z.string() });
/** Passwords of the four logins. They never leave this machine: the server listens on loopback only. */
export type Secrets = z.infer<typeof Secrets>;

/** Reads the passwords of this data folder, or makes them once. */
export async function readOrMakeSecrets(dataDir: string): Promise<Secrets> {
  const path = join(dataDir, 'passwords.json');
  const text = await readFile(path, 'utf8').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null;
    throw error;
  });
  if (text !== null) return Secrets.parse(JSON.parse(text));
  const password = () => randomBytes(32).toString('base64url');
  const made: Secrets = { superuser: password(), owner: password(), app: password(), worker: password() };
  // Whole or not at all, and the first of two starts wins: a hard link fails where the name exists.
  const unfinished = `${path}.making-${process.pid}`;
  await writeSecret(unfinished, JSON.stringify(made));
  await link(unfinished, path).catch((error: NodeJS.ErrnoException) => {
    if (error.code !== 'EEXIST') throw error;
  });
  await rm(unfinished);
  return Secrets.parse(JSON.parse(await readFile(path, 'utf8')));
}

/** Readable by its owner alone from the first byte, and on the disk before it has its name. */
export async function writeSecret(path: string, text: string): Promise<void> {
  const file = await open(path, 'w', 0o600);
  try {
    await file.writeFile(text);
    await file.sync();
  } finally {
    await file.close();
  }
}
