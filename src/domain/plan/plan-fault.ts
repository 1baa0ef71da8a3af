/** One thing that cannot be, found by a JSON pointer into the plan (RFC 6901). */
export type PlanFault = { readonly pointer: string; readonly code: string; readonly message: string };
