import type { MassBasis } from '../../domain/plan/plan.ts';
import { words } from '../words.ts';

const BASES: readonly MassBasis[] = ['weighed', 'documented', 'estimated'];

type Props = { label?: string; value: MassBasis | null; onChange: (basis: MassBasis | null) => void };

export const BasisSelect = ({ label = words.hang.basis, value, onChange }: Props) => (
  <label className="field">
    <span>{label}</span>
    <select value={value ?? ''} onChange={(event) => onChange(BASES.find((basis) => basis === event.target.value) ?? null)}>
      <option value="">{words.notStated}</option>
      {BASES.map((basis) => (
        <option key={basis} value={basis}>
          {words.hang.bases[basis]}
        </option>
      ))}
    </select>
  </label>
);
