import type { FastifyPluginAsync } from 'fastify';
import { ProblemError } from '../problem.ts';

const VALID_MS = 180 * 86_400_000; // the standard asks for less than a year

/** Whom to tell of a weakness; nothing where no contact is set, because the file may not be without. @source RFC 9116 */
export const securityTxtRoutes: FastifyPluginAsync = async (app) => {
  app.get('/.well-known/security.txt', { config: { open: true }, schema: { hide: true } }, async (_request, reply) => {
    const { securityContact, publicUrl } = app.config;
    if (securityContact === null) throw new ProblemError({ code: 'not-found' });
    const lines = [
      `Contact: ${securityContact}`,
      `Expires: ${new Date(app.now().getTime() + VALID_MS).toISOString()}`,
      'Preferred-Languages: en',
      `Canonical: ${publicUrl}/.well-known/security.txt`,
    ];
    reply.type('text/plain; charset=utf-8').header('cache-control', 'public, max-age=86400').serializer(String);
    return `${lines.join('\n')}\n`;
  });
};
