import { Field } from '../../parts/Field.tsx';
import { words } from '../../words.ts';
import { MUST, type TermsFaults, type TypedTerms } from './terms-typed.ts';

type Props = { typed: TypedTerms; faults: TermsFaults; onChange: (typed: TypedTerms) => void };

/** Where a capacity comes from and what it means. What is left open reads unknown. */
export function TermsFields({ typed, faults, onChange }: Props) {
  const set = (change: Partial<TypedTerms>) => onChange({ ...typed, ...change });
  const text = (name: 'day' | 'role' | 'document' | 'standard' | 'permanent' | 'imposed' | 'dynamicFactor', type = 'text') => (
    <Field
      label={words.terms[name]}
      type={type}
      value={typed[name]}
      fault={name === 'standard' ? null : (faults[name] ?? null)}
      onChange={(event) => set({ [name]: event.target.value })}
    />
  );
  return (
    <>
      <div className="row">
        <Select label={words.terms.kind} value={typed.kind} texts={words.terms.kinds} onChange={(kind) => set({ kind })} />
        {text('document')}
        {text('day', 'date')}
        {text('role')}
        {text('standard')}
      </div>
      <div className="row">
        <Select label={words.terms.format} value={typed.format} texts={words.terms.formats} onChange={(format) => set({ format })} />
        {typed.format === 'design' && text('permanent')}
        {typed.format === 'design' && text('imposed')}
        <Select label={words.terms.dynamic} value={typed.dynamic} texts={words.terms.dynamics} onChange={(dynamic) => set({ dynamic })} />
        {typed.dynamic === 'included' && text('dynamicFactor')}
        <Select label={words.terms.others} value={typed.others} texts={words.terms.otherChoices} onChange={(others) => set({ others })} />
      </div>
      <fieldset className="sheet row">
        <legend>{words.terms.mustInclude}</legend>
        <label className="row">
          <input type="checkbox" checked={typed.isIncludeStated} onChange={(event) => set({ isIncludeStated: event.target.checked })} />
          {words.terms.includeStated}
        </label>
        {typed.isIncludeStated &&
          MUST.map((one) => (
            <label key={one} className="row">
              <input
                type="checkbox"
                checked={typed.mustInclude.includes(one)}
                onChange={(event) =>
                  set({ mustInclude: MUST.filter((part) => (part === one ? event.target.checked : typed.mustInclude.includes(part))) })
                }
              />
              {words.terms.includes[one]}
            </label>
          ))}
      </fieldset>
    </>
  );
}

function Select<K extends string>({
  label,
  value,
  texts,
  onChange,
}: {
  label: string;
  value: K;
  texts: Readonly<Record<K, string>>;
  onChange: (value: K) => void;
}) {
  const keys = Object.keys(texts) as K[];
  return (
    <label className="field">
      <span>{label}</span>
      <select value={value} onChange={(event) => onChange(keys.find((key) => key === event.target.value) ?? value)}>
        {keys.map((key) => (
          <option key={key} value={key}>
            {texts[key]}
          </option>
        ))}
      </select>
    </label>
  );
}
