import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { MassBasis, TrussLoads, TrussSection } from '../../domain/plan/plan.ts';
import { equipmentQuery } from '../api/queries.ts';
import { factName } from '../parts/fact-text.ts';
import { Loading } from '../parts/Loading.tsx';
import { NumberField } from '../parts/NumberField.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { RowsField } from '../parts/RowsField.tsx';
import { readRows, rowsOf, type Column, type Row } from '../parts/typed-rows.ts';
import { useUnits } from '../units/units-choice.ts';
import type { Units } from '../units/units.ts';
import { words } from '../words.ts';
import { BasisSelect } from './BasisSelect.tsx';
import { sectionOf } from './edit-truss.ts';
import { TextField } from './TextField.tsx';

const BASES = Object.entries(words.hang.bases).map(([id, label]) => ({ id, label }));
const OF_ALL: readonly Column<'basis' | 'besideM' | 'aboveM'>[] = [
  { name: 'basis', label: words.truss.basis, of: 'named', among: BASES, optional: true },
  { name: 'besideM', label: words.truss.beside, of: 'length', optional: true },
  { name: 'aboveM', label: words.truss.aboveAxis, of: 'length', optional: true },
];
const POINT: readonly Column<keyof TrussLoads['pointLoads'][number]>[] = [
  { name: 'what', label: words.truss.what, of: 'text' },
  { name: 'atM', label: words.truss.at, of: 'length' },
  { name: 'massKg', label: words.truss.mass, of: 'mass', optional: true },
  ...OF_ALL,
];
const SPREAD: readonly Column<keyof TrussLoads['spreadLoads'][number]>[] = [
  { name: 'what', label: words.truss.what, of: 'text' },
  { name: 'fromM', label: words.truss.from, of: 'length' },
  { name: 'toM', label: words.truss.to, of: 'length' },
  { name: 'kgPerM', label: words.truss.kgPerM, of: 'plain', optional: true },
  ...OF_ALL,
];

/** What hangs on one truss, or on one side of a frame. */
export function Loads({ build, onChange }: { build: TrussLoads; onChange: (change: Partial<TrussLoads>) => void }) {
  return (
    <>
      <LoadRows
        title={words.truss.pointLoads}
        columns={POINT}
        values={build.pointLoads}
        addText={words.truss.addPoint}
        onChange={(pointLoads) => onChange({ pointLoads })}
      />
      <LoadRows
        title={words.truss.spreadLoads}
        columns={SPREAD}
        values={build.spreadLoads}
        addText={words.truss.addSpread}
        onChange={(spreadLoads) => onChange({ spreadLoads })}
      />
    </>
  );
}

type LoadRowsProps<T> = {
  title: string;
  hint?: string;
  columns: readonly Column<keyof T & string>[];
  values: T[];
  addText: string;
  onChange: (values: T[]) => void;
};

type Typed<T> = { over: T[]; units: Units; rows: readonly Row[]; told: readonly Row[]; isLeft: boolean };

/**
 * Taken over when a cell is left, and then what is wrong with it is said; of one that is still empty when the whole table is. Values from
 * outside, as by undo, take the place of what is typed.
 */
export function LoadRows<T extends object>({ title, hint = words.truss.loadsHint, columns, values, addText, onChange }: LoadRowsProps<T>) {
  const units = useUnits();
  const began = rowsOf(columns, values, units);
  const start: Typed<T> = { over: values, units, rows: began, told: [], isLeft: false };
  const [kept, setTyped] = useState(start);
  const typed = kept.over === values && kept.units === units ? kept : start;
  const read = readRows<T>(columns, typed.rows, units);
  const take = (rows: readonly Row[], isLeft: boolean) => {
    const found = readRows<T>(columns, rows, units).rows;
    const isSame = found === null || JSON.stringify(found) === JSON.stringify(readRows<T>(columns, began, units).rows);
    const next = isSame ? values : [...found];
    setTyped({ over: next, units, rows, told: rows, isLeft });
    if (!isSame) onChange(next);
  };
  const faultOf = (key: number, name: string) => {
    const [now, before] = [typed.rows, typed.told].map((rows) => rows.find((row) => row.key === key)?.cells[name]?.text ?? '');
    return typed.isLeft || (now !== '' && now === before) ? read.fault(key, name) : null;
  };
  return (
    <div
      onBlur={({ currentTarget, relatedTarget }) =>
        take(typed.rows, typed.isLeft || !(relatedTarget instanceof Node && currentTarget.contains(relatedTarget)))
      }
    >
      <RowsField
        isLive
        title={title}
        hint={hint}
        columns={columns}
        rows={typed.rows}
        units={units}
        addText={addText}
        faultOf={faultOf}
        onChange={(rows) => (rows.length < typed.rows.length ? take(rows, typed.isLeft) : setTyped({ ...typed, rows }))}
      />
    </div>
  );
}

const NUMBERS = ['selfKgPerM', 'eiKnm2', 'gaKn', 'saggingKnm', 'hoggingKnm', 'shearKn'] as const satisfies readonly (keyof TrussSection)[];

type SectionProps = { section: TrussSection; isFrame?: boolean; onChange: (section: TrussSection) => void };

/** Taken from the catalogue as it is now, or typed in. A frame turns its sides too. */
export function Section({ section, isFrame = false, onChange }: SectionProps) {
  const catalogue = useQuery(equipmentQuery({ kind: 'truss' }));
  const set = (change: Partial<TrussSection>) => onChange({ ...section, ...change });
  const spans = section.spanTable?.length ?? 0;
  return (
    <fieldset className="stack tight rows">
      <legend>{words.truss.section}</legend>
      <p className="soft">{words.truss.sectionHint}</p>
      {catalogue.isPending && <Loading what={words.equipment.title} />}
      {catalogue.isLoadingError && <ProblemPanel error={catalogue.error} onRetry={() => void catalogue.refetch()} />}
      {catalogue.data && (
        <select
          aria-label={words.truss.take}
          value=""
          onChange={({ target: { value } }) => {
            const data = catalogue.data.items.find(({ id }) => id === value)?.data;
            if (data?.kind === 'truss') onChange(sectionOf(data));
          }}
        >
          <option value="">{words.truss.take}</option>
          {catalogue.data.items.map(({ id, data }) => (
            <option key={id} value={id}>
              {data.name}
            </option>
          ))}
        </select>
      )}
      <div className="row">
        {[...NUMBERS, ...(isFrame ? (['gjKnm2'] as const) : [])].map((fact) => (
          <NumberField
            key={fact}
            label={fact === 'shearKn' ? words.truss.shear : factName(fact)}
            of="plain"
            optional
            value={section[fact]}
            onChange={(value) => set({ [fact]: value })}
          />
        ))}
        <BasisSelect
          label={words.truss.selfBasis}
          value={section.selfBasis === undefined ? 'documented' : section.selfBasis}
          onChange={(selfBasis: MassBasis | null) => set({ selfBasis })}
        />
        <NumberField
          label={factName('nodeSpacingM')}
          of="length"
          optional
          value={section.nodeSpacingM}
          onChange={(nodeSpacingM) => set({ nodeSpacingM })}
        />
        <TextField
          label={factName('allowablesBasis')}
          value={section.allowablesBasis}
          onChange={(allowablesBasis) => set({ allowablesBasis })}
        />
      </div>
      {spans > 0 && (
        <p className="row">
          {words.truss.spans(spans)}
          <button type="button" onClick={() => set({ spanTable: null })}>
            {words.truss.noSpans}
          </button>
        </p>
      )}
    </fieldset>
  );
}
