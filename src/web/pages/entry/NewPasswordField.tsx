import { Field } from '../../parts/Field.tsx';
import { words } from '../../words.ts';

type Props = { label: string; value: string; fault: string | null; onChange: (password: string) => void };

/** A password to be: its rule is said before, and held before anything is sent. */
export const NewPasswordField = ({ label, value, fault, onChange }: Props) => (
  <Field
    label={label}
    type="password"
    autoComplete="new-password"
    hint={words.entry.passwordRule}
    required
    minLength={10}
    value={value}
    fault={fault}
    onChange={(event) => onChange(event.target.value)}
  />
);
