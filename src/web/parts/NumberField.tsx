import { useState } from 'react';
import { kgToKn, knToKg } from '../../domain/foundation/units.ts';
import { useUnits } from '../units/units-choice.ts';
import { lengthField, massField, readLength, readMass, type Entered, type Units } from '../units/units.ts';
import { words } from '../words.ts';
import { Field } from './Field.tsx';

/** `force`: a value in kN, shown and read as the mass whose weight it is, in the person's unit of mass. */
type Of = 'mass' | 'force' | 'length' | 'plain';
type Props = {
  label: string;
  of: Of;
  value: number | null;
  onChange: (value: number | null) => void;
  optional?: boolean;
  fault?: string | null;
  isBare?: boolean;
};

const textOf = (value: number | null, of: Of, units: Units): string => {
  if (value === null) return '';
  if (of === 'force') return massField(knToKg(value), units);
  return of === 'mass' ? massField(value, units) : of === 'length' ? lengthField(value, units) : String(value);
};
const read = (text: string, of: Of, units: Units): Entered => {
  if (of === 'mass') return readMass(text, units);
  if (of === 'force') {
    const entered = readMass(text, units);
    return entered.ok ? { ...entered, value: kgToKn(entered.value) } : entered;
  }
  if (of === 'length') return readLength(text, units);
  return readLength(text, { ...units, length: 'm' });
};

/**
 * Takes the number when the field is left or Enter is pressed; what cannot be read stays, with what is wrong. A number that changes from
 * outside, or in another unit, takes the place of what was typed; the field itself stays, and so does the focus in it.
 */
export function NumberField({ label, of, value, onChange, optional = false, fault: told = null, isBare = false }: Props) {
  const units = useUnits();
  const start = textOf(value, of, units);
  const [typed, setTyped] = useState<{ over: string; text: string; fault: string | null }>({ over: start, text: start, fault: null });
  const { text, fault } = typed.over === start ? typed : { text: start, fault: null };
  const set = (next: string, found: string | null) => setTyped({ over: start, text: next, fault: found });
  const take = () => {
    if (text === start) return set(text, null);
    const isEmptied = text.trim() === '' && optional;
    const entered: Entered | null = isEmptied ? null : read(text, of, units);
    if (entered !== null && !entered.ok) return set(text, words.points.faults[entered.fault]);
    set(start, null); // what is typed is the value now, or was not taken: it must not come back by itself once that is undone
    onChange(entered === null ? null : entered.value);
  };
  const unit = of === 'mass' || of === 'force' ? units.mass : of === 'length' ? words.units.lengthNames[units.length] : '';
  return (
    <Field
      label={unit === '' ? label : `${label} [${unit}]`}
      isBare={isBare}
      size={9}
      inputMode="decimal"
      value={text}
      unreadable={fault}
      fault={told}
      onChange={(event) => set(event.target.value, fault)}
      onBlur={take}
      onKeyDown={(event) => event.key === 'Enter' && take()}
    />
  );
}
