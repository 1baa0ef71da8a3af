import { useState } from 'react';
import type { Member, RoofNode } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { NumberField } from '../../parts/NumberField.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { lengthField, lengthText, readLength } from '../../units/units.ts';
import { words } from '../../words.ts';

type Props = { member: Member | null; nodes: readonly RoofNode[]; isBusy: boolean; onSave: (member: Member) => void };
type Allowable = Member['allowables'][number];

const NO_TERMS = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };

/** A line from node to node, where it is held, and what it may carry. What the form does not show stays as it was. */
export function MemberForm({ member, nodes, isBusy, onSave }: Props) {
  const units = useUnits();
  const startSupports = member === null ? '' : member.supports.map(({ atM }) => lengthField(atM, units)).join('; ');
  const [typed, setTyped] = useState({
    label: member?.label ?? '',
    from: member?.fromNodeId ?? nodes[0]?.id ?? '',
    to: member?.toNodeId ?? nodes[1]?.id ?? '',
    supports: startSupports,
    is: member?.allowableIs ?? ('' as const),
  });
  const [selfKgPerM, setSelf] = useState(member?.selfKgPerM ?? null);
  const [allowed, setAllowed] = useState<Omit<Allowable, 'fromM' | 'toM'>>(
    member?.allowables[0] ?? { saggingKnm: null, hoggingKnm: null, shearKn: null },
  );
  const [wasTried, setTried] = useState(false);
  const [a, b] = [nodes.find(({ id }) => id === typed.from), nodes.find(({ id }) => id === typed.to)];
  const lengthM = a && b ? Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2 + (a.zM - b.zM) ** 2) : 0;
  const stations = typed.supports
    .split(';')
    .map((text) => text.trim())
    .filter((text) => text !== '')
    .map((text) => readLength(text, units));
  const isStationWrong = stations.some((one) => !one.ok);
  const isLineWrong = typed.label.trim() === '' || lengthM === 0;
  const isOneRange = member === null || isWholeLength(member.allowables, lengthOf(member, nodes));
  const isUntouched = member !== null && typed.supports === startSupports;
  const supportsNow = (): Member['supports'] => {
    if (isUntouched) return member.supports;
    if (stations.length === 0)
      return [
        { id: '1', atM: 0 },
        { id: '2', atM: lengthM },
      ];
    return stations.flatMap((one, index) => (one.ok ? [{ id: String(index + 1), atM: one.value }] : []));
  };
  const allowablesNow = (): Member['allowables'] => {
    if (!isOneRange) return member?.allowables ?? [];
    const isStated = Object.values(allowed).some((value) => value !== null);
    const { saggingKnm, hoggingKnm, shearKn } = allowed;
    return isStated ? [{ fromM: 0, toM: lengthM, saggingKnm, hoggingKnm, shearKn }] : [];
  };
  return (
    <form
      noValidate
      className="stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (isLineWrong || isStationWrong) return;
        const rest = member ?? {
          id: crypto.randomUUID(),
          deadLoads: [],
          eGpa: null,
          iCm4: null,
          terms: NO_TERMS,
          panelPoints: null,
          otherEffectsBasis: null,
        };
        onSave({
          ...rest,
          label: typed.label.trim(),
          fromNodeId: typed.from,
          toNodeId: typed.to,
          supports: supportsNow(),
          selfKgPerM,
          allowables: allowablesNow(),
          allowableIs: typed.is === '' ? null : typed.is,
        });
      }}
    >
      <div className="row">
        <Field
          label={words.point.label}
          size={12}
          value={typed.label}
          fault={wasTried && isLineWrong ? words.members.fault : null}
          onChange={(event) => setTyped({ ...typed, label: event.target.value })}
        />
        <NodeChoice label={words.members.from} nodes={nodes} value={typed.from} onChange={(from) => setTyped({ ...typed, from })} />
        <NodeChoice label={words.members.to} nodes={nodes} value={typed.to} onChange={(to) => setTyped({ ...typed, to })} />
        <span className="soft">{`${words.members.length} ${lengthText(lengthM, units)}`}</span>
      </div>
      <div className="row">
        <Field
          label={`${words.members.supports} [${words.units.lengthNames[units.length]}]`}
          hint={words.members.supportsHint}
          value={typed.supports}
          fault={wasTried && isStationWrong ? words.members.stationFault : null}
          onChange={(event) => setTyped({ ...typed, supports: event.target.value })}
        />
        <NumberField label={words.members.self} of="plain" optional value={selfKgPerM} onChange={setSelf} />
      </div>
      {isOneRange ? (
        <div className="row">
          {(['saggingKnm', 'hoggingKnm', 'shearKn'] as const).map((name) => (
            <NumberField
              key={name}
              label={{ saggingKnm: words.members.sagging, hoggingKnm: words.members.hogging, shearKn: words.members.shear }[name]}
              of="plain"
              optional
              value={allowed[name]}
              onChange={(value) => setAllowed({ ...allowed, [name]: value })}
            />
          ))}
          <label className="field">
            <span>{words.members.is}</span>
            <select
              value={typed.is}
              onChange={({ target: { value } }) => setTyped({ ...typed, is: value === 'total' || value === 'imposed' ? value : '' })}
            >
              {Object.entries(words.members.isChoices).map(([key, text]) => (
                <option key={key} value={key}>
                  {text}
                </option>
              ))}
            </select>
          </label>
        </div>
      ) : (
        <p className="soft">{words.members.several}</p>
      )}
      <div>
        <button type="submit" disabled={isBusy}>
          {words.members.save}
        </button>
      </div>
    </form>
  );
}

const SAME_M = 0.001; // stations closer than this are one on any drawing that we can receive

function lengthOf({ fromNodeId, toNodeId }: Member, nodes: readonly RoofNode[]): number {
  const [a, b] = [nodes.find(({ id }) => id === fromNodeId), nodes.find(({ id }) => id === toNodeId)];
  return a && b ? Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2 + (a.zM - b.zM) ** 2) : 0;
}

/** Whether what is allowed is the same all along it: a range of less must never be stretched by a form that does not show it. */
const isWholeLength = (allowables: readonly Allowable[], lengthM: number): boolean =>
  allowables.length === 0 || (allowables.length === 1 && allowables[0]!.fromM < SAME_M && Math.abs(allowables[0]!.toM - lengthM) < SAME_M);

const NodeChoice = ({
  label,
  nodes,
  value,
  onChange,
}: {
  label: string;
  nodes: readonly RoofNode[];
  value: string;
  onChange: (nodeId: string) => void;
}) => (
  <label className="field">
    <span>{label}</span>
    <select value={value} onChange={(event) => onChange(event.target.value)}>
      {nodes.map(({ id, label: name }) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </select>
  </label>
);
