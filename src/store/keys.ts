import type { JWK } from 'jose';
import type { SigningKey, SigningKeys } from '../auth/tokens.ts';
import { ok } from '../domain/foundation/result.ts';
import type { Database, Tx } from './database.ts';

const DAY_MS = 86_400_000;
const SIGNS_MS = 30 * DAY_MS;
const AHEAD_MS = 2 * DAY_MS; // published so long before it signs
const SHOWN_AFTER_MS = DAY_MS; // longer than any token lives

/** Signing keys, shared by every process: each signs for 30 days, is shown two days before, and until its last token is gone. */
export function keysStore(db: Database): SigningKeys {
  return {
    usable: async (make) => {
      const current = await db.read(NOBODY, readKeys);
      if (covered(current, db.now())) return current;
      const fresh = await make();
      const rotated = await db.transaction(NOBODY, async (tx) => {
        await tx.sql.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended('roofbook signing keys', 0))`;
        const known = await readKeys(tx);
        if (covered(known, tx.now)) return ok(known);
        const lastUntil = known.reduce((until, key) => (key.signsUntil > until ? key.signsUntil : until), tx.now);
        const signsUntil = new Date(lastUntil.getTime() + SIGNS_MS);
        await tx.sql.$executeRaw`
          INSERT INTO signing_key (kid, public_jwk, private_jwk, created_at, signs_from, signs_until, shown_until)
          VALUES (${fresh.kid}, ${JSON.stringify(fresh.publicJwk)}, ${JSON.stringify(fresh.privateJwk)}, ${tx.now}, ${lastUntil}, ${signsUntil},
            ${new Date(signsUntil.getTime() + SHOWN_AFTER_MS)})`;
        await tx.sql.$executeRaw`DELETE FROM signing_key WHERE shown_until < ${tx.now}`;
        return ok(await readKeys(tx));
      });
      if (!rotated.ok) throw new Error('keys rotate or throw');
      return covered(rotated.value, db.now()) ? rotated.value : keysStore(db).usable(make);
    },
  };
}

const NOBODY = { orgId: null, personId: null };

/** Somebody signs now and for the next two days. */
const covered = (keys: readonly SigningKey[], now: Date): boolean =>
  keys.some(({ signsFrom, signsUntil }) => signsFrom <= now && now < signsUntil) &&
  keys.some(({ signsUntil }) => signsUntil.getTime() > now.getTime() + AHEAD_MS);

async function readKeys(tx: Tx): Promise<SigningKey[]> {
  const rows = await tx.sql.$queryRaw<{ kid: string; public_jwk: string; private_jwk: string; signs_from: Date; signs_until: Date }[]>`
    SELECT kid, public_jwk, private_jwk, signs_from, signs_until FROM signing_key WHERE shown_until > ${tx.now} ORDER BY signs_from`;
  return rows.map((row) => ({
    kid: row.kid,
    publicJwk: JSON.parse(row.public_jwk) as JWK,
    privateJwk: JSON.parse(row.private_jwk) as JWK,
    signsFrom: row.signs_from,
    signsUntil: row.signs_until,
  }));
}
