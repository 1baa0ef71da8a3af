import { useState } from 'react';
import type { RoofDraft, StandingLoad } from '../../../domain/roof/structure.ts';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { lengthText, massText, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { daysText } from './days-text.ts';
import { StandingLoadForm } from './StandingLoadForm.tsx';
import { useStructureChange } from './use-structure-change.ts';

type Roof = Pick<RoofDraft, 'nodes' | 'points' | 'members' | 'standingLoads'> & { versions: Record<string, number> };

/** What the house itself hangs, and how long it is there. */
export function StandingLoadsView({ spaceId, structure, isEditable }: { spaceId: string; structure: object; isEditable: boolean }) {
  const roof = structure as Roof; // the document's types and the domain's are the same shapes, told apart by the compiler alone
  const units = useUnits();
  const change = useStructureChange(spaceId);
  const [editedId, edit] = useState<string | null>(null);
  return (
    <section className="stack">
      <p className="soft">{words.standing.text}</p>
      {change.isError && <ProblemPanel error={change.error} />}
      {isEditable && (
        <details className="sheet">
          <summary>{words.standing.add}</summary>
          <StandingLoadForm
            key={roof.standingLoads.length}
            load={null}
            roof={roof}
            isBusy={change.isPending}
            onSave={(item) => change.mutate([{ kind: 'standing-loads', ifMatch: null, item }])}
          />
        </details>
      )}
      {roof.standingLoads.length === 0 && <p className="soft">{words.standing.empty}</p>}
      <ul className="hangs">
        {roof.standingLoads.map((load) => (
          <li key={load.id} className="sheet stack tight">
            <div className="row apart">
              <span>
                <strong>{load.label}</strong>{' '}
                <span className="soft">
                  {words.standing.presences[load.permanent ? 'stays' : 'comes']}, {daysText(load)}
                </span>
              </span>
              {isEditable && (
                <span className="row">
                  <button
                    type="button"
                    className="bare inline"
                    aria-expanded={editedId === load.id}
                    aria-label={`${words.standing.edit}: ${load.label}`}
                    onClick={() => edit(editedId === load.id ? null : load.id)}
                  >
                    {words.standing.edit}
                  </button>
                  <button
                    type="button"
                    className="bare inline"
                    aria-label={words.points.removeNamed(load.label)}
                    onClick={() =>
                      change.mutate([{ kind: 'remove', of: 'standing-loads', id: load.id, ifMatch: roof.versions[load.id] ?? 1 }])
                    }
                  >
                    {words.points.remove}
                  </button>
                </span>
              )}
            </div>
            <p>{whereText(load, roof, units)}</p>
            {editedId === load.id && (
              <StandingLoadForm
                key={roof.versions[load.id]}
                load={load}
                roof={roof}
                isBusy={change.isPending}
                onSave={(item) =>
                  change.mutate([{ kind: 'standing-loads', ifMatch: roof.versions[item.id] ?? null, item }], {
                    onSuccess: () => edit(null),
                  })
                }
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function whereText({ points, memberLoads }: StandingLoad, roof: Roof, units: Units): string {
  const labelIn = (among: readonly { id: string; label: string }[], id: string) =>
    among.find((one) => one.id === id)?.label ?? words.checks.gone;
  const onPoints = points.map(({ pointId, massKg }) =>
    words.standing.onPoint(labelIn(roof.points, pointId), massText(massKg, units, 'load')),
  );
  const onMembers = memberLoads.map(({ memberId, fromM, toM, kgPerM }) =>
    words.standing.onMember(labelIn(roof.members, memberId), lengthText(fromM, units), lengthText(toM, units), kgPerM),
  );
  return [...onPoints, ...onMembers].join('; ');
}
