import { createHash, randomBytes } from 'node:crypto';

/** 256 bits that nobody guesses. */
export const secretText = (): string => randomBytes(32).toString('base64url');
/** What is kept of a secret. */
export const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');
