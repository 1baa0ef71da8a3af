import { useQuery } from '@tanstack/react-query';
import type { ReactNode } from 'react';
import { isGeneric } from '../../domain/plan/generic-ids.ts';
import type { PartUsed, Plan } from '../../domain/plan/plan.ts';
import { equipmentQuery } from '../api/queries.ts';
import { Loading } from '../parts/Loading.tsx';
import { NumberField } from '../parts/NumberField.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { useUnits } from '../units/units-choice.ts';
import { lengthText, massText } from '../units/units.ts';
import { words } from '../words.ts';
import { withPart, type CataloguePart } from './steels.ts';

/** What is inside once the rigging parts of the catalogue are there. */
export function WithParts({ children }: { children: (catalogue: readonly CataloguePart[]) => ReactNode }) {
  const catalogue = useQuery(equipmentQuery({ kind: 'part' }));
  if (catalogue.isPending) return <Loading what={words.equipment.title} />;
  if (catalogue.isLoadingError) return <ProblemPanel error={catalogue.error} onRetry={() => void catalogue.refetch()} />;
  return children(
    catalogue.data.items.flatMap((item): CataloguePart[] => (item.data.kind === 'part' ? [{ ...item, data: item.data }] : [])),
  );
}

type PartsProps = {
  title: string;
  plan: Plan;
  parts: readonly PartUsed[];
  catalogue: readonly CataloguePart[];
  onChange: (plan: Plan, parts: PartUsed[]) => void;
};

const SLINGS: readonly string[] = ['wireRope', 'textile', 'chain'];

/** The parts of one line, each by hand: from the plan or from the catalogue. */
export function PartsField({ title, plan, parts, catalogue, onChange }: PartsProps) {
  const units = useUnits();
  const dataOf = (name: string) => {
    const data = plan.equipment[name]?.data;
    return data?.kind === 'part' ? data : null;
  };
  const isSketch = (name: string) => {
    const from = plan.equipment[name]?.from;
    return from !== null && from !== undefined && isGeneric(from.itemId);
  };
  const inPlan = Object.keys(plan.equipment).filter((name) => dataOf(name) !== null);
  const taken = new Set(Object.values(plan.equipment).map(({ from }) => (from ? `${from.itemId} ${from.version}` : '')));
  const others = catalogue.filter(({ id, latest }) => !taken.has(`${id} ${latest}`));
  const add = (value: string) => {
    const found = others.find(({ id }) => value === `item ${id}`);
    const named = found ? withPart(plan, found) : { plan, name: inPlan.find((name) => value === `plan ${name}`) };
    if (named.name !== undefined) onChange(named.plan, [...parts, { equipment: named.name, count: 1, hitch: 'straight' }]);
  };
  const set = (index: number, change: Partial<PartUsed>) =>
    onChange(
      plan,
      parts.map((part, at) => (at === index ? { ...part, ...change } : part)),
    );
  return (
    <fieldset className="stack tight rows">
      <legend>{title}</legend>
      {parts.length === 0 && <p className="soft">{words.steels.none}</p>}
      <ul className="plain stack tight">
        {parts.map((part, index) => {
          const data = dataOf(part.equipment);
          const name = data?.name ?? part.equipment;
          const named = (what: string) => words.points.cell(name, what);
          const facts = [
            typeof data?.lengthM === 'number' ? lengthText(data.lengthM, units) : words.steels.noLength,
            typeof data?.wllKg === 'number' ? words.steels.wll(massText(data.wllKg, units, 'capacity')) : words.steels.noWll,
          ];
          return (
            <li key={index} className="row part">
              <NumberField
                isBare
                label={named(words.steels.count)}
                of="plain"
                value={part.count}
                onChange={(count) => count !== null && set(index, { count })}
              />
              <span>
                × {name}{' '}
                <span className="soft">
                  {facts.join(', ')}
                  {isSketch(part.equipment) && `. ${words.steels.sketch}`}
                </span>
              </span>
              {data !== null && SLINGS.includes(data.part) && (
                <select
                  aria-label={named(words.steels.hitch)}
                  value={part.hitch ?? ''}
                  onChange={({ target: { value } }) =>
                    set(index, { hitch: value === 'straight' || value === 'choke' || value === 'basket' ? value : null })
                  }
                >
                  <option value="">{words.notStated}</option>
                  {Object.entries(words.equipment.choices.hitches).map(([hitch, text]) => (
                    <option key={hitch} value={hitch}>
                      {text}
                    </option>
                  ))}
                </select>
              )}
              {part.hitch === 'basket' && (
                <NumberField
                  label={words.steels.basket}
                  of="plain"
                  optional
                  value={part.basketDeg ?? null}
                  onChange={(basketDeg) => set(index, { basketDeg })}
                />
              )}
              {part.hitch !== null && part.hitch !== 'straight' && (
                <NumberField
                  label={words.steels.bend}
                  of="plain"
                  optional
                  value={part.bendRatio ?? null}
                  onChange={(bendRatio) => set(index, { bendRatio })}
                />
              )}
              {data?.part === 'clamp' && (
                <NumberField
                  label={words.steels.flange}
                  of="length"
                  optional
                  value={part.flangeM ?? null}
                  onChange={(flangeM) => set(index, { flangeM })}
                />
              )}
              <button
                type="button"
                className="bare"
                aria-label={words.points.removeNamed(name)}
                onClick={() =>
                  onChange(
                    plan,
                    parts.filter((_, at) => at !== index),
                  )
                }
              >
                {words.rows.removeMark}
              </button>
            </li>
          );
        })}
      </ul>
      <select aria-label={words.points.cell(title, words.steels.add)} value="" onChange={(event) => add(event.target.value)}>
        <option value="">{words.steels.add}</option>
        {inPlan.length > 0 && (
          <optgroup label={words.steels.inPlan}>
            {inPlan.map((name) => (
              <option key={name} value={`plan ${name}`}>
                {dataOf(name)?.name ?? name}
              </option>
            ))}
          </optgroup>
        )}
        <optgroup label={words.equipment.title}>
          {others.map(({ id, data }) => (
            <option key={id} value={`item ${id}`}>
              {data.name}
            </option>
          ))}
        </optgroup>
      </select>
    </fieldset>
  );
}
