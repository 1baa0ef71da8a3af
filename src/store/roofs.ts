import type { PublishedRoof } from '../domain/roof/structure.ts';
import type { Tx } from './database.ts';

export type KeptRoof = { readonly number: number; readonly roof: PublishedRoof; readonly sha256: string; readonly policySha256: string };

const MOST_KEPT = 50; // a roof of 2,000 points is about 3 MB parsed, and 1 MB as text
export type RoofText = { readonly bytes: Buffer; readonly sha256: string };

/** Published revisions, each read once per process: they never change. Whether the asker may read one is the caller's matter. */
export class Roofs {
  readonly #roofs = new Recent<KeptRoof>(MOST_KEPT);
  readonly #texts = new Recent<RoofText>(MOST_KEPT);

  at(tx: Tx, spaceId: string, number: number): Promise<KeptRoof | null> {
    return this.#roofs.at(`${spaceId} ${number}`, async () => {
      const row = await revisionRow(tx, spaceId, number);
      return row && { number, roof: JSON.parse(row.bytes) as PublishedRoof, sha256: row.sha256, policySha256: row.policy_sha256 };
    });
  }

  /** The canonical bytes that were hashed. */
  textAt(tx: Tx, spaceId: string, number: number): Promise<RoofText | null> {
    return this.#texts.at(`${spaceId} ${number}`, async () => {
      const row = await revisionRow(tx, spaceId, number);
      return row && { bytes: Buffer.from(row.bytes, 'utf8'), sha256: row.sha256 };
    });
  }
}

async function revisionRow(tx: Tx, spaceId: string, number: number) {
  const [row] = await tx.sql.$queryRaw<{ bytes: string; sha256: string; policy_sha256: string }[]>`
    SELECT bytes, sha256, policy_sha256 FROM revision WHERE space_id = ${spaceId}::uuid AND number = ${number}`;
  return row ?? null;
}

/** The values asked for last; the longest unused goes first. */
class Recent<V> {
  readonly #kept = new Map<string, V>();
  readonly #most: number;

  constructor(most: number) {
    this.#most = most;
  }

  async at(key: string, read: () => Promise<V | null>): Promise<V | null> {
    const known = this.#kept.get(key);
    const value = known ?? (await read());
    if (value === null) return null;
    this.#kept.delete(key);
    this.#kept.set(key, value);
    if (this.#kept.size > this.#most) this.#kept.delete(this.#kept.keys().next().value!);
    return value;
  }
}
