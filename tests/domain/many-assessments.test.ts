import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { manyHashes } from '../support/many-assessments.ts';

// Hashes of plans say little about statics that refuse most of them.
test('of the plans whose hashes are compared, most of each kind are solved', () => {
  const solved = new Map<string, number>();
  const tell = (what: string, isSolved: boolean) => {
    const [all, of] = [`${what}, all`, `${what}, solved`];
    solved.set(all, (solved.get(all) ?? 0) + 1);
    solved.set(of, (solved.get(of) ?? 0) + (isSolved ? 1 : 0));
  };
  manyHashes(
    150,
    4711,
    (text) => createHash('sha256').update(text).digest('hex'),
    ({ hangs }, { checks }) => {
      for (const { id, kind, pickUps, linesOffPlumb, ...hang } of hangs) {
        const check = (name: string) => checks.find((one) => one.id === name);
        const isOnBridle = pickUps[0]?.attachment.kind === 'bridle';
        if (linesOffPlumb)
          tell(
            `${kind} of ${pickUps.length} held aside${isOnBridle ? ' below a bridle' : ''}`,
            check(`configuration:${id}:linesOffPlumb`)?.reason === null,
          );
        const [first] = pickUps;
        if (first?.attachment.kind === 'tiers')
          tell(`tiers of ${first.attachment.tiers.length}`, check(`leg:${id}:${first.id}:offVertical`) !== undefined);
        if (kind === 'trussFrame') tell('truss frames', check(`truss:${id}:sagging`) !== undefined);
        if ('build' in hang && hang.build && 'section' in hang.build && hang.build.section.spanTable && kind === 'truss')
          tell('tabled trusses', check(`truss:${id}:span`)?.capacity !== null);
      }
    },
  );
  const kinds = ['single of 1 held aside', 'single of 1 held aside below a bridle', 'truss of 2 held aside', 'array of 1 held aside', 'array of 2 held aside', 'tiers of 1', 'tiers of 3', 'truss frames', 'tabled trusses']; // prettier-ignore
  for (const kind of kinds) {
    const [of, all] = [solved.get(`${kind}, solved`) ?? 0, solved.get(`${kind}, all`) ?? 0];
    expect([kind, of > 3, of / all > 0.5]).toEqual([kind, true, true]);
  }
});
