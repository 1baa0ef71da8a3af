import { useState } from 'react';
import { useUnits } from '../units/units-choice.ts';
import { lengthField, massField, readLength, readMass, type Entered, type Units } from '../units/units.ts';
import { words } from '../words.ts';
import { Field } from './Field.tsx';

type Of = 'mass' | 'length' | 'plain';
type Props = { label: string; of: Of; value: number | null; onChange: (value: number | null) => void; optional?: boolean };

const textOf = (value: number | null, of: Of, units: Units): string => {
  if (value === null) return '';
  return of === 'mass' ? massField(value, units) : of === 'length' ? lengthField(value, units) : String(value);
};
const read = (text: string, of: Of, units: Units): Entered => {
  if (of === 'mass') return readMass(text, units);
  if (of === 'length') return readLength(text, units);
  return readLength(text, { ...units, length: 'm' });
};

/** Takes the number when the field is left or Enter is pressed; what cannot be read stays, with what is wrong. */
export function NumberField(props: Props) {
  const units = useUnits();
  return <Inner key={`${props.value} ${units.mass} ${units.length}`} {...props} units={units} />;
}

function Inner({ label, of, value, onChange, optional = false, units }: Props & { units: Units }) {
  const start = textOf(value, of, units);
  const [text, setText] = useState(start);
  const [fault, setFault] = useState<string | null>(null);
  const take = () => {
    if (text === start) return setFault(null);
    if (text.trim() === '' && optional) return onChange(null);
    const entered = read(text, of, units);
    if (entered.ok) onChange(entered.value);
    setFault(entered.ok ? null : words.points.faults[entered.fault]);
  };
  const unit = of === 'mass' ? units.mass : of === 'length' ? words.units.lengthNames[units.length] : '';
  return (
    <Field
      label={unit === '' ? label : `${label} [${unit}]`}
      size={9}
      inputMode="decimal"
      value={text}
      fault={fault}
      onChange={(event) => setText(event.target.value)}
      onBlur={take}
      onKeyDown={(event) => event.key === 'Enter' && take()}
    />
  );
}
