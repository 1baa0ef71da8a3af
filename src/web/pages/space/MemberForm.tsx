import { useState } from 'react';
import { checkMember } from '../../../domain/roof/draft-members.ts';
import type { Member, RoofNode } from '../../../domain/roof/structure.ts';
import { Field, stopsAtUnreadable } from '../../parts/Field.tsx';
import { NumberField } from '../../parts/NumberField.tsx';
import { RowsField } from '../../parts/RowsField.tsx';
import { emptyRow, readRows, rowsOf, type Column } from '../../parts/typed-rows.ts';
import { useUnitsAtStart } from '../../units/units-choice.ts';
import { lengthField, lengthText, readLength, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { faultInRows, faultsOf, faultsUntold } from './draft-faults-at.ts';

type Props = { member: Member | null; nodes: readonly RoofNode[]; isBusy: boolean; onSave: (member: Member) => void };
/** A stretch of the member as typed: with no start from its first end, with no end to its last. */
type Stretch<T extends { fromM: number; toM: number }> = Omit<T, 'fromM' | 'toM'> & { fromM: number | null; toM: number | null };
type Allowable = Stretch<Member['allowables'][number]>;
type DeadLoad = Stretch<Member['deadLoads'][number]>;

const NO_TERMS = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };
const RANGE = [
  { name: 'fromM', label: words.members.rangeFrom, of: 'length', optional: true },
  { name: 'toM', label: words.members.rangeTo, of: 'length', optional: true },
] as const;
const ALLOWABLES: readonly Column<keyof Allowable>[] = [
  ...RANGE,
  { name: 'saggingKnm', label: words.members.sagging, of: 'plain', optional: true },
  { name: 'hoggingKnm', label: words.members.hogging, of: 'plain', optional: true },
  { name: 'shearKn', label: words.members.shear, of: 'plain', optional: true },
];
const DEAD_LOADS: readonly Column<keyof DeadLoad>[] = [...RANGE, { name: 'kgPerM', label: words.standing.perM, of: 'plain' }];
const TOLD = /^\/(allowables|deadLoads)\/\d+\/|^\/(supports|panelPoints|selfKgPerM|eGpa|iCm4)/;
/** As far from a panel point as a load may sit where nothing is said. */
const NO_TOLERANCE_M = 0;

/** Stations as they stand in a field, and as they are read; what nobody touched stays to the last digit. */
const stationsText = (stations: readonly number[], units: Units): string => stations.map((atM) => lengthField(atM, units)).join('; ');
const readStations = (text: string, units: Units) =>
  text
    .split(';')
    .map((one) => one.trim())
    .filter((one) => one !== '')
    .map((one) => readLength(one, units));

/** A line from node to node, where it is held, and what it may carry. What the form does not show stays as it was. */
export function MemberForm({ member, nodes, isBusy, onSave }: Props) {
  const units = useUnitsAtStart();
  const start = {
    supports: stationsText(member?.supports.map(({ atM }) => atM) ?? [], units),
    panels: stationsText(member?.panelPoints?.atM ?? [], units),
  };
  const [typed, setTyped] = useState({
    label: member?.label ?? '',
    from: member?.fromNodeId ?? nodes[0]?.id ?? '',
    to: member?.toNodeId ?? nodes[1]?.id ?? '',
    is: member?.allowableIs ?? ('' as const),
    ...start,
  });
  const [numbers, setNumbers] = useState({
    selfKgPerM: member?.selfKgPerM ?? null,
    eGpa: member?.eGpa ?? null,
    iCm4: member?.iCm4 ?? null,
    toleranceM: member?.panelPoints?.toleranceM ?? null,
  });
  const [ranges, setRanges] = useState(() => (member?.allowables.length ? rowsOf(ALLOWABLES, member.allowables, units) : [emptyRow(0)]));
  const [dead, setDead] = useState(() => rowsOf(DEAD_LOADS, member?.deadLoads ?? [], units));
  const [wasTried, setTried] = useState(false);
  const [a, b] = [nodes.find(({ id }) => id === typed.from), nodes.find(({ id }) => id === typed.to)];
  const lengthM = a && b ? Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2 + (a.zM - b.zM) ** 2) : 0;
  const stations = readStations(typed.supports, units);
  const panels = readStations(typed.panels, units);
  const isLineWrong = typed.label.trim() === '' || lengthM === 0;
  const allowables = readRows<Allowable>(ALLOWABLES, ranges, units);
  const deadLoads = readRows<DeadLoad>(DEAD_LOADS, dead, units);
  const supportsNow = (): Member['supports'] => {
    if (member !== null && typed.supports === start.supports) return member.supports;
    if (stations.length === 0)
      return [
        { id: '1', atM: 0 },
        { id: '2', atM: lengthM },
      ];
    return stations.flatMap((one, index) => (one.ok ? [{ id: String(index + 1), atM: one.value }] : []));
  };
  const panelPointsNow = (): Member['panelPoints'] => {
    if (panels.length === 0) return null;
    const atM = typed.panels === start.panels ? member?.panelPoints?.atM : undefined;
    return { atM: atM ?? panels.flatMap((one) => (one.ok ? [one.value] : [])), toleranceM: numbers.toleranceM ?? NO_TOLERANCE_M };
  };
  const ends = ({ fromM, toM }: { fromM: number | null; toM: number | null }) => ({ fromM: fromM ?? 0, toM: toM ?? lengthM });
  const { selfKgPerM, eGpa, iCm4 } = numbers;
  const isRead =
    allowables.rows !== null && deadLoads.rows !== null && stations.every(({ ok }) => ok) && panels.every(({ ok }) => ok) && !isLineWrong;
  const item: Member | null = isRead
    ? {
        ...(member ?? { id: crypto.randomUUID(), terms: NO_TERMS, otherEffectsBasis: null }),
        label: typed.label.trim(),
        fromNodeId: typed.from,
        toNodeId: typed.to,
        supports: supportsNow(),
        selfKgPerM,
        deadLoads: (deadLoads.rows ?? []).map((one) => ({ ...one, ...ends(one) })),
        eGpa,
        iCm4,
        allowables: (allowables.rows ?? []).map((one) => ({ ...one, ...ends(one) })),
        allowableIs: typed.is === '' ? null : typed.is,
        panelPoints: panelPointsNow(),
      }
    : null;
  const faults = item === null ? [] : faultsOf((list) => checkMember(item, new Map(nodes.map((node) => [node.id, node])), list));
  const said = <T,>(text: T): T | null => (wasTried ? text : null);
  const stationFault = (read: readonly { ok: boolean }[], list: string): string | null => {
    if (read.some(({ ok }) => !ok)) return words.members.stationFault;
    return faults.find(({ pointer }) => pointer.startsWith(`/${list}/`))?.message ?? null;
  };
  const number = (name: keyof typeof numbers, label: string, of: 'plain' | 'length' = 'plain') => (
    <NumberField
      label={label}
      of={of}
      optional
      value={numbers[name]}
      fault={said(faults.find(({ pointer }) => pointer.endsWith(`/${name}`) && !/\/\d+\//.test(pointer))?.message ?? null)}
      onChange={(value) => setNumbers({ ...numbers, [name]: value })}
    />
  );
  return (
    <form
      noValidate
      className="stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (!stopsAtUnreadable(event.currentTarget) && item !== null && faults.length === 0) onSave(item);
      }}
    >
      <div className="row">
        <Field
          label={words.point.label}
          size={12}
          value={typed.label}
          fault={said(isLineWrong ? words.members.fault : null)}
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
          fault={said(stationFault(stations, 'supports'))}
          onChange={(event) => setTyped({ ...typed, supports: event.target.value })}
        />
        {number('selfKgPerM', words.members.self)}
        {number('eGpa', words.members.stiffness)}
        {number('iCm4', words.members.inertia)}
      </div>
      <RowsField
        title={words.members.allowables}
        hint={words.members.allowablesHint}
        columns={ALLOWABLES}
        rows={ranges}
        units={units}
        addText={words.members.addRange}
        faultOf={(key, name) => said(faultInRows(allowables, faults, 'allowables')(key, name))}
        onChange={setRanges}
      />
      <div className="row">
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
        <Field
          label={`${words.members.panelPoints} [${words.units.lengthNames[units.length]}]`}
          hint={words.members.panelHint}
          value={typed.panels}
          fault={said(stationFault(panels, 'panelPoints/atM'))}
          onChange={(event) => setTyped({ ...typed, panels: event.target.value })}
        />
        {typed.panels.trim() !== '' && number('toleranceM', words.members.tolerance, 'length')}
      </div>
      <RowsField
        title={words.members.deadLoads}
        columns={DEAD_LOADS}
        rows={dead}
        units={units}
        addText={words.members.addDeadLoad}
        faultOf={(key, name) => said(faultInRows(deadLoads, faults, 'deadLoads')(key, name))}
        onChange={setDead}
      />
      {said(faultsUntold(faults, TOLD))?.map((text) => (
        <p key={text} className="fault">
          {text}
        </p>
      ))}
      <div>
        <button type="submit" disabled={isBusy}>
          {words.members.save}
        </button>
      </div>
    </form>
  );
}

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
