// `npx tsx scripts/record-assessments.ts`: keeps the hashes that this engine gives, once ENGINE has moved.
import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ENGINE } from '../src/domain/assessment/assess.ts';
import { manyHashes } from '../tests/support/many-assessments.ts';

const seed = 4711;
const hashes = manyHashes(40, seed, (text) => createHash('sha256').update(text).digest('hex'));
writeFileSync(
  join(import.meta.dirname, '../tests/domain/kept-assessments.json'),
  `${JSON.stringify({ engine: ENGINE, seed, hashes }, null, 2)}\n`,
);
