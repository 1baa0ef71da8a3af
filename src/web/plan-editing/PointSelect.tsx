import { useId, useState } from 'react';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { Field } from '../parts/Field.tsx';
import { words } from '../words.ts';

type Props = {
  label: string;
  points: readonly RoofPoint[];
  value: string | null;
  fault?: string | null;
  onChange: (point: RoofPoint) => void;
};

/** A point by its label: picked from the list, or typed and taken when the field is left or Enter is pressed. */
export function PointSelect({ label, points, value, fault: told = null, onChange }: Props) {
  const list = useId();
  const start = points.find(({ id }) => id === value)?.label ?? '';
  const [typed, setTyped] = useState<{ over: string; text: string; fault: string | null }>({ over: start, text: start, fault: null });
  const [isOpen, setOpen] = useState(false);
  const { text, fault } = typed.over === start ? typed : { text: start, fault: null };
  const take = (said: string) => {
    const point = points.find((one) => one.label === said.trim());
    const isTaken = point !== undefined && point.id !== value;
    // What is taken must not come back by itself once it is undone.
    setTyped({ over: start, text: isTaken ? start : said, fault: point || said === start ? null : words.rows.noSuch(said.trim()) });
    if (isTaken) onChange(point);
  };
  return (
    <>
      <Field
        label={label}
        size={10}
        list={list}
        autoComplete="off"
        value={text}
        unreadable={fault}
        fault={told}
        onFocus={() => setOpen(true)}
        onChange={({ target, nativeEvent }) => {
          // A label that is picked comes whole; one that is typed may be the beginning of another.
          if (nativeEvent instanceof InputEvent && nativeEvent.inputType !== 'insertReplacementText')
            setTyped({ over: start, text: target.value, fault: null });
          else take(target.value);
        }}
        onBlur={() => {
          take(text);
          setOpen(false);
        }}
        onKeyDown={(event) => event.key === 'Enter' && take(text)}
      />
      <datalist id={list}>{isOpen && points.map(({ id, label: name }) => <option key={id} value={name} />)}</datalist>
    </>
  );
}
