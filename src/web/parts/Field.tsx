import { useId, type InputHTMLAttributes } from 'react';

/**
 * `isBare`: its label stands beside it already, and is said alone. `unreadable`: why what is typed cannot be read; no form is sent as long
 * as it is so, since the value before it would be.
 */
type FieldProps = {
  label: string;
  fault?: string | null;
  unreadable?: string | null;
  hint?: string;
  isBare?: boolean;
} & InputHTMLAttributes<HTMLInputElement>;

/** A labelled input. A fault is said beside it, and tied to it for those who do not see it. */
export function Field({ label, fault: found = null, unreadable = null, hint, isBare = false, ...input }: FieldProps) {
  const fault = unreadable ?? found;
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
      <input
        id={id}
        ref={(field) => field?.setCustomValidity(unreadable ?? '')}
        {...input}
        {...(told === '' ? {} : { 'aria-describedby': told })}
        {...(fault ? { 'aria-invalid': true } : {})}
      />
      {fault && (
        <small id={`${id}-fault`} className="fault">
          {fault}
        </small>
      )}
    </label>
  );
}

/** Goes to the first field that holds what cannot be read, and has it say so. True = there is one, and nothing may be done yet. */
export function stopsAtUnreadable(within: Element | null): boolean {
  const field = within?.querySelector<HTMLInputElement>('input:invalid') ?? null;
  field?.reportValidity();
  return field !== null;
}
