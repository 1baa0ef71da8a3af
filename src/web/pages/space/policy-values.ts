import type { Policy } from '../../../domain/roof/structure.ts';

export type PolicyValue = number | boolean | null;
/** A value of a policy by its JSON pointer, as the sources of an offered set name it. */
export type PointedValue = { readonly pointer: string; readonly value: PolicyValue };

export function policyValues({ setId: _setId, ...values }: Policy): PointedValue[] {
  return Object.entries(values).flatMap(([name, value]): PointedValue[] =>
    typeof value === 'object' && value !== null
      ? Object.entries(value).map(([inner, one]) => ({ pointer: `/${name}/${inner}`, value: one as PolicyValue }))
      : [{ pointer: `/${name}`, value }],
  );
}

/** The same policy with one value changed. */
export function withPolicyValue(policy: Policy, pointer: string, value: PolicyValue): Policy {
  const [, name = '', inner] = pointer.split('/');
  if (inner === undefined) return { ...policy, [name]: value };
  const group = policy[name as keyof Policy] as Record<string, PolicyValue>;
  return { ...policy, [name]: { ...group, [inner]: value } };
}

export const isSamePolicy = (a: Policy, b: Policy): boolean =>
  policyValues(a).every(({ pointer, value }) => policyValues(b).some((one) => one.pointer === pointer && one.value === value));

/** Where a value comes from: of the value itself, else of the group that it is in. */
export function sourceOf(sources: readonly { values: readonly string[]; source: string }[], pointer: string): string | null {
  const group = pointer.split('/').slice(0, 2).join('/');
  return (
    sources.find(({ values }) => values.includes(pointer))?.source ?? sources.find(({ values }) => values.includes(group))?.source ?? null
  );
}
