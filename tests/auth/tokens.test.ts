import { createHmac, generateKeyPairSync, randomUUID } from 'node:crypto';
import { base64url, exportJWK, importJWK, SignJWT } from 'jose';
import { beforeEach, expect, test } from 'vitest';
import { ACCESS_TOKEN_S, createTokens, type SigningKey, type Tokens } from '../../src/auth/tokens.ts';

const ISSUER = 'https://rigging.example';
const SUBJECT = { personId: randomUUID(), sessionId: randomUUID() };
const START = new Date('2026-06-01T12:00:00.000Z');

let clock: Date;
let reads: number;
let kept: SigningKey[];
let tokens: Tokens;
let good: string;
beforeEach(async () => {
  [clock, reads, kept] = [START, 0, []];
  tokens = createTokens({
    issuer: ISSUER,
    now: () => clock,
    keys: {
      usable: async (make) => {
        reads += 1;
        if (kept.length === 0) kept = [{ ...(await make()), signsFrom: START, signsUntil: new Date('2026-07-01T12:00:00.000Z') }];
        return kept;
      },
    },
  });
  good = await tokens.sign(SUBJECT);
});

const partsOf = (token: string) => token.split('.') as [string, string, string];
const decoded = (part: string) => JSON.parse(new TextDecoder().decode(base64url.decode(part))) as Record<string, unknown>;
const encoded = (value: unknown) => base64url.encode(JSON.stringify(value));

/** A token signed with our own key, that is otherwise wrong: each check must hold by itself. */
async function ours(claims: Record<string, unknown>, header: Record<string, unknown> = {}): Promise<string> {
  const [goodHeader, goodClaims] = partsOf(good).slice(0, 2).map(decoded) as [Record<string, unknown>, Record<string, unknown>];
  const key = await importJWK(kept[0]!.privateJwk, 'EdDSA');
  return new SignJWT({ ...goodClaims, ...claims })
    .setProtectedHeader({ ...goodHeader, alg: 'EdDSA', ...header })
    .sign(key, { crit: { 'x-more': true } });
}
const atS = START.getTime() / 1000;

test('a token says who and which session, and nothing of roles', async () => {
  expect(await tokens.verify(good)).toEqual(SUBJECT);
  const [header, claims] = partsOf(good).slice(0, 2).map(decoded);
  expect(header).toEqual({ alg: 'EdDSA', kid: kept[0]!.kid, typ: 'at+jwt' });
  expect(claims).toEqual({
    sub: SUBJECT.personId,
    sid: SUBJECT.sessionId,
    iss: ISSUER,
    aud: 'roofbook-api',
    iat: atS,
    nbf: atS,
    exp: atS + ACCESS_TOKEN_S,
  });
});

test('the tests can sign: with nothing changed our key makes a good token', async () => {
  expect(await tokens.verify(await ours({}))).toEqual(SUBJECT);
});

test('it lives ten minutes', async () => {
  clock = new Date(START.getTime() + 600_000 - 1000);
  expect(await tokens.verify(good)).toEqual(SUBJECT);
  clock = new Date(START.getTime() + 600_000);
  expect(await tokens.verify(good)).toBeNull();
});

test.each<[string, Record<string, unknown>, Record<string, unknown>]>([
  ['for another audience', { aud: 'another-api' }, {}],
  ['without audience', { aud: undefined }, {}],
  ['by another issuer', { iss: 'https://elsewhere.example' }, {}],
  ['without issuer', { iss: undefined }, {}],
  ['run out', { exp: atS - 1 }, {}],
  ['without an end', { exp: undefined }, {}],
  ['whose end is text', { exp: '9999999999' }, {}],
  ['not good yet', { nbf: atS + 60 }, {}],
  ['without a beginning', { nbf: undefined }, {}],
  ['without an instant of issue', { iat: undefined }, {}],
  ['of nobody', { sub: undefined }, {}],
  ['of a number', { sub: 7 }, {}],
  ['of no session', { sid: undefined }, {}],
  ['whose session is a list', { sid: ['a'] }, {}],
  ['of another type', {}, { typ: 'JWT' }],
  ['without type', {}, { typ: undefined }],
  ['of an unknown key', {}, { kid: 'another' }],
  ['of no key', {}, { kid: undefined }],
  ['with an extension that must be understood', {}, { crit: ['x-more'], 'x-more': true }],
])('a token %s is refused', async (_what, claims, header) => {
  expect(await tokens.verify(await ours(claims, header))).toBeNull();
});

test('a token without signature is refused, however none is spelled', async () => {
  const [, claims, signature] = partsOf(good);
  for (const alg of ['none', 'None', 'NONE', 'nOnE', '']) {
    const header = encoded({ alg, kid: kept[0]!.kid, typ: 'at+jwt' });
    for (const end of ['', signature]) expect(await tokens.verify(`${header}.${claims}.${end}`), alg).toBeNull();
  }
});

test('our public key is not taken for a shared secret', async () => {
  const [, claims] = partsOf(good);
  const { publicJwk } = kept[0]!;
  for (const secret of [base64url.decode(publicJwk.x!), JSON.stringify(publicJwk), publicJwk.x!]) {
    const signed = `${encoded({ alg: 'HS256', kid: publicJwk.kid, typ: 'at+jwt' })}.${claims}`;
    const mac = createHmac('sha256', secret).update(signed).digest('base64url');
    expect(await tokens.verify(`${signed}.${mac}`)).toBeNull();
  }
});

test('a key that the token brings along, or points to, is not used', async () => {
  const stranger = generateKeyPairSync('ed25519');
  const jwk = await exportJWK(stranger.publicKey);
  const claims = decoded(partsOf(good)[1]);
  const { kid } = kept[0]!;
  for (const brought of [{ jwk }, { jku: 'https://elsewhere.example/jwks.json' }, { x5u: 'https://elsewhere.example/x' }, {}]) {
    const forged = await new SignJWT(claims).setProtectedHeader({ alg: 'EdDSA', kid, typ: 'at+jwt', ...brought }).sign(stranger.privateKey);
    expect(await tokens.verify(forged)).toBeNull();
  }
});

test('RSA and ECDSA signatures are refused whatever key made them', async () => {
  const claims = decoded(partsOf(good)[1]);
  const { kid } = kept[0]!;
  const rsa = generateKeyPairSync('rsa', { modulusLength: 2048 });
  const ec = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  for (const [alg, { privateKey }] of [
    ['RS256', rsa],
    ['PS256', rsa],
    ['ES256', ec],
  ] as const) {
    const forged = await new SignJWT(claims).setProtectedHeader({ alg, kid, typ: 'at+jwt' }).sign(privateKey);
    expect(await tokens.verify(forged), alg).toBeNull();
  }
});

test('no character of a token can be changed', async () => {
  for (let at = 0; at < good.length; at += 1) {
    if (good[at] === '.') continue;
    // Two letters apart in the alphabet, so that the bits which base64url leaves unused at an end are not all that differs.
    const changed = good[at] === 'A' ? 'Q' : good[at] === 'Q' ? 'g' : 'A';
    const mutant = good.slice(0, at) + changed + good.slice(at + 1);
    const found = await tokens.verify(mutant);
    expect(found, `character ${at}`).toBeNull();
  }
});

test('an edited payload is refused', async () => {
  const [header, claims, signature] = partsOf(good);
  const edited = encoded({ ...decoded(claims), sub: randomUUID() });
  expect(await tokens.verify(`${header}.${edited}.${signature}`)).toBeNull();
});

test('what is no token is refused', async () => {
  for (const text of [
    '',
    '.',
    '..',
    '...',
    'a.b.c',
    good.slice(0, -10),
    `${good}.x`,
    good.split('.').slice(0, 2).join('.'),
    '\u0000',
    'x'.repeat(100_000),
  ])
    expect(await tokens.verify(text)).toBeNull();
});

test('tokens of made-up keys do not each cost a query', async () => {
  const before = reads;
  for (let n = 0; n < 100; n += 1) await tokens.verify(await ours({}, { kid: randomUUID() }));
  expect(reads - before).toBe(0);
  clock = new Date(START.getTime() + 5_000);
  for (let n = 0; n < 100; n += 1) await tokens.verify(await ours({}, { kid: randomUUID() }));
  expect(reads - before).toBe(1);
});
