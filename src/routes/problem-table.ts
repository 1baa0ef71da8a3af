type Row = { readonly status: number; readonly title: string; readonly detail: string };

/**
 * Every way to be refused: status, a title that never varies, and what to do about it. Served at /problems/<code>.
 * 400: the request does not fit the schema. 422: it fits, and what it asks for cannot be.
 */
export const PROBLEMS = {
  // ---- the request itself ----
  'invalid-request': {
    status: 400,
    title: 'The request does not fit its schema',
    detail: 'Each entry of errors points at a field and says how to mend it.',
  },
  'malformed-json': { status: 400, title: 'The body is not clean JSON', detail: 'Each entry of errors points at the place.' },
  'idempotency-key-needed': {
    status: 400,
    title: 'An Idempotency-Key header is needed',
    detail: 'Send a fresh random key with each act, and the same key when you repeat it.',
  },
  'acting-organisation-needed': {
    status: 400,
    title: 'It is not clear for which organisation you act',
    detail: 'You belong to several: name one in the Acting-Organisation header.',
  },
  'not-signed-in': { status: 401, title: 'Sign in first', detail: 'Send an access token or an API key in the Authorization header.' },
  'wrong-credentials': {
    status: 401,
    title: 'E-mail and password do not match',
    detail: 'Check both; an administrator of your organisation can make you a link to set a new password.',
  },
  'refresh-token-spent': {
    status: 401,
    title: 'The refresh token is not valid any more',
    detail: 'If it was used twice, every sign-in that came from it has been ended. Sign in again.',
  },
  'not-allowed': {
    status: 403,
    title: 'Your role does not allow this',
    detail: 'Ask somebody in your organisation who holds a role that does.',
  },
  'not-found': { status: 404, title: 'No such thing, or not for you to know', detail: 'Check the address; access may have ended.' },
  'method-not-allowed': {
    status: 405,
    title: 'This address does not take that method',
    detail: 'The Allow header lists those that it takes.',
  },
  'not-acceptable': { status: 406, title: 'Only application/json is served here', detail: 'Accept application/json.' },
  'too-large': { status: 413, title: 'The body is too large', detail: 'Send less at once.' },
  'unsupported-media-type': { status: 415, title: 'The body is of a type that is not taken here', detail: 'Send application/json.' },
  'if-match-needed': {
    status: 428,
    title: 'An If-Match header is needed',
    detail: 'Read the resource and send its ETag, so that nobody overwrites what they have not seen.',
  },
  'version-moved-on': {
    status: 412,
    title: 'Somebody has changed this since you read it',
    detail: 'Read it again and decide with the new version in view.',
  },
  'too-many-requests': { status: 429, title: 'Too many requests', detail: 'Wait as Retry-After says.' },
  'same-request-running': {
    status: 409,
    title: 'The same request is still running',
    detail: 'Repeat it in a moment, with the same Idempotency-Key.',
  },
  'idempotency-key-reused': {
    status: 422,
    title: 'This Idempotency-Key was used for another request',
    detail: 'Use a fresh key for each act.',
  },
  'not-ready': { status: 503, title: 'The service is not ready', detail: 'Try again in a moment.' },
  'too-busy': { status: 503, title: 'Too many requests at once', detail: 'Try again in a moment.' },
  'internal-error': {
    status: 500,
    title: 'Something went wrong here',
    detail: 'Nothing was changed. Quote the instance when you report it.',
  },
} as const satisfies Record<string, Row>;

export type ProblemCode = keyof typeof PROBLEMS;
