import { hash } from '@node-rs/argon2';
import { expect, test } from 'vitest';
import { createPasswords, HASH_COST, passwordFault } from '../../src/auth/passwords.ts';

const CHEAP = { memoryKib: 8, passes: 1 };

test('the cost of the service is above the minimum for Argon2id', () => {
  // OWASP Password Storage Cheat Sheet: m = 19 MiB (19456 KiB), t = 2, p = 1 at the least.
  expect(HASH_COST.memoryKib).toBeGreaterThanOrEqual(19_456);
  expect(HASH_COST.passes).toBeGreaterThanOrEqual(2);
});

test('a password matches its own hash, and nobody matches an unknown person', async () => {
  const passwords = createPasswords(CHEAP);
  const stored = await passwords.hash('a long test phrase');
  expect(stored).toMatch(/^\$argon2id\$v=19\$m=8,t=1,p=1\$/);
  expect(await passwords.matches(stored, 'a long test phrase')).toBe(true);
  expect(await passwords.matches(stored, 'a long test phrasE')).toBe(false);
  expect(await passwords.matches(null, 'nobody has this password')).toBe(false);
});

test('a hash is made anew when the parameters have risen, and not when they have fallen', async () => {
  const [cheap, dear] = [createPasswords(CHEAP), createPasswords({ memoryKib: 16, passes: 2 })];
  expect(dear.needsRehash(await cheap.hash('a long test phrase'))).toBe(true);
  expect(dear.needsRehash(await dear.hash('a long test phrase'))).toBe(false);
  expect(cheap.needsRehash(await dear.hash('a long test phrase'))).toBe(false);
  const others = await hash('a long test phrase', { memoryCost: 16, timeCost: 2, parallelism: 2 });
  expect(dear.needsRehash(others)).toBe(true);
});

test('beyond four at once and a hundred waiting, more is refused as too busy', async () => {
  const passwords = createPasswords(CHEAP);
  const outcomes = await Promise.allSettled(Array.from({ length: 106 }, () => passwords.hash('a long test phrase')));
  const refused = outcomes.flatMap((outcome) => (outcome.status === 'rejected' ? [outcome.reason as Error] : []));
  expect(refused.map(({ name }) => name)).toEqual(['TooBusy', 'TooBusy']);
  await expect(passwords.hash('a long test phrase')).resolves.toContain('argon2id'); // and it recovers
});

test.each([
  ['nine char', 'at least 10 characters'],
  ['x'.repeat(100) + 'abcdefghijklmnopqrstuvwxyzabcd', 'at most 128 characters'],
  ['ines.van@hall.example', 'something else than the e-mail address'],
  ['password1234!', 'something that is not among the first to be guessed'],
  ['abababababab', 'something that is not among the first to be guessed'],
])('%s is refused', (password, why) => {
  expect(passwordFault(password, 'Ines.Van@hall.example')).toBe(why);
});

test('length counts, not kinds of characters', () => {
  expect(passwordFault('rain on the tin roof', 'a@b.example')).toBeNull();
  expect(passwordFault('ゆきやこんこあられやこんこ', 'a@b.example')).toBeNull();
});
