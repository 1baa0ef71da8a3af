import { useState } from 'react';
import type { Member, RoofDraft, RoofNode } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { lengthField, lengthText, readLength } from '../../units/units.ts';
import { words } from '../../words.ts';
import { MemberForm } from './MemberForm.tsx';
import { useStructureChange, type StructureChange } from './use-structure-change.ts';

type Roof = Pick<RoofDraft, 'nodes' | 'members'> & { versions: Record<string, number> };

/** The building's lines: nodes, and the members between them with what each may carry. */
export function MembersView({ spaceId, structure }: { spaceId: string; structure: object }) {
  const roof = structure as Roof; // the document's types and the domain's are the same shapes, told apart by the compiler alone
  const units = useUnits();
  const change = useStructureChange(spaceId);
  const [editedId, edit] = useState<string | null>(null);
  const node = (id: string) => roof.nodes.find((one) => one.id === id);
  const send = (changes: StructureChange[], then: () => void = () => undefined) => change.mutate(changes, { onSuccess: then });
  const remove = (of: 'nodes' | 'members', id: string) => send([{ kind: 'remove', of, id, ifMatch: roof.versions[id] ?? 1 }]);
  const saveMember = (item: Member, isNew: boolean, then: () => void) =>
    send([{ kind: 'members', ifMatch: isNew ? null : (roof.versions[item.id] ?? null), item }], then);
  return (
    <section className="stack">
      {change.isError && <ProblemPanel error={change.error} />}
      <h2>{words.members.title}</h2>
      {roof.nodes.length > 1 && (
        <details className="sheet">
          <summary>{words.members.add}</summary>
          <MemberForm
            key={roof.members.length}
            member={null}
            nodes={roof.nodes}
            isBusy={change.isPending}
            onSave={(item) => saveMember(item, true, () => undefined)}
          />
        </details>
      )}
      {roof.members.length === 0 && <p className="soft">{words.members.empty}</p>}
      <ul className="hangs">
        {roof.members.map((member) => (
          <li key={member.id} className="sheet stack tight">
            <div className="row apart">
              <span>
                <strong>{member.label}</strong>{' '}
                <span className="soft">
                  {`${node(member.fromNodeId)?.label ?? words.checks.gone} – ${node(member.toNodeId)?.label ?? words.checks.gone}`}
                </span>
              </span>
              <span className="row">
                <button
                  type="button"
                  className="bare inline"
                  aria-expanded={editedId === member.id}
                  aria-label={`${words.members.edit}: ${member.label}`}
                  onClick={() => edit(editedId === member.id ? null : member.id)}
                >
                  {words.members.edit}
                </button>
                <button
                  type="button"
                  className="bare inline"
                  aria-label={words.points.removeNamed(member.label)}
                  onClick={() => remove('members', member.id)}
                >
                  {words.points.remove}
                </button>
              </span>
            </div>
            {editedId === member.id && (
              <MemberForm
                key={roof.versions[member.id]}
                member={member}
                nodes={roof.nodes}
                isBusy={change.isPending}
                onSave={(item) => saveMember(item, false, () => edit(null))}
              />
            )}
          </li>
        ))}
      </ul>
      <h2>{words.members.nodes}</h2>
      {roof.nodes.length === 0 && <p className="soft">{words.members.noNodes}</p>}
      <NodeForm
        key={`new ${roof.nodes.length}`}
        node={null}
        isBusy={change.isPending}
        onSave={(item) => send([{ kind: 'nodes', ifMatch: null, item }])}
      />
      <ul className="hangs">
        {roof.nodes.map((one) => (
          <li key={one.id}>
            <details>
              <summary>
                <strong>{one.label}</strong>{' '}
                <span className="soft">{[one.xM, one.yM, one.zM].map((lengthM) => lengthText(lengthM, units)).join(', ')}</span>
              </summary>
              <NodeForm
                key={`${roof.versions[one.id]} ${units.length}`}
                node={one}
                isBusy={change.isPending}
                onSave={(item) => send([{ kind: 'nodes', ifMatch: roof.versions[item.id] ?? null, item }])}
              />
              <button
                type="button"
                className="bare inline"
                aria-label={words.points.removeNamed(one.label)}
                onClick={() => remove('nodes', one.id)}
              >
                {words.points.remove}
              </button>
            </details>
          </li>
        ))}
      </ul>
    </section>
  );
}

const AXES = ['x', 'y', 'z'] as const;
type Axis = (typeof AXES)[number];

function NodeForm({ node, isBusy, onSave }: { node: RoofNode | null; isBusy: boolean; onSave: (node: RoofNode) => void }) {
  const units = useUnits();
  const start = { label: node?.label ?? '', ...startPlace(node, (lengthM) => lengthField(lengthM, units)) };
  const [typed, setTyped] = useState(start);
  const [wasTried, setTried] = useState(false);
  // A number that nobody touched keeps its last digit.
  const read = (axis: Axis) => {
    const was = node === null ? null : { x: node.xM, y: node.yM, z: node.zM }[axis];
    return was !== null && typed[axis] === start[axis] ? { ok: true as const, value: was } : readLength(typed[axis], units);
  };
  const [x, y, z] = [read('x'), read('y'), read('z')];
  const faultOf = (axis: Axis): string | null => {
    const entered = { x, y, z }[axis];
    return wasTried && !entered.ok ? words.points.faults[entered.fault] : null;
  };
  return (
    <form
      noValidate
      className="row"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        const label = typed.label.trim();
        if (label !== '' && x.ok && y.ok && z.ok)
          onSave({ id: node?.id ?? crypto.randomUUID(), label, xM: x.value, yM: y.value, zM: z.value });
      }}
    >
      <Field
        label={words.point.label}
        size={12}
        value={typed.label}
        fault={wasTried && typed.label.trim() === '' ? words.points.faults.empty : null}
        onChange={(event) => setTyped({ ...typed, label: event.target.value })}
      />
      {AXES.map((axis) => (
        <Field
          key={axis}
          label={`${words.members[axis]} [${words.units.lengthNames[units.length]}]`}
          size={8}
          inputMode="decimal"
          value={typed[axis]}
          fault={faultOf(axis)}
          onChange={(event) => setTyped({ ...typed, [axis]: event.target.value })}
        />
      ))}
      <button type="submit" disabled={isBusy}>
        {node === null ? words.members.addNode : words.members.saveNode}
      </button>
    </form>
  );
}

const startPlace = (node: RoofNode | null, text: (lengthM: number) => string): Record<Axis, string> => ({
  x: node === null ? '' : text(node.xM),
  y: node === null ? '' : text(node.yM),
  z: node === null ? '' : text(node.zM),
});
