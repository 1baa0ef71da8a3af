import { useId, type InputHTMLAttributes } from 'react';

/** `isBare`: its label stands beside it already, and is said alone. */
type FieldProps = { label: string; fault?: string | null; hint?: string; isBare?: boolean } & InputHTMLAttributes<HTMLInputElement>;

/** A labelled input. A fault is said beside it, and tied to it for those who do not see it. */
export function Field({ label, fault = null, hint, isBare = false, ...input }: FieldProps) {
  const id = useId();
  const told = [hint ? `${id}-hint` : '', fault ? `${id}-fault` : ''].filter((one) => one !== '').join(' ');
  return (
    <label className="field" htmlFor={id}>
      <span className={isBare ? 'unseen' : ''}>{label}</span>
      {hint && (
        <small id={`${id}-hint`} className="soft">
          {hint}
        </small>
      )}
      <input id={id} {...input} {...(told === '' ? {} : { 'aria-describedby': told })} {...(fault ? { 'aria-invalid': true } : {})} />
      {fault && (
        <small id={`${id}-fault`} className="fault">
          {fault}
        </small>
      )}
    </label>
  );
}
