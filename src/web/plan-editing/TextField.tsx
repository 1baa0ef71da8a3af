import { Field } from '../parts/Field.tsx';

type Props = { label: string; value: string | null; onChange: (value: string | null) => void };

/** Taken over when it is left; empty = not stated. */
export function TextField({ label, value, onChange }: Props) {
  return (
    <Field
      key={value}
      label={label}
      size={24}
      defaultValue={value ?? ''}
      onBlur={({ target }) => {
        const text = target.value.trim() === '' ? null : target.value.trim();
        if (text !== value) onChange(text);
      }}
    />
  );
}
