/** A typed outcome. A failure says that no answer exists; a finding about a bad hang is a good answer and is returned in `value`. */
export type Result<T, E> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: E };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });
export const fail = <const E>(error: E): { readonly ok: false; readonly error: E } => ({ ok: false, error });
