import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import type { Policy } from '../../../domain/roof/structure.ts';
import { api, faultAt, valueOf, versionTag, type Structure } from '../../api/client.ts';
import { policiesQuery } from '../../api/queries.ts';
import { dayText } from '../../parts/dates.ts';
import { Field } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { NumberField } from '../../parts/NumberField.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { isSamePolicy, policyValues, sourceOf, withPolicyValue, type PointedValue, type PolicyValue } from './policy-values.ts';

/** The factors and thresholds that every check uses: chosen, changed where the venue knows better, and signed with a name. */
export function PolicyView({ spaceId, structure }: { spaceId: string; structure: Structure }) {
  const offered = useQuery(policiesQuery());
  const signed = structure.policy;
  if (offered.isPending) return <Loading what={words.policy.title} />;
  if (offered.isLoadingError) return <ProblemPanel error={offered.error} onRetry={() => void offered.refetch()} />;
  return (
    <section className="stack">
      <p>
        {signed === null
          ? words.policy.none
          : words.policy.signed(signed.policy.setId, signed.signedBy, signed.signerRole, dayText(signed.signedAt))}
      </p>
      <SignForm key={structure.version} spaceId={spaceId} structure={structure} offered={offered.data.items} />
    </section>
  );
}

type Offered = { setId: string; title: string; policy: Policy; sources: { values: string[]; source: string }[] };

function SignForm({ spaceId, structure, offered }: { spaceId: string; structure: Structure; offered: readonly Offered[] }) {
  const queries = useQueryClient();
  const sets = [
    ...(structure.policy === null
      ? []
      : [{ key: '', title: words.policy.asSigned(structure.policy.policy.setId), policy: structure.policy.policy }]),
    ...offered.map(({ setId, title, policy }) => ({ key: setId, title, policy })),
  ];
  const [chosen, setChosen] = useState(sets[0]?.key ?? '');
  const [draft, setDraft] = useState<Policy | null>(sets[0]?.policy ?? null);
  const [ownName, setOwnName] = useState('');
  const [role, setRole] = useState(structure.policy?.signerRole ?? '');
  const namesake = offered.find(({ setId }) => setId === draft?.setId);
  const isChanged = namesake !== undefined && draft !== null && !isSamePolicy(namesake.policy, draft);
  const sources = namesake?.sources ?? offered[0]?.sources ?? [];
  const sign = useMutation({
    mutationFn: (policy: Policy) =>
      valueOf(
        api.PUT('/api/v1/spaces/{spaceId}/structure/policy', {
          params: { path: { spaceId }, header: { 'if-match': versionTag(structure.version) } },
          body: { policy, signerRole: role.trim() },
        }),
      ),
    onSuccess: () => queries.invalidateQueries({ queryKey: ['structure', spaceId] }),
  });
  if (draft === null) return null;
  const needsName = isChanged && ownName.trim() === '';
  const isReady = role.trim() !== '' && !needsName;
  return (
    <form
      className="sheet stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (isReady) sign.mutate(isChanged ? { ...draft, setId: ownName.trim() } : draft);
      }}
    >
      <label className="field">
        <span>{words.policy.set}</span>
        <select
          value={chosen}
          onChange={(event) => {
            setChosen(event.target.value);
            setDraft(sets.find(({ key }) => key === event.target.value)?.policy ?? draft);
          }}
        >
          {sets.map(({ key, title }) => (
            <option key={key} value={key}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <div className="scroll">
        <table className="fold">
          <thead>
            <tr>
              <th scope="col">{words.policy.value}</th>
              <th scope="col">{words.policy.number}</th>
              <th scope="col">{words.policy.source}</th>
            </tr>
          </thead>
          <tbody>
            {policyValues(draft).map((one) => (
              <tr key={one.pointer}>
                <th scope="row">{nameOf(one.pointer)}</th>
                <td>
                  <ValueField
                    one={one}
                    fault={faultAt(sign.error, `/policy${one.pointer}`)}
                    onChange={(value) => setDraft(withPolicyValue(draft, one.pointer, value))}
                  />
                </td>
                <td className="soft">{sourceOf(sources, one.pointer)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {isChanged && (
        <Field
          label={words.policy.ownName}
          hint={words.policy.ownNameHint}
          value={ownName}
          fault={faultAt(sign.error, '/policy/setId')}
          onChange={(event) => setOwnName(event.target.value)}
        />
      )}
      <Field
        label={words.policy.role}
        hint={words.policy.roleHint}
        value={role}
        fault={faultAt(sign.error, '/signerRole')}
        onChange={(event) => setRole(event.target.value)}
      />
      {sign.isError && <ProblemPanel error={sign.error} />}
      <div className="row">
        <button type="submit" className="main" disabled={!isReady || sign.isPending}>
          {words.policy.sign}
        </button>
        {!isReady && <span className="soft">{needsName ? words.policy.wantsName : words.policy.wantsRole}</span>}
      </div>
    </form>
  );
}

const nameOf = (pointer: string): string => words.policy.values[pointer as keyof typeof words.policy.values] ?? pointer;

function ValueField({
  one: { pointer, value },
  fault,
  onChange,
}: {
  one: PointedValue;
  fault: string | null;
  onChange: (value: PolicyValue) => void;
}) {
  if (typeof value === 'boolean')
    return (
      <label className="row">
        <input type="checkbox" aria-label={nameOf(pointer)} checked={value} onChange={(event) => onChange(event.target.checked)} />
        {value ? words.yes : words.no}
      </label>
    );
  const isMass = pointer.endsWith('Kg');
  return (
    <NumberField
      isBare
      label={nameOf(pointer)}
      of={isMass ? 'mass' : 'plain'}
      optional={isMass}
      value={value}
      fault={fault}
      onChange={(next) => (next !== null || isMass) && onChange(next)}
    />
  );
}
