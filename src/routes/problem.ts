import type { Result } from '../domain/foundation/result.ts';
import { PROBLEMS, type ProblemCode } from './problem-table.ts';

/** A typed failure on its way out: the code picks the row of the table, the facts travel as extension members. */
export type CodedError = { readonly code: ProblemCode };

export class ProblemError extends Error {
  readonly error: CodedError;
  readonly headers: Readonly<Record<string, string>>;
  constructor(error: CodedError & Record<string, unknown>, headers: Readonly<Record<string, string>> = {}) {
    super(error.code);
    this.error = error;
    this.headers = headers;
  }
}

/** Facts come first, so they can never replace a standard member. @source RFC 9457 */
export function toProblem({ code, ...facts }: CodedError & Record<string, unknown>, instance: string) {
  const { status, title, detail } = PROBLEMS[code];
  return { detail, ...facts, type: `/problems/${code}`, title, status, instance };
}

export function orProblem<T, E extends CodedError>(result: Result<T, E>): T {
  if (result.ok) return result.value;
  throw new ProblemError(result.error);
}
