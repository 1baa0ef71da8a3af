import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyPluginAsync, FastifyReply } from 'fastify';

/** Of dist/ when bundled, of src/routes/web when run as it is. */
const FOLDERS = ['web', '../../../dist/web'].map((path) => join(import.meta.dirname, path));

/** Every address of the browser client, with the page that it opens; all else stays not found. The client's own router knows the same. */
const APP_ADDRESSES: Record<string, string | null> = {
  '/': null,
  '/sign-in': null,
  '/sign-up': null,
  '/join': null,
  '/new-password': null,
  '/desk': 'pages/DeskPage.tsx',
  '/tour': 'pages/tour/TourPage.tsx',
  '/venues': 'pages/VenuesPage.tsx',
  '/access': 'pages/access/AccessPage.tsx',
  '/equipment': 'pages/equipment/EquipmentPage.tsx',
  '/people': 'pages/people/PeoplePage.tsx',
  '/spaces/:spaceId': 'pages/space/SpacePage.tsx',
  '/proposals/:proposalId': 'pages/proposal/ProposalPage.tsx',
};
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

type BuiltFiles = Record<string, { file: string; imports?: string[] }>;

/** The scripts behind what is asked for only once the first script runs, so that they are fetched together with it. */
function preloads(files: BuiltFiles, wanted: readonly string[]): string {
  const found = new Set<string>();
  const visit = (name: string): void => {
    const built = files[name];
    if (built === undefined) throw new Error(`the browser client is built without ${name}`);
    if (found.has(built.file)) return;
    found.add(built.file);
    for (const imported of built.imports ?? []) visit(imported);
  };
  for (const name of wanted) visit(name);
  return [...found].map((file) => `</${file}>; rel=modulepreload`).join(', ');
}

/** The built browser client: pages that are asked for anew each time, and files whose names change with their content. */
export const pagesRoutes: FastifyPluginAsync = async (app) => {
  const root = FOLDERS.find((folder) => existsSync(join(folder, 'files.json')));
  if (root === undefined) return; // not built: the API serves without it
  await app.register(fastifyStatic, { root, serve: false, preCompressed: true, cacheControl: false });
  const options = { config: { open: true }, schema: { hide: true } };

  const page = (reply: FastifyReply, file: string) =>
    reply.headers({ 'content-security-policy': PAGE_POLICY, 'cache-control': 'no-cache' }).sendFile(file);
  const files = JSON.parse(readFileSync(join(root, 'files.json'), 'utf8')) as BuiltFiles;
  for (const [address, opened] of Object.entries(APP_ADDRESSES)) {
    const link = preloads(files, ['index.html', 'render.tsx', ...(opened === null ? [] : [opened])]);
    app.get(address, options, (_request, reply) => page(reply.header('link', link), 'index.html'));
  }
  for (const address of LOAD_IN_ADDRESSES) app.get(address, options, (_request, reply) => page(reply, 'load-in.html'));
  app.get<{ Params: { '*': string } }>('/assets/*', options, (request, reply) =>
    reply.header('cache-control', 'public, max-age=31536000, immutable').sendFile(`assets/${request.params['*']}`),
  );
  for (const file of ['load-in-worker.js', 'icon.svg'])
    app.get(`/${file}`, options, (_request, reply) => reply.header('cache-control', 'no-cache').sendFile(file));
};
