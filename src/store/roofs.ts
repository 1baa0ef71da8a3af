import type { PublishedRoof } from '../domain/roof/structure.ts';
import type { Tx } from './database.ts';

export type KeptRoof = { readonly number: number; readonly roof: PublishedRoof; readonly sha256: string; readonly policySha256: string };

const MOST_KEPT = 50; // a roof of 2,000 points is about 3 MB parsed

/** Published revisions, each read once per process: they never change. Whether the asker may read one is the caller's matter. */
export class Roofs {
  readonly #kept = new Map<string, KeptRoof>();

  async at(tx: Tx, spaceId: string, number: number): Promise<KeptRoof | null> {
    const key = `${spaceId} ${number}`;
    const known = this.#kept.get(key);
    if (known) {
      this.#kept.delete(key); // to the end of the line: the longest unused goes first
      this.#kept.set(key, known);
      return known;
    }
    const [row] = await tx.sql.$queryRaw<{ bytes: string; sha256: string; policy_sha256: string }[]>`
      SELECT bytes, sha256, policy_sha256 FROM revision WHERE space_id = ${spaceId}::uuid AND number = ${number}`;
    if (!row) return null;
    const read: KeptRoof = { number, roof: JSON.parse(row.bytes) as PublishedRoof, sha256: row.sha256, policySha256: row.policy_sha256 };
    this.#kept.set(key, read);
    if (this.#kept.size > MOST_KEPT) this.#kept.delete(this.#kept.keys().next().value!);
    return read;
  }
}
