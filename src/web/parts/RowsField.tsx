import { useId } from 'react';
import type { Units } from '../units/units.ts';
import { words } from '../words.ts';
import { emptyRow, nextKey, withCell, withPasted, type Column, type Row } from './typed-rows.ts';

type Props = {
  /** By which `cellId` finds a cell of it from outside. */
  id?: string;
  title: string;
  hint?: string;
  columns: readonly Column[];
  rows: readonly Row[];
  units: Units;
  addText: string;
  /** What is wrong with a cell; nothing before the form was sent once. */
  faultOf: (key: number, name: string) => string | null;
  /** Its form is sent by no button of its own: a fault keeps what stands around it from being sent. */
  isLive?: boolean;
  onChange: (rows: Row[]) => void;
};

const isText = ({ of }: Column): boolean => of === 'named' || of === 'text';

export const cellId = (table: string, key: number, name: string): string => `${table}-${key}-${name}`;

/** A small table to type in, or to paste a block from a spreadsheet into. */
export function RowsField({ id: named, title, hint, columns, rows, units, addText, faultOf, isLive = false, onChange }: Props) {
  const own = useId();
  const id = named ?? own;
  const heading = (column: Column) => {
    if (column.of === 'length') return `${column.label} [${words.units.lengthNames[units.length]}]`;
    return column.of === 'mass' ? `${column.label} [${units.mass}]` : column.label;
  };
  return (
    <fieldset className="stack tight rows">
      <legend>{title}</legend>
      {hint !== undefined && <p className="soft">{hint}</p>}
      {columns.map(
        (column) =>
          column.of === 'named' && (
            <datalist key={column.name} id={`${id}-${column.name}`}>
              {column.among.map(({ id: one, label }) => (
                <option key={one} value={label} />
              ))}
            </datalist>
          ),
      )}
      {rows.length > 0 && (
        <table>
          <thead>
            <tr>
              {columns.map((column) => (
                <th key={column.name} scope="col">
                  {heading(column)}
                </th>
              ))}
              <th scope="col">
                <span className="unseen">{words.points.remove}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row, index) => (
              <tr key={row.key}>
                {columns.map((column) => {
                  const fault = faultOf(row.key, column.name);
                  const at = `${cellId(id, row.key, column.name)}-fault`;
                  return (
                    <td key={column.name}>
                      <input
                        id={cellId(id, row.key, column.name)}
                        ref={(field) => field?.setCustomValidity((isLive && fault) || '')}
                        size={isText(column) ? 12 : 7}
                        aria-label={words.points.cell(words.rows.row(index + 1), heading(column))}
                        {...(column.of === 'named' ? { list: `${id}-${column.name}` } : {})}
                        {...(isText(column) ? {} : { inputMode: 'decimal' as const })}
                        value={row.cells[column.name]?.text ?? ''}
                        onChange={(event) => onChange(withCell(rows, row.key, column.name, event.target.value))}
                        onPaste={(event) => {
                          const pasted = withPasted(columns, rows, row.key, column.name, event.clipboardData.getData('text/plain'));
                          if (pasted === null) return;
                          event.preventDefault();
                          onChange(pasted);
                        }}
                        {...(fault === null ? {} : { 'aria-invalid': true, 'aria-describedby': at })}
                      />
                      {fault !== null && (
                        <small id={at} className="fault">
                          {fault}
                        </small>
                      )}
                    </td>
                  );
                })}
                <td>
                  <button
                    type="button"
                    className="bare"
                    aria-label={words.points.removeNamed(words.rows.row(index + 1))}
                    onClick={() => onChange(rows.filter(({ key }) => key !== row.key))}
                  >
                    {words.rows.removeMark}
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <div>
        <button type="button" onClick={() => onChange([...rows, emptyRow(nextKey(rows))])}>
          {addText}
        </button>
      </div>
    </fieldset>
  );
}
