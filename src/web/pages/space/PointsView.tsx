import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useEffect, useState, type ClipboardEvent, type KeyboardEvent } from 'react';
import { api, valueOf, type Structure } from '../../api/client.ts';
import { Field } from '../../parts/Field.tsx';
import { pastedBlock } from '../../parts/pasted-block.ts';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useHistory } from '../../parts/use-history.ts';
import { useUnits } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import { RoofImport } from './RoofImport.tsx';
import { COLUMNS, emptyRow, isChanged, pasted, pointOf, rowOf, STATES, type Column, type Row } from './points-grid.ts';
import { useStructureChange, type StructureChange } from './use-structure-change.ts';

const PAGE = 50;

/** Points as a grid: typed in, or pasted as a block from a spreadsheet; saved all at once. */
export function PointsView({ spaceId, structure }: { spaceId: string; structure: Structure }) {
  const units = useUnits();
  const [isTyping, setTyping] = useState(false);
  const [back, setBack] = useState<readonly StructureChange[] | null>(null);
  const takeBack = useStructureChange(spaceId);
  return (
    <>
      {back !== null && !isTyping && (
        <div role="status" className="toast notice row">
          {words.points.saved(back.length)}
          <button type="button" disabled={takeBack.isPending} onClick={() => takeBack.mutate(back, { onSuccess: () => setBack(null) })}>
            {words.points.takeBack}
          </button>
        </div>
      )}
      {takeBack.isError && <ProblemPanel error={takeBack.error} />}
      {!isTyping && <RoofImport spaceId={spaceId} />}
      <Grid
        key={`${structure.version} ${units.mass} ${units.length}`}
        spaceId={spaceId}
        structure={structure}
        onSaved={setBack}
        onTyping={setTyping} // what is entered from a table takes the place of what was typed and not saved
      />
    </>
  );
}

type GridProps = {
  spaceId: string;
  structure: Structure;
  /** What would undo what was saved. */
  onSaved: (back: readonly StructureChange[]) => void;
  onTyping: (isTyping: boolean) => void;
};

const byLabel = new Intl.Collator('en', { numeric: true });

function Grid({ spaceId, structure, onSaved, onTyping }: GridProps) {
  const units = useUnits();
  const queries = useQueryClient();
  const history = useHistory<readonly Row[]>(
    [...structure.points].sort((a, b) => byLabel.compare(a.label, b.label)).map((point) => rowOf(point, units)),
  );
  const [filter, setFilter] = useState('');
  const [page, setPage] = useState(0);
  const rows = history.now;
  const changed = rows.filter((row) => isChanged(row, units));
  const isTyping = changed.length > 0;
  useEffect(() => onTyping(isTyping), [isTyping, onTyping]);
  const read = changed.filter(({ removed }) => !removed).map((row) => ({ row, ...pointOf(row, units) }));
  const faulty = read.filter(({ faults }) => faults !== null);
  const save = useMutation({
    mutationFn: () => {
      const kept = read.flatMap(({ row, point }) =>
        point === null
          ? []
          : [{ kind: 'points' as const, ifMatch: row.base === null ? null : (structure.versions[row.id] ?? null), item: point }],
      );
      const gone = changed
        .filter(({ removed, base }) => removed && base !== null)
        .map(({ id }) => ({ kind: 'remove' as const, of: 'points' as const, id, ifMatch: structure.versions[id] ?? 1 }));
      const changes = [...kept, ...gone] as never;
      return valueOf(api.POST('/api/v1/spaces/{spaceId}/structure/batch', { params: { path: { spaceId } }, body: { changes } }));
    },
    onSuccess: ({ items }) => {
      const versionOf = new Map(items.map(({ id, version }) => [id, version]));
      onSaved(changed.flatMap((row) => backOf(row, versionOf.get(row.id) ?? null)));
      return queries.invalidateQueries({ queryKey: ['structure', spaceId] });
    },
  });
  const set = (index: number, column: Column, text: string) =>
    history.change((before) => before.map((row, at) => (at === index ? { ...row, cells: { ...row.cells, [column]: text } } : row)));
  const onPaste = (index: number, column: Column) => (event: ClipboardEvent) => {
    const text = event.clipboardData.getData('text/plain');
    if (pastedBlock(text) === null) return; // one cell: as usual
    event.preventDefault();
    history.change((before) => pasted(before, index, column, text, () => crypto.randomUUID()));
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z') return;
    event.preventDefault();
    if (event.shiftKey) history.redo();
    else history.undo();
  };
  const wanted = filter.trim().toLowerCase();
  const shown = rows
    .map((row, index) => ({ row, index }))
    .filter(({ row }) => wanted === '' || row.cells.label.toLowerCase().includes(wanted));
  const pages = Math.max(1, Math.ceil(shown.length / PAGE));
  const at = Math.min(page, pages - 1);
  return (
    <section className="stack" onKeyDown={onKeyDown}>
      <p className="soft">{words.points.hint}</p>
      <div className="row">
        <Field label={words.points.filter} value={filter} onChange={(event) => setFilter(event.target.value)} />
        <button
          type="button"
          onClick={() => (history.change((before) => [...before, emptyRow(crypto.randomUUID())]), setFilter(''), setPage(Infinity))}
        >
          {words.points.add}
        </button>
        <button type="button" disabled={!history.canUndo} onClick={history.undo}>
          {words.undo}
        </button>
        <button type="button" disabled={!history.canRedo} onClick={history.redo}>
          {words.redo}
        </button>
        <button
          type="button"
          className="main"
          disabled={changed.length === 0 || faulty.length > 0 || save.isPending}
          onClick={() => save.mutate()}
        >
          {words.points.save(changed.length)}
        </button>
      </div>
      {faulty.length > 0 && (
        <p role="status" className="fault">
          {words.points.faulty(faulty.length, faulty[0]!.row.cells.label)}
        </p>
      )}
      {save.isError && <ProblemPanel error={save.error} />}
      <div className="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">{words.point.label}</th>
              <th scope="col" className="number">{`x [${words.units.lengthNames[units.length]}]`}</th>
              <th scope="col" className="number">{`y [${words.units.lengthNames[units.length]}]`}</th>
              <th scope="col" className="number">{`z [${words.units.lengthNames[units.length]}]`}</th>
              <th scope="col" className="number">{`${words.point.rating} [${units.mass}]`}</th>
              <th scope="col">{words.point.state}</th>
              <th scope="col">
                <span className="unseen">{words.points.remove}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {shown.slice(at * PAGE, (at + 1) * PAGE).map(({ row, index }) => (
              <PointRow
                key={row.id}
                row={row}
                faults={read.find((one) => one.row.id === row.id)?.faults ?? {}}
                isChanged={changed.includes(row)}
                onType={(column, text) => set(index, column, text)}
                onPaste={(column) => onPaste(index, column)}
                onRemove={() =>
                  history.change((before) => before.map((one, place) => (place === index ? { ...one, removed: !one.removed } : one)))
                }
              />
            ))}
          </tbody>
        </table>
      </div>
      {pages > 1 && (
        <div className="row">
          <button type="button" disabled={at === 0} onClick={() => setPage(at - 1)}>
            {words.points.previous}
          </button>
          <span>{words.points.page(at + 1, pages)}</span>
          <button type="button" disabled={at + 1 >= pages} onClick={() => setPage(at + 1)}>
            {words.points.next}
          </button>
        </div>
      )}
    </section>
  );
}

/** As it was before; where others have changed it since, the version tells, and nothing is taken back. */
function backOf({ id, base, removed }: Row, version: number | null): StructureChange[] {
  if (base !== null) return [{ kind: 'points', ifMatch: removed ? null : version, item: base }];
  return version === null ? [] : [{ kind: 'remove', of: 'points', id, ifMatch: version }];
}

function PointRow({
  row,
  faults,
  isChanged: changed,
  onType,
  onPaste,
  onRemove,
}: {
  row: Row;
  faults: Partial<Record<Column, string>>;
  isChanged: boolean;
  onType: (column: Column, text: string) => void;
  onPaste: (column: Column) => (event: ClipboardEvent) => void;
  onRemove: () => void;
}) {
  const name = row.cells.label || words.points.newPoint;
  return (
    <tr className={changed ? 'changed' : ''}>
      {COLUMNS.map((column) => (
        <td key={column} className={column === 'label' || column === 'state' ? '' : 'number'}>
          {column === 'state' ? (
            <select
              aria-label={words.points.cell(name, words.points.columns[column])}
              value={row.cells.state}
              disabled={row.removed}
              onChange={(event) => onType('state', event.target.value)}
            >
              {STATES.map((state) => (
                <option key={state} value={state}>
                  {words.point.states[state]}
                </option>
              ))}
            </select>
          ) : (
            <input
              aria-label={words.points.cell(name, words.points.columns[column])}
              className={column === 'label' ? 'wide' : 'number'}
              value={row.cells[column]}
              disabled={row.removed}
              onChange={(event) => onType(column, event.target.value)}
              onPaste={onPaste(column)}
              {...(faults[column] ? { 'aria-invalid': true, title: words.points.faults[faults[column] as 'empty'] } : {})}
            />
          )}
          {faults[column] && <div className="fault">{words.points.faults[faults[column] as 'empty']}</div>}
        </td>
      ))}
      <td>
        <button
          type="button"
          className="bare"
          aria-label={row.removed ? words.points.keepNamed(name) : words.points.removeNamed(name)}
          onClick={onRemove}
        >
          {row.removed ? words.points.keep : words.points.remove}
        </button>
      </td>
    </tr>
  );
}
