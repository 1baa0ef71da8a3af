import type { FastifyInstance, FastifySchema } from 'fastify';
import type { z } from 'zod';
import type { Result } from '../../domain/foundation/result.ts';
import { fail, ok } from '../../domain/foundation/result.ts';
import type { Reckoning } from '../../domain/statics/hoist-line-reckoning.ts';
import { faultsOf, problems } from '../errors.ts';
import { orProblem, type CodedError } from '../problem.ts';

type Refusal = CodedError & Record<string, unknown>;
export type Calculated = { readonly answer: unknown; readonly reckonings: readonly Reckoning[] };

/** A question that anyone may ask, over HTTP and on the command line alike. */
export type Calculator = {
  readonly name: string;
  readonly summary: string;
  readonly example: unknown;
  readonly serve: (app: FastifyInstance) => void;
  readonly run: (question: unknown) => Result<Calculated, Refusal>;
};

type Spec<Body extends z.ZodType, View extends z.ZodType> = {
  readonly name: string;
  readonly operationId: string;
  readonly summary: string;
  readonly body: Body;
  readonly view: View;
  readonly example: z.input<Body>;
  /** Domain code behind the units of the border: kg, kN, kNm, m, mm, degrees. */
  readonly answer: (question: z.output<Body>) => Result<z.input<View>, Refusal>;
  /** How the answer came about, so that it can be checked by hand. */
  readonly reckon: (question: z.output<Body>, answer: z.input<View>) => readonly Reckoning[];
};

export function calculator<Body extends z.ZodType, View extends z.ZodType>(spec: Spec<Body, View>): Calculator {
  const { name, operationId, summary, body, view, example, answer, reckon } = spec;
  return {
    name,
    summary,
    example,
    serve: (app) => {
      const schema: FastifySchema = {
        operationId,
        tags: ['calculations'],
        summary,
        body: body.meta({ examples: [example] }),
        response: { 200: view, ...problems(413, 415, 422) },
      };
      // The body is checked already; it is parsed again for its type.
      app.post(`/calculations/${name}`, { config: { open: true, rate: 'calculations' }, schema }, async (request) =>
        orProblem(answer(body.parse(request.body))),
      );
    },
    run: (question) => {
      const parsed = body.safeParse(question);
      if (!parsed.success) return fail({ code: 'invalid-request', errors: parsed.error.issues.flatMap((issue) => faultsOf('', issue)) });
      const answered = answer(parsed.data);
      if (!answered.ok) return answered;
      return ok({ answer: view.parse(answered.value), reckonings: reckon(parsed.data, answered.value) });
    },
  };
}
