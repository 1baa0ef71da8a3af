import { useState } from 'react';
import { checkStandingLoad } from '../../../domain/roof/draft-limits.ts';
import { memberLengthM } from '../../../domain/roof/draft-members.ts';
import type { RoofDraft, StandingLoad } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { RowsField } from '../../parts/RowsField.tsx';
import { emptyRow, readRows, rowsOf, type Column } from '../../parts/typed-rows.ts';
import { useUnitsAtStart } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import { faultInRows, faultsOf, faultsUntold, messageAt } from './draft-faults-at.ts';

const TOLD = /^\/(points|memberLoads)\/\d+\/|^\/(from|until)Day$/;
type Roof = Pick<RoofDraft, 'nodes' | 'points' | 'members'>;
type Props = { load: StandingLoad | null; roof: Roof; isBusy: boolean; onSave: (load: StandingLoad) => void };

/** What weighs on which points and members, from when to when. */
export function StandingLoadForm({ load, roof, isBusy, onSave }: Props) {
  const units = useUnitsAtStart();
  const ofPoints: Column<'pointId' | 'massKg'>[] = [
    { name: 'pointId', label: words.standing.point, of: 'named', among: roof.points },
    { name: 'massKg', label: words.standing.mass, of: 'mass' },
  ];
  const ofMembers: Column<'memberId' | 'fromM' | 'toM' | 'kgPerM'>[] = [
    { name: 'memberId', label: words.standing.member, of: 'named', among: roof.members },
    { name: 'fromM', label: words.standing.from, of: 'length' },
    { name: 'toM', label: words.standing.to, of: 'length' },
    { name: 'kgPerM', label: words.standing.perM, of: 'plain' },
  ];
  const [typed, setTyped] = useState({
    label: load?.label ?? '',
    permanent: load?.permanent ?? false,
    fromDay: load?.fromDay ?? '',
    untilDay: load?.untilDay ?? '',
  });
  const [points, setPoints] = useState(() => (load === null ? [emptyRow(0)] : rowsOf(ofPoints, load.points, units)));
  const [runs, setRuns] = useState(() => rowsOf(ofMembers, load?.memberLoads ?? [], units));
  const [wasTried, setTried] = useState(false);
  const onPoints = readRows<StandingLoad['points'][number]>(ofPoints, points, units);
  const onMembers = readRows<StandingLoad['memberLoads'][number]>(ofMembers, runs, units);
  const item: StandingLoad | null =
    onPoints.rows === null || onMembers.rows === null
      ? null
      : {
          id: load?.id ?? crypto.randomUUID(),
          label: typed.label.trim(),
          permanent: typed.permanent,
          fromDay: typed.fromDay === '' ? null : typed.fromDay,
          untilDay: typed.untilDay === '' ? null : typed.untilDay,
          points: [...onPoints.rows],
          memberLoads: [...onMembers.rows],
        };
  const nodes = new Map(roof.nodes.map((node) => [node.id, node]));
  const known = {
    pointIds: new Set(roof.points.map(({ id }) => id)),
    memberLengths: new Map(roof.members.map((member) => [member.id, memberLengthM(member, nodes)])),
  };
  const faults = item === null ? [] : faultsOf((list) => checkStandingLoad(item, known, list));
  const isEmpty = item !== null && item.points.length + item.memberLoads.length === 0;
  const said = <T,>(text: T): T | null => (wasTried ? text : null);
  return (
    <form
      noValidate
      className="stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (item !== null && item.label !== '' && !isEmpty && faults.length === 0) onSave(item);
      }}
    >
      <div className="row">
        <Field
          label={words.point.label}
          value={typed.label}
          fault={said(typed.label.trim() === '' ? words.points.faults.empty : null)}
          onChange={(event) => setTyped({ ...typed, label: event.target.value })}
        />
        <label className="field">
          <span>{words.standing.presence}</span>
          <select
            value={typed.permanent ? 'stays' : 'comes'}
            onChange={(event) => setTyped({ ...typed, permanent: event.target.value === 'stays' })}
          >
            <option value="comes">{words.standing.presences.comes}</option>
            <option value="stays">{words.standing.presences.stays}</option>
          </select>
        </label>
        {(['fromDay', 'untilDay'] as const).map((name) => (
          <Field
            key={name}
            type="date"
            label={words.keepOuts[name]}
            value={typed[name]}
            fault={said(messageAt(faults, name))}
            onChange={(event) => setTyped({ ...typed, [name]: event.target.value })}
          />
        ))}
      </div>
      <RowsField
        title={words.standing.points}
        hint={words.standing.pointsHint}
        columns={ofPoints}
        rows={points}
        units={units}
        addText={words.standing.addPoint}
        faultOf={(key, name) => said(faultInRows(onPoints, faults, 'points')(key, name))}
        onChange={setPoints}
      />
      {roof.members.length > 0 && (
        <RowsField
          title={words.standing.members}
          columns={ofMembers}
          rows={runs}
          units={units}
          addText={words.standing.addRun}
          faultOf={(key, name) => said(faultInRows(onMembers, faults, 'memberLoads')(key, name))}
          onChange={setRuns}
        />
      )}
      {said(faultsUntold(faults, TOLD))?.map((text) => (
        <p key={text} className="fault">
          {text}
        </p>
      ))}
      {wasTried && isEmpty && <p className="fault">{words.standing.nothing}</p>}
      <div>
        <button type="submit" disabled={isBusy}>
          {words.standing.save}
        </button>
      </div>
    </form>
  );
}
