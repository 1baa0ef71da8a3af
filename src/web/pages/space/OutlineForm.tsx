import { useState } from 'react';
import { checkKeepOut } from '../../../domain/roof/draft-limits.ts';
import type { KeepOut } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { RowsField } from '../../parts/RowsField.tsx';
import { readRows, rowsOf } from '../../parts/typed-rows.ts';
import { useUnitsAtStart } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import { faultInRows, faultsOf, faultsUntold, messageAt } from './draft-faults-at.ts';
import { CORNERS, type Corner } from './outline.ts';

const TOLD = /^\/area\/\d+\/|^\/(from|until)Day$/;
type Props = { keepOut: KeepOut; isBusy: boolean; onSave: (keepOut: KeepOut) => void };

/** The corners of a keep-out in plan, and the days on which it is there. */
export function OutlineForm({ keepOut, isBusy, onSave }: Props) {
  const units = useUnitsAtStart();
  const [corners, setCorners] = useState(() => rowsOf(CORNERS, keepOut.area, units));
  const [days, setDays] = useState({ fromDay: keepOut.fromDay ?? '', untilDay: keepOut.untilDay ?? '' });
  const [wasTried, setTried] = useState(false);
  const read = readRows<Corner>(CORNERS, corners, units);
  const [fromDay, untilDay] = [days.fromDay, days.untilDay].map((day) => (day === '' ? null : day)) as [string | null, string | null];
  const item = read.rows === null ? null : { ...keepOut, area: [...read.rows], fromDay, untilDay };
  const faults = item === null ? [] : faultsOf((list) => checkKeepOut(item, list));
  return (
    <form
      noValidate
      className="stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (item !== null && faults.length === 0) onSave(item);
      }}
    >
      <RowsField
        title={words.area.corners}
        hint={words.area.hint}
        columns={CORNERS}
        rows={corners}
        units={units}
        addText={words.area.add}
        faultOf={(key, name) => (wasTried ? faultInRows(read, faults, 'area')(key, name) : null)}
        onChange={setCorners}
      />
      {wasTried &&
        faultsUntold(faults, TOLD).map((text) => (
          <p key={text} className="fault">
            {text}
          </p>
        ))}
      <div className="row">
        {(['fromDay', 'untilDay'] as const).map((name) => (
          <Field
            key={name}
            type="date"
            label={words.keepOuts[name]}
            value={days[name]}
            fault={wasTried ? messageAt(faults, name) : null}
            onChange={(event) => setDays({ ...days, [name]: event.target.value })}
          />
        ))}
      </div>
      <p className="soft">{words.keepOuts.daysHint}</p>
      <div>
        <button type="submit" disabled={isBusy}>
          {words.keepOuts.saveOutline}
        </button>
      </div>
    </form>
  );
}
