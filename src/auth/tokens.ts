import { exportJWK, generateKeyPair, importJWK, jwtVerify, SignJWT, type CryptoKey, type JWK } from 'jose';

/** Marks an API key, so that one found in a log or a repository is recognised. */
export const API_KEY_PREFIX = 'rbk_';
export const ACCESS_TOKEN_S = 600;
const AUDIENCE = 'roofbook-api';
const TYPE = 'at+jwt';
const ALGORITHM = 'EdDSA';

export type SigningKey = { kid: string; publicJwk: JWK; privateJwk: JWK; signsFrom: Date; signsUntil: Date };
/** Where signing keys are kept, shared by every process. `current` makes and rotates them as time goes by. */
export type SigningKeys = {
  /** Every key whose tokens may still be about, with a successor published ahead of its use. */
  usable: (make: () => Promise<Pick<SigningKey, 'kid' | 'publicJwk' | 'privateJwk'>>) => Promise<SigningKey[]>;
};
/** All that an access token says: roles are read at each request. */
export type TokenSubject = { readonly personId: string; readonly sessionId: string };
export type Tokens = {
  sign: (subject: TokenSubject) => Promise<string>;
  verify: (token: string) => Promise<TokenSubject | null>;
  jwks: () => Promise<{ keys: JWK[] }>;
};

const REREAD_MS = 60_000;
const REREAD_FOR_UNKNOWN_MS = 5_000; // a flood of tokens with made-up keys must not become a flood of queries

/**
 * Short-lived access tokens, signed with Ed25519. Only our own keys count, whatever a token's header says.
 * @source RFC 8725 (JWT best practices), RFC 9068 (typ at+jwt), RFC 8037 (EdDSA)
 */
export function createTokens({ keys, now, issuer }: { keys: SigningKeys; now: () => Date; issuer: string }): Tokens {
  let known: { atMs: number; list: SigningKey[] } | null = null;
  const imported = new Map<string, { publicKey: CryptoKey; privateKey: CryptoKey }>();

  const read = async (): Promise<SigningKey[]> => {
    const list = await keys.usable(makeKey);
    for (const { kid, publicJwk, privateJwk } of list) {
      if (imported.has(kid)) continue;
      imported.set(kid, {
        publicKey: (await importJWK(publicJwk, ALGORITHM)) as CryptoKey,
        privateKey: (await importJWK(privateJwk, ALGORITHM)) as CryptoKey,
      });
    }
    known = { atMs: now().getTime(), list };
    return list;
  };
  const readSince = async (olderMs: number): Promise<SigningKey[]> =>
    known !== null && Math.abs(now().getTime() - known.atMs) < olderMs ? known.list : read();
  const usable = (): Promise<SigningKey[]> => readSince(REREAD_MS);

  return {
    async sign({ personId, sessionId }) {
      const list = await usable();
      const at = now(); // after the keys were read: a first key begins at its making
      const key = list.find(({ signsFrom, signsUntil }) => signsFrom <= at && at < signsUntil);
      if (!key) throw new Error('no signing key is in its time');
      const atS = Math.floor(at.getTime() / 1000);
      return new SignJWT({ sid: sessionId })
        .setProtectedHeader({ alg: ALGORITHM, kid: key.kid, typ: TYPE })
        .setSubject(personId)
        .setIssuer(issuer)
        .setAudience(AUDIENCE)
        .setIssuedAt(atS)
        .setNotBefore(atS)
        .setExpirationTime(atS + ACCESS_TOKEN_S)
        .sign(imported.get(key.kid)!.privateKey);
    },
    async verify(token) {
      try {
        const { payload } = await jwtVerify(
          token,
          async ({ kid }) => {
            let list = await usable();
            if (!list.some((key) => key.kid === kid)) list = await readSince(REREAD_FOR_UNKNOWN_MS); // published since, elsewhere
            const key = list.some((one) => one.kid === kid) ? imported.get(kid!) : undefined;
            if (!key) throw new Error('not a key of ours');
            return key.publicKey;
          },
          {
            algorithms: [ALGORITHM],
            issuer,
            audience: AUDIENCE,
            typ: TYPE,
            currentDate: now(),
            requiredClaims: ['sub', 'sid', 'exp', 'nbf', 'iat'],
          },
        );
        return typeof payload.sub === 'string' && typeof payload.sid === 'string'
          ? { personId: payload.sub, sessionId: payload.sid }
          : null;
      } catch {
        return null;
      }
    },
    async jwks() {
      return { keys: (await usable()).map(({ publicJwk }) => publicJwk) };
    },
  };
}

async function makeKey() {
  const { publicKey, privateKey } = await generateKeyPair(ALGORITHM, { extractable: true });
  const kid = crypto.randomUUID();
  const common = { kid, use: 'sig', alg: ALGORITHM };
  return { kid, publicJwk: { ...(await exportJWK(publicKey)), ...common }, privateJwk: { ...(await exportJWK(privateKey)), ...common } };
}
