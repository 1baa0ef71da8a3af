import { hash, verify } from '@node-rs/argon2';

/** Argon2id at 64 MiB and 3 passes: above the minimum that OWASP asks (19 MiB, 2 passes). Tests take less. */
export type HashCost = { readonly memoryKib: number; readonly passes: number };
export const HASH_COST: HashCost = { memoryKib: 64 * 1024, passes: 3 };

const AT_ONCE = 4; // 256 MiB at the most
const QUEUE = 100;

export class TooManyHashes extends Error {
  override readonly name = 'TooBusy';
}

export type Passwords = {
  hash: (password: string) => Promise<string>;
  /** Takes as long for an unknown person (null) as for a wrong password. */
  matches: (stored: string | null, password: string) => Promise<boolean>;
  /** Hashed more cheaply than is asked for now. */
  needsRehash: (stored: string) => boolean;
};

const PARAMETERS = /^\$argon2id\$v=19\$m=(\d+),t=(\d+),p=1\$/;

export function createPasswords(cost: HashCost = HASH_COST): Passwords {
  const options = { memoryCost: cost.memoryKib, timeCost: cost.passes, parallelism: 1 }; // Argon2id is the library's default
  let running = 0;
  const waiting: (() => void)[] = [];
  const gated = async <T>(work: () => Promise<T>): Promise<T> => {
    if (running >= AT_ONCE) {
      if (waiting.length >= QUEUE) throw new TooManyHashes();
      await new Promise<void>((resolve) => waiting.push(resolve));
    } else running += 1;
    try {
      return await work();
    } finally {
      const next = waiting.shift();
      if (next) next();
      else running -= 1;
    }
  };
  const dummy = hash('nobody has this password', options);
  return {
    hash: (password) => gated(() => hash(password, options)),
    matches: (stored, password) =>
      gated(async () => {
        const matched = await verify(stored ?? (await dummy), password);
        return stored !== null && matched;
      }),
    needsRehash: (stored) => {
      const [, memoryKib, passes] = PARAMETERS.exec(stored) ?? [];
      return !(Number(memoryKib) >= cost.memoryKib && Number(passes) >= cost.passes);
    },
  };
}

const COMMON = new Set([
  'password',
  'passwort',
  'letmein',
  'welcome',
  'iloveyou',
  'administrator',
  'qwertyuiop',
  'changeme',
  'roofbook',
  '1234567890',
  '0123456789',
  'abcdefghij',
]);
const SHORTEST = 10;
const LONGEST = 128;

/** What is wrong with a new password, in words, or null. Length counts; no rules about kinds of characters. */
export function passwordFault(password: string, email: string): string | null {
  if ([...password].length < SHORTEST) return `at least ${SHORTEST} characters`;
  if (password.length > LONGEST) return `at most ${LONGEST} characters`;
  const plain = password.toLowerCase();
  const mailbox = email.toLowerCase().split('@')[0] ?? '';
  if (plain === email.toLowerCase() || plain === mailbox) return 'something else than the e-mail address';
  const core = plain.replace(/[\d\W_]+$/, '').replace(/^[\d\W_]+/, '');
  if (COMMON.has(plain) || COMMON.has(core) || new Set(plain).size < 4) return 'something that is not among the first to be guessed';
  return null;
}
