import { useState } from 'react';
import type { Limit, RoofDraft } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { readLength, readMass, type Entered } from '../../units/units.ts';
import { words } from '../../words.ts';

type Roof = Pick<RoofDraft, 'points' | 'members'>;
const KINDS = ['group', 'count', 'spacing', 'density'] as const;
type Kind = (typeof KINDS)[number];
const OF_POINTS: readonly Kind[] = ['group', 'count'];
const NO_TERMS = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };

/** A new limit on points or on a member. Weighted sums, sideways forces and areas come by the API. */
export function NewLimit({ roof, isPending, onAdd }: { roof: Roof; isPending: boolean; onAdd: (limit: Limit) => void }) {
  const units = useUnits();
  const [kind, setKind] = useState<Kind>('group');
  const [typed, setTyped] = useState({ label: '', points: '', mass: '', count: '', length: '', memberId: roof.members[0]?.id ?? '' });
  const [wasTried, setTried] = useState(false);
  const labels = typed.points.split(/[\s,;]+/).filter((label) => label !== '');
  const found = labels.flatMap((label) => roof.points.find((point) => point.label === label) ?? []);
  const missing = labels.filter((label) => !found.some((point) => point.label === label));
  const [mass, length, count] = [readMass(typed.mass, units), readLength(typed.length, units), Number(typed.count)];
  const limit = ((): Limit | null => {
    const common = { id: crypto.randomUUID(), label: typed.label.trim(), hard: true, terms: NO_TERMS };
    if (common.label === '') return null;
    if (OF_POINTS.includes(kind) && (found.length === 0 || missing.length > 0)) return null;
    if (!OF_POINTS.includes(kind) && typed.memberId === '') return null;
    const pointIds = found.map(({ id }) => id);
    switch (kind) {
      case 'group':
        return mass.ok ? { ...common, kind, pointIds, maxKg: mass.value, minKg: null } : null;
      case 'count':
        return Number.isInteger(count) && count >= 1 ? { ...common, kind, pointIds, maxLoaded: count } : null;
      case 'spacing':
        return length.ok ? { ...common, kind, memberId: typed.memberId, minSpacingM: length.value, reducedKg: null } : null;
      case 'density':
        return mass.ok && length.ok ? { ...common, kind, memberId: typed.memberId, windowM: length.value, maxKg: mass.value } : null;
    }
  })();
  const bind = (name: keyof typeof typed) => ({
    value: typed[name],
    onChange: (event: { target: { value: string } }) => setTyped({ ...typed, [name]: event.target.value }),
  });
  const faultOf = (entered: Entered): string | null => (wasTried && !entered.ok ? words.points.faults[entered.fault] : null);
  return (
    <details className="sheet">
      <summary>{words.limits.add}</summary>
      <form
        noValidate
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          setTried(true);
          if (limit !== null) onAdd(limit);
        }}
      >
        <label className="field">
          <span>{words.limits.kind}</span>
          <select value={kind} onChange={(event) => setKind(KINDS.find((one) => one === event.target.value) ?? kind)}>
            {KINDS.map((one) => (
              <option key={one} value={one}>
                {words.limits.kinds[one]}
              </option>
            ))}
          </select>
        </label>
        <Field
          label={words.point.label}
          fault={wasTried && typed.label.trim() === '' ? words.points.faults.empty : null}
          {...bind('label')}
        />
        {OF_POINTS.includes(kind) ? (
          <Field
            label={words.limits.points}
            hint={words.limits.pointsHint}
            fault={
              missing.length > 0
                ? words.limits.noSuch(missing.join(', '))
                : wasTried && found.length === 0
                  ? words.points.faults.empty
                  : null
            }
            {...bind('points')}
          />
        ) : (
          <label className="field">
            <span>{words.limits.member}</span>
            <select {...bind('memberId')}>
              {roof.members.map(({ id, label }) => (
                <option key={id} value={id}>
                  {label}
                </option>
              ))}
            </select>
            {wasTried && typed.memberId === '' && <small className="fault">{words.limits.noMember}</small>}
          </label>
        )}
        <div className="row">
          {(kind === 'group' || kind === 'density') && (
            <Field label={`${words.limits.capacity} [${units.mass}]`} fault={faultOf(mass)} {...bind('mass')} />
          )}
          {kind === 'count' && (
            <Field
              label={words.limits.mostLoaded}
              inputMode="numeric"
              fault={wasTried && !(Number.isInteger(count) && count >= 1) ? words.limits.countFault : null}
              {...bind('count')}
            />
          )}
          {(kind === 'spacing' || kind === 'density') && (
            <Field
              label={`${kind === 'spacing' ? words.limits.leastApart : words.limits.window} [${words.units.lengthNames[units.length]}]`}
              fault={faultOf(length)}
              {...bind('length')}
            />
          )}
        </div>
        <p className="soft">{words.limits.noBasis}</p>
        <div>
          <button type="submit" disabled={isPending}>
            {words.limits.addButton}
          </button>
        </div>
      </form>
    </details>
  );
}
