import fc from 'fast-check';
import { expect, test } from 'vitest';
import { changesBetween, isUnchanged } from '../../src/domain/roof/changes.ts';
import { draft, europe, group, point, publish } from './roof-samples.ts';

test('equal roofs have no changes, whatever order they were entered in', () => {
  const { points } = draft();
  expect(isUnchanged(changesBetween(publish(), publish({ points: [...points].reverse() })))).toBe(true);
});

test('what was added, removed and changed is told by id, field by field', () => {
  const [p1, p2] = draft().points;
  if (p1 === undefined || p2 === undefined) throw new Error('the sample has two points');
  const before = publish();
  const after = publish({
    exposure: 'covered',
    points: [{ ...p1, label: 'repainted', wllKg: null, terms: { ...p1.terms, dynamic: { kind: 'included', factor: 1.25 } } }, point('p3')],
    limits: [group('g1', ['p1', 'p3'], 1500)],
  });
  const changes = changesBetween(before, after);
  expect(changes.space).toEqual([{ path: '/exposure', old: 'indoor', new: 'covered' }]);
  expect(changes.points.added).toEqual([{ id: 'p3', label: 'P-p3' }]);
  expect(changes.points.removed).toEqual([{ id: 'p2', label: 'P-p2' }]);
  expect(changes.points.changed).toEqual([
    {
      id: 'p1',
      label: 'repainted',
      fields: [
        { path: '/label', old: 'P-p1', new: 'repainted' },
        { path: '/terms/dynamic/factor', old: null, new: 1.25 },
        { path: '/terms/dynamic/kind', old: 'notIncluded', new: 'included' },
        { path: '/wllKg', old: 1000, new: null },
      ],
    },
  ]);
  expect(changes.limits.changed).toEqual([
    { id: 'g1', label: 'L-g1', fields: [{ path: '/pointIds', old: ['p1', 'p2'], new: ['p1', 'p3'] }] },
  ]);
  expect(changes.members).toEqual({ added: [], removed: [], changed: [] });
  expect(isUnchanged(changes)).toBe(false);
});

test('a value of the policy is a change of the space', () => {
  const signed = europe();
  const after = publish({ policy: { ...signed, policy: { ...signed.policy, closeFrom: 0.8 } } });
  expect(changesBetween(publish(), after).space).toEqual([{ path: '/policy/policy/closeFrom', old: 0.9, new: 0.8 }]);
});

test('changes the other way round swap added and removed, old and new', () => {
  const some = fc.uniqueArray(fc.constantFrom('p1', 'p2', 'p3', 'p4'));
  const roofOf = (ids: string[], wllKg: number) => publish({ points: ids.map((id) => point(id, { wllKg })), limits: [] });
  fc.assert(
    fc.property(some, some, fc.constantFrom(500, 1000), (before, after, wllKg) => {
      const [a, b] = [roofOf(before, 500), roofOf(after, wllKg)];
      const [there, back] = [changesBetween(a, b).points, changesBetween(b, a).points];
      expect(back.added).toEqual(there.removed);
      expect(back.removed).toEqual(there.added);
      expect(back.changed.map(({ id }) => id)).toEqual(there.changed.map(({ id }) => id));
      expect(there.changed.flatMap(({ fields }) => fields.map((field) => [field.old, field.new]))).toEqual(
        back.changed.flatMap(({ fields }) => fields.map((field) => [field.new, field.old])),
      );
    }),
  );
});
