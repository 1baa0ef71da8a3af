import { expect, test } from 'vitest';
import { readConfig } from '../../src/config.ts';

const DATABASE = {
  DATABASE_URL: 'postgresql://roofbook_app:secret@db:5432/roofbook',
  MIGRATION_DATABASE_URL: 'postgresql://roofbook_owner:secret@db:5432/roofbook',
};
const configOf = (environment: Record<string, string>) => {
  const read = readConfig(environment);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
};
const faultsOf = (environment: Record<string, string>): string[] => {
  const read = readConfig(environment);
  return read.ok ? [] : read.error.map(({ variable }) => variable);
};

test('nothing set is a service for this machine with its own database and the demonstration', () => {
  expect(configOf({})).toMatchObject({
    port: 3000,
    host: '127.0.0.1',
    publicUrl: 'http://localhost:3000',
    database: { kind: 'embedded', dataDir: expect.stringMatching(/[\\/]data$/) as string },
    loadDemo: true,
    trustProxy: false,
    metricsToken: null,
    securityContact: null,
    logLevel: 'info',
  });
});

test('both database logins lead to a server, which gets the demonstration only when asked', () => {
  expect(configOf(DATABASE)).toMatchObject({
    database: { kind: 'server', appUrl: DATABASE.DATABASE_URL, ownerUrl: DATABASE.MIGRATION_DATABASE_URL },
    loadDemo: false,
  });
  expect(configOf({ ...DATABASE, DEMO: 'yes' }).loadDemo).toBe(true);
});

test('one database login without the other names the one that is missing', () => {
  expect(faultsOf({ DATABASE_URL: DATABASE.DATABASE_URL })).toEqual(['MIGRATION_DATABASE_URL']);
  expect(faultsOf({ MIGRATION_DATABASE_URL: DATABASE.MIGRATION_DATABASE_URL })).toEqual(['DATABASE_URL']);
});

test.each([
  ['PORT', ['0', '65536', '3000.5', '3e3', '-1', ' 3000', 'http']],
  ['HOST', ['example', '256.1.1.1', '127.0.0.1:3000']],
  ['PUBLIC_URL', ['example.org', 'http://rigging.example.org', 'https://example.org/app', 'https://a@example.org', 'ftp://example.org']],
  ['DATABASE_URL', ['mysql://a:b@c/d', 'postgresql://localhost/roofbook', 'postgresql://a:b@c', 'roofbook']],
  ['DATABASE_POOL_SIZE', ['1', '201', 'many']],
  ['DEMO', ['true', '1', 'YES']],
  ['TRUST_PROXY', ['10.0.0.0/8, 10.1.0.0/16', ',', 'a;b']],
  ['RATE_LIMIT', ['100', '0/60', '100/0', '100/60s', '1.5/60']],
  ['RATE_LIMIT_SIGN_IN', ['ten']],
  ['RATE_LIMIT_CALCULATIONS', ['50 per second']],
  ['EVENT_STREAMS', ['0', 'many']],
  ['EVENT_STREAMS_PER_PERSON', ['0', '1001']],
  ['METRICS_TOKEN', ['short']],
  ['SECURITY_CONTACT', ['security@example.org', 'http://example.org', 'mailto:nobody', 'https://example.org/a b']],
  ['LOG_LEVEL', ['verbose', 'INFO']],
])('a wrong %s is named', (variable, values) => {
  for (const value of values) expect(faultsOf({ ...DATABASE, [variable]: value }), value).toEqual([variable]);
});

test('every wrong variable is named at once, with what to write and without its value', () => {
  const read = readConfig({ PORT: 'x', LOG_LEVEL: 'y', METRICS_TOKEN: 'hunter2' });
  expect(read).toEqual({
    ok: false,
    error: [
      { variable: 'PORT', mend: expect.stringContaining('3000') as string },
      { variable: 'METRICS_TOKEN', mend: 'at least 32 characters' },
      { variable: 'LOG_LEVEL', mend: expect.stringContaining('warn') as string },
    ],
  });
  expect(JSON.stringify(read)).not.toContain('hunter2');
});

test('good values are read', () => {
  const config = configOf({
    PORT: '8080',
    HOST: '0.0.0.0',
    PUBLIC_URL: 'https://roof.example.org/',
    TRUST_PROXY: '10.0.0.0/8,uniquelocal',
    RATE_LIMIT_SIGN_IN: '5/60',
    DATABASE_POOL_SIZE: '20',
  });
  expect(config).toMatchObject({
    port: 8080,
    host: '0.0.0.0',
    publicUrl: 'https://roof.example.org',
    trustProxy: ['10.0.0.0/8', 'uniquelocal'],
    poolSize: 20,
  });
  expect(config.rateLimits.signIn).toEqual({ requests: 5, windowS: 60 });
});

test('an empty variable counts as absent', () => {
  expect(configOf({ PORT: '', DATABASE_URL: '', MIGRATION_DATABASE_URL: '' }).database.kind).toBe('embedded');
});
