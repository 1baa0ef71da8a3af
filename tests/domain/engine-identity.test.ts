import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { ENGINE } from '../../src/domain/assessment/assess.ts';
import { manyHashes } from '../support/many-assessments.ts';
import kept from './kept-assessments.json' with { type: 'json' };

// An agreement names the hash of its assessment and the engine that made it. The hash covers every byte of the outcome.
test('this engine still gives the assessments that were kept of it', () => {
  expect(kept.engine, 'ENGINE has moved: record anew').toBe(ENGINE);
  const hashes = manyHashes(kept.hashes.length, kept.seed, (text) => createHash('sha256').update(text).digest('hex'));
  expect(hashes, 'a number, a check or a text has changed: move ENGINE').toEqual(kept.hashes);
});
