import type { FastifyInstance } from 'fastify';
import { ProblemError } from '../problem.ts';

/** Whose e-mail address and password these are, in about the same time whether or not there is such a person. */
export async function personSigningIn(
  { store, passwords }: FastifyInstance,
  { email, password }: { email: string; password: string },
): Promise<{ personId: string }> {
  const known = await store.accounts.credentials({ email });
  if (!(await passwords.matches(known?.passwordHash ?? null, password)) || !known) throw new ProblemError({ code: 'wrong-credentials' });
  if (passwords.needsRehash(known.passwordHash))
    await store.accounts.rehash(known.personId, known.passwordHash, await passwords.hash(password));
  return { personId: known.personId };
}
