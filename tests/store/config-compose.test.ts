import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { readConfig } from '../../src/config.ts';
import { exists } from '../../src/store/embedded-binaries.ts';

const ROOT = join(import.meta.dirname, '../..');
const read = (path: string) => readFile(join(ROOT, path), 'utf8');

const Compose = z.object({
  services: z.record(
    z.string(),
    z.object({
      image: z.string(),
      build: z.string().optional(),
      command: z.array(z.string()).optional(),
      environment: z.record(z.string(), z.string()).default({}),
      depends_on: z.record(z.string(), z.object({ condition: z.enum(['service_healthy', 'service_completed_successfully']) })).default({}),
      healthcheck: z.object({ test: z.array(z.string()), interval: z.string(), timeout: z.string() }).optional(),
      ports: z.array(z.string()).default([]),
      volumes: z.array(z.string()).default([]),
    }),
  ),
  volumes: z.record(z.string(), z.null()),
});
/** With every ${NAME:-default} at its default, as Compose reads it on a machine that sets nothing. */
async function compose(): Promise<z.infer<typeof Compose>> {
  const text = (await read('docker-compose.yml')).replace(/\$\{\w+:-([^}]*)\}/g, '$1');
  expect(text).not.toContain('${');
  return Compose.parse(parse(text, { merge: true }));
}
const serviceOf = async (name: string) => {
  const service = (await compose()).services[name];
  if (!service) throw new Error(`no service ${name}`);
  return service;
};
const APPS = ['app-1', 'app-2'];

test('there are a database, two application processes and one address before them', async () => {
  const { services } = await compose();
  expect(Object.keys(services).sort()).toEqual([...APPS, 'database', 'proxy', 'roles'].sort());
  const published = Object.entries(services).filter(([, { ports }]) => ports.length > 0);
  expect(published.map(([name]) => name)).toEqual(['proxy']);
});

test('whatever stays up has a health check, and whoever waits for another waits for that', async () => {
  const { services } = await compose();
  for (const [name, { healthcheck, depends_on }] of Object.entries(services)) {
    if (name !== 'roles') expect(healthcheck?.test[0], name).toBe('CMD');
    for (const [other, { condition }] of Object.entries(depends_on))
      expect(condition, `${name} on ${other}`).toBe(other === 'roles' ? 'service_completed_successfully' : 'service_healthy');
    for (const other of Object.keys(depends_on)) expect(services).toHaveProperty(other);
  }
  expect((await serviceOf('roles')).depends_on).toHaveProperty('database');
  for (const app of APPS) expect((await serviceOf(app)).depends_on).toHaveProperty('roles');
  expect(Object.keys((await serviceOf('proxy')).depends_on).sort()).toEqual(APPS);
});

test("both processes' settings are ones that the service starts with, and the logins are those that are made", async () => {
  const roles = await serviceOf('roles');
  for (const app of APPS) {
    const { environment } = await serviceOf(app);
    const config = readConfig(environment);
    expect(config, app).toMatchObject({
      ok: true,
      value: {
        port: 3000,
        host: '0.0.0.0',
        publicUrl: 'http://localhost:8080',
        database: { kind: 'server', appUrl: roles.environment.DATABASE_URL },
      },
    });
    expect(environment.MIGRATION_DATABASE_URL).toBe(roles.environment.MIGRATION_DATABASE_URL);
  }
  const admin = new URL(roles.environment.ADMIN_DATABASE_URL ?? '');
  expect(admin.password).toBe((await serviceOf('database')).environment.POSTGRES_PASSWORD);
  expect([new URL(roles.environment.DATABASE_URL ?? '').hostname, admin.hostname]).toEqual(['database', 'database']);
});

test('the proxy passes to both processes, on the port they listen on', async () => {
  const nginx = await read('deploy/nginx.conf');
  const upstreams = [...nginx.matchAll(/^\s*server (\S+) resolve /gm)].map(([, address]) => address);
  expect(upstreams).toEqual(APPS.map((app) => `${app}:3000`));
  const proxy = await serviceOf('proxy');
  const listens = /listen (\d+);/.exec(nginx)?.[1];
  expect(proxy.ports).toEqual([`127.0.0.1:8080:${listens}`]);
  for (const volume of proxy.volumes) expect(await exists(join(ROOT, volume.split(':')[0] ?? '')), volume).toBe(true);
});

test('the image copies what exists, and runs what the build makes', async () => {
  const dockerfile = await read('Dockerfile');
  const ignored = await read('.dockerignore');
  const fromHere = [...dockerfile.matchAll(/^COPY (?!--from)(.+)$/gm)].flatMap(([, paths]) => (paths ?? '').split(' ').slice(0, -1));
  expect(fromHere).toContain('package-lock.json');
  for (const path of fromHere) {
    expect(await exists(join(ROOT, path)), path).toBe(true);
    expect(ignored.split('\n'), path).toContain(`!${path}`);
  }
  const build = await read('scripts/build.mjs');
  for (const entry of ['main', 'make-roles']) expect(build).toMatch(new RegExp(`'?${entry}'?: 'src/${entry}\\.ts'`));
  expect(dockerfile).toMatch(/CMD \["node", .*"dist\/main\.js"\]/);
  expect((await serviceOf('roles')).command).toEqual(['node', 'dist/make-roles.js']);
});
