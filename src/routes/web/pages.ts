import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyPluginAsync, FastifyReply } from 'fastify';

/** Of dist/ when bundled, of src/routes/web when run as it is. */
const FOLDERS = ['web', '../../../dist/web'].map((path) => join(import.meta.dirname, path));

/** Every address of the browser client; all else stays not found. The client's own router knows the same. */
const APP_ADDRESSES = [
  '/',
  '/sign-in',
  '/sign-up',
  '/join',
  '/new-password',
  '/desk',
  '/tour',
  '/venues',
  '/access',
  '/equipment',
  '/people',
  '/spaces/:spaceId',
  '/proposals/:proposalId',
];
const LOAD_IN_ADDRESSES = ['/load-in/:proposalId'];

/** The one style that the component library adds to a page at run time: touch-action on what can be pressed. */
const LIBRARY_STYLE = "'sha256-38RhXrc7EdReTKsOm23ZPOCUgniTUUcjky8QOOrQx6o='";
const PAGE_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  `style-src 'self' ${LIBRARY_STYLE}`,
  "img-src 'self' data:",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');

/** The built browser client: pages that are asked for anew each time, and files whose names change with their content. */
export const pagesRoutes: FastifyPluginAsync = async (app) => {
  const root = FOLDERS.find((folder) => existsSync(join(folder, 'index.html')));
  if (root === undefined) return; // not built: the API serves without it
  await app.register(fastifyStatic, { root, serve: false, preCompressed: true, cacheControl: false });
  const options = { config: { open: true }, schema: { hide: true } };

  const page = (reply: FastifyReply, file: string) =>
    reply.headers({ 'content-security-policy': PAGE_POLICY, 'cache-control': 'no-cache' }).sendFile(file);
  for (const address of APP_ADDRESSES) app.get(address, options, (_request, reply) => page(reply, 'index.html'));
  for (const address of LOAD_IN_ADDRESSES) app.get(address, options, (_request, reply) => page(reply, 'load-in.html'));
  app.get<{ Params: { '*': string } }>('/assets/*', options, (request, reply) =>
    reply.header('cache-control', 'public, max-age=31536000, immutable').sendFile(`assets/${request.params['*']}`),
  );
  for (const file of ['load-in-worker.js', 'icon.svg'])
    app.get(`/${file}`, options, (_request, reply) => reply.header('cache-control', 'no-cache').sendFile(file));
};
