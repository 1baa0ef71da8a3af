import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { passwordFault } from '../../auth/passwords.ts';
import { EVERY_ROLE } from '../../auth/roles.ts';
import { ACCESS_TOKEN_S } from '../../auth/tokens.ts';
import { ProblemError } from '../problem.ts';
import { Id, Name } from '../schemas/common.ts';

export const Email = z.email().max(254).toLowerCase();
export const Password = z.string().min(1).max(1000);
export const OneTimeToken = z.string().min(20).max(200);
export const OrgKindSchema = z.enum(['venueOperator', 'production', 'supplier']);
export const Roles = z
  .array(z.enum(EVERY_ROLE))
  .min(1)
  .refine((roles) => new Set(roles).size === roles.length, 'each role once');

export const SignUpBody = z
  .strictObject({ email: Email, displayName: Name, password: Password, organisation: z.strictObject({ name: Name, kind: OrgKindSchema }) })
  .meta({
    examples: [
      {
        email: 'ines.vantongeren@harbour-hall.example',
        displayName: 'Ines van Tongeren',
        password: 'long enough to be safe',
        organisation: { name: 'Harbour Hall', kind: 'venueOperator' },
      },
    ],
  });
export const SignInBody = z
  .strictObject({ email: Email, password: Password })
  .meta({ examples: [{ email: 'ines.vantongeren@harbour-hall.example', password: 'long enough to be safe' }] });

export const TokensView = z
  .object({ accessToken: z.string(), expiresInS: z.int(), refreshToken: z.string(), personId: Id })
  .meta({ id: 'Tokens', description: 'The refresh token is good once; each use gives the next. One that comes twice ends the session.' });

export async function tokensOf(app: FastifyInstance, personId: string, sessionId: string, refreshToken: string) {
  return { accessToken: await app.tokens.sign({ personId, sessionId }), expiresInS: ACCESS_TOKEN_S, refreshToken, personId };
}

/** What a session is recognised by in the list of one's own. */
export const clientOf = (headers: Record<string, unknown>): string =>
  typeof headers['user-agent'] === 'string' ? headers['user-agent'].slice(0, 200) : '';

export function refuseWeak(password: string, email: string, pointer = '/password'): void {
  const fault = passwordFault(password, email);
  if (fault) throw new ProblemError({ code: 'password-too-weak', errors: [{ pointer, message: fault }] });
}
