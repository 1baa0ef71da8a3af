import type { FastifyPluginAsync } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { requireOneself } from '../actor.ts';
import { problems } from '../errors.ts';
import { orProblem, ProblemError } from '../problem.ts';
import { Id } from '../schemas/common.ts';
import { OneTimeToken, OrgKindSchema, Password, refuseWeak } from './schemas.ts';
import { hashOf } from './secrets.ts';

const MeView = z
  .object({
    person: z.object({ id: Id, email: z.string(), displayName: z.string() }),
    memberships: z.array(z.object({ organisationId: Id, organisationName: z.string(), kind: OrgKindSchema, roles: z.array(z.string()) })),
    actingForOrganisationId: Id.nullable(),
  })
  .meta({ id: 'Me' });
const ChangePasswordBody = z
  .strictObject({ currentPassword: Password, newPassword: Password })
  .meta({ examples: [{ currentPassword: 'long enough to be safe', newPassword: 'another one that is long' }] });
const ResetPasswordBody = z
  .strictObject({ token: OneTimeToken, password: Password })
  .meta({ examples: [{ token: 'one-time-text-from-the-link', password: 'another one that is long' }] });

/** One's own account. Neither way to a new password takes an idempotency key: a hash of the body, which holds the password, would be kept. */
export const accountRoutes: FastifyPluginAsync = async (plain) => {
  const app = plain.withTypeProvider<ZodTypeProvider>();
  const tags = ['sign-in'];
  app.get(
    '/auth/me',
    { schema: { operationId: 'getMe', tags, summary: 'Who is signed in', response: { 200: MeView, ...problems(401, 403) } } },
    async (request) => {
      const { personId, actor } = requireOneself(request, 'readAccount');
      const person = await app.store.accounts.person(personId);
      if (!person) throw new ProblemError({ code: 'not-signed-in' });
      const { memberships, ...rest } = person;
      // A key is of one organisation, and tells nothing of the others.
      const shown = actor?.scopes ? memberships.filter(({ orgId }) => orgId === actor.orgId) : memberships;
      return {
        person: rest,
        memberships: shown.map(({ orgId, orgName, orgKind, roles }) => ({
          organisationId: orgId,
          organisationName: orgName,
          kind: orgKind,
          roles,
        })),
        actingForOrganisationId: actor?.orgId ?? null,
      };
    },
  );
  app.post(
    '/auth/password',
    {
      config: { rate: 'signIn' },
      schema: {
        operationId: 'changePassword',
        tags,
        summary: 'Set a new password and end every other session',
        body: ChangePasswordBody,
        response: { 204: z.null(), ...problems(401, 403, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { personId, sessionId } = requireOneself(request, 'changeAccount');
      const { currentPassword, newPassword } = request.body;
      const known = await app.store.accounts.credentials({ personId });
      if (!known || sessionId === null || !(await app.passwords.matches(known.passwordHash, currentPassword)))
        throw new ProblemError({ code: 'wrong-password', errors: [{ pointer: '/currentPassword', message: 'not the present password' }] });
      refuseWeak(newPassword, known.email, '/newPassword');
      const to = await app.passwords.hash(newPassword);
      orProblem(await app.store.accounts.changePassword({ personId, keptSessionId: sessionId, from: known.passwordHash, to }));
      return reply.code(204).send(null);
    },
  );
  app.post(
    '/auth/password-reset',
    {
      config: { open: true, rate: 'signIn' },
      schema: {
        operationId: 'resetPassword',
        tags,
        summary: 'Set a new password by a link that an administrator has made',
        body: ResetPasswordBody,
        response: { 204: z.null(), ...problems(404, 413, 415, 422) },
      },
    },
    async (request, reply) => {
      const { token, password } = request.body;
      const tokenHash = hashOf(token);
      const person = await app.store.accounts.personOfReset(tokenHash);
      if (!person) throw new ProblemError({ code: 'link-not-valid' });
      refuseWeak(password, person.email);
      const passwordHash = await app.passwords.hash(password);
      orProblem(await app.store.accounts.resetPassword({ personId: person.personId, tokenHash, passwordHash }));
      return reply.code(204).send(null);
    },
  );
};
