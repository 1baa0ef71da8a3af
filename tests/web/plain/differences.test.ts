import fc from 'fast-check';
import { expect, test } from 'vitest';
import { applied, differences } from '../../../src/web/live/differences.ts';

type One = { readonly id: number };

// Between the two lies a copy, as a message makes one: what is named by its place is not copied, and stays the object that it was.
test('a list is put together again from its differences, and what stayed is the very same object', () => {
  const place = fc.nat(30);
  fc.assert(
    fc.property(fc.uniqueArray(place, { minLength: 1 }), fc.array(fc.oneof(place, fc.constant(null))), (first, changes) => {
      const before: One[] = first.map((id) => ({ id }));
      const now: One[] = changes.map((from, at) => (from === null ? { id: 100 + at } : before[from % before.length]!));
      const there = structuredClone(before);
      const copied = applied(there, structuredClone(differences(before, now)));
      expect(copied).toEqual(now);
      for (const [at, from] of changes.entries()) if (from !== null) expect(copied[at]).toBe(there[from % there.length]);
    }),
  );
});

test('differences from another list are not believed', () => {
  expect(() => applied([], [0])).toThrow('taken from');
});
