import { words } from '../words.ts';

type Props = { label: string; value: boolean | null; onChange: (value: boolean | null) => void };

export const YesNo = ({ label, value, onChange }: Props) => (
  <label className="field">
    <span>{label}</span>
    <select
      value={value === null ? '' : String(value)}
      onChange={(event) => onChange(event.target.value === '' ? null : event.target.value === 'true')}
    >
      <option value="">{words.notStated}</option>
      <option value="true">{words.yes}</option>
      <option value="false">{words.no}</option>
    </select>
  </label>
);
