import { useRef, useState } from 'react';
import type { MassBasis, Plan } from '../../../domain/plan/plan.ts';
import type { RoofPoint } from '../../../domain/roof/structure.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { cellId, RowsField } from '../../parts/RowsField.tsx';
import { readRows, type Row } from '../../parts/typed-rows.ts';
import { BasisSelect } from '../../plan-editing/BasisSelect.tsx';
import {
  MOST_ROWS,
  outcomesOf,
  rowsOfTable,
  tableColumns,
  withTable,
  type TableFault,
  type TableHang,
} from '../../plan-editing/plan-table.ts';
import { useUnitsAtStart } from '../../units/units-choice.ts';
import { words } from '../../words.ts';

type Props = { plan: Plan; points: readonly RoofPoint[]; onTake: (plan: Plan) => void; onClose: () => void };
const TABLE = 'plan-table';
const FEW = 12;

/** A table of hangs: pasted or chosen, looked at row by row, mended where it stands, and then taken into the plan in one act. */
export function PlanTable({ plan, points, onTake, onClose }: Props) {
  const units = useUnitsAtStart();
  const columns = tableColumns(points);
  const [rows, setRows] = useState<Row[] | null>(null);
  const [unread, setUnread] = useState<readonly string[]>([]);
  const [fault, setFault] = useState<TableFault | null>(null);
  const [basis, setBasis] = useState<MassBasis | null>(null);
  const pasted = useRef<HTMLTextAreaElement>(null);
  const look = (text: string) => {
    const found = rowsOfTable(text);
    setRows(found.ok ? found.value.rows : null);
    setUnread(found.ok ? found.value.unread : []);
    setFault(found.ok ? null : found.error);
  };
  const read = readRows<TableHang>(columns, rows ?? [], units);
  const outcomes = read.rows === null ? [] : outcomesOf(plan, read.rows);
  const whyNot = (key: number): string | null => {
    const found = outcomes[read.keys.indexOf(key)];
    return found?.outcome === 'mend' ? found.why : null;
  };
  const faultOf = (key: number, name: string) => read.fault(key, name) ?? (name === 'label' ? whyNot(key) : null);
  const toMend = (rows ?? []).flatMap(({ key }, index) =>
    columns.flatMap(({ name, label }) => {
      const why = faultOf(key, name);
      return why === null ? [] : [{ key, name, where: words.points.cell(words.rows.row(index + 1), label), why }];
    }),
  );
  const count = (outcome: string) => outcomes.filter((one) => one.outcome === outcome).length;
  const comes = count('add') + count('change');
  return (
    <Dialog title={words.planTable.title} isOpen onClose={onClose} holdsWork>
      {rows === null ? (
        <form
          noValidate
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            look(pasted.current?.value ?? '');
          }}
        >
          <p className="soft">{words.planTable.text(units.mass, words.units.lengthNames[units.length])}</p>
          <label className="field">
            <span>{words.planTable.paste}</span>
            <textarea rows={6} ref={pasted} autoFocus />
          </label>
          <label className="field">
            <span>{words.planTable.file}</span>
            <input
              type="file"
              accept=".csv,.txt,text/csv,text/plain"
              onChange={(event) => void event.target.files?.[0]?.text().then(look)}
            />
          </label>
          {fault && (
            <p role="alert" className="fault">
              {fault.code === 'too-many' ? words.planTable.tooMany(fault.rows, MOST_ROWS) : words.planTable.faults[fault.code]}
            </p>
          )}
          <div className="row">
            <button type="button" onClick={onClose}>
              {words.cancel}
            </button>
            <button type="submit" className="main">
              {words.imports.look}
            </button>
          </div>
        </form>
      ) : (
        <>
          <div role="status">
            {toMend.length === 0 ? (
              <p>{words.planTable.counts(count('add'), count('change'), count('same'))}</p>
            ) : (
              <>
                <p className="fault">{words.planTable.toMend(toMend.length)}</p>
                <ul className="plain">
                  {toMend.slice(0, FEW).map(({ key, name, where, why }) => (
                    <li key={`${key} ${name}`}>
                      <button
                        type="button"
                        className="bare inline"
                        onClick={() => document.getElementById(cellId(TABLE, key, name))?.focus()}
                      >
                        {where}
                      </button>{' '}
                      {why}
                    </li>
                  ))}
                </ul>
                {toMend.length > FEW && <p className="soft">{words.checks.more(toMend.length - FEW)}</p>}
              </>
            )}
          </div>
          {unread.length > 0 && <p className="soft">{words.planTable.unread(unread.join(', '))}</p>}
          <BasisSelect value={basis} onChange={setBasis} />
          <RowsField
            id={TABLE}
            title={words.planTable.rows(rows.length)}
            columns={columns}
            rows={rows}
            units={units}
            addText={words.planTable.add}
            faultOf={faultOf}
            onChange={setRows}
          />
          <div className="row">
            <button type="button" onClick={() => setRows(null)}>
              {words.planTable.another}
            </button>
            <button
              type="button"
              className="main"
              disabled={toMend.length > 0 || comes === 0}
              onClick={() => onTake(withTable(plan, points, read.rows ?? [], basis, () => crypto.randomUUID()))}
            >
              {words.planTable.take(comes)}
            </button>
          </div>
        </>
      )}
    </Dialog>
  );
}
