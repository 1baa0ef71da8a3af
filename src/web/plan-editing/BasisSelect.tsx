import type { MassBasis } from '../../domain/plan/plan.ts';
import { words } from '../words.ts';

const BASES: readonly MassBasis[] = ['weighed', 'documented', 'estimated'];

export const BasisSelect = ({ value, onChange }: { value: MassBasis | null; onChange: (basis: MassBasis | null) => void }) => (
  <label className="field">
    <span>{words.hang.basis}</span>
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
