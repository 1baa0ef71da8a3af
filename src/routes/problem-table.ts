type Row = { readonly status: number; readonly title: string; readonly detail: string };

/**
 * Every way to be refused: status, a title that never varies, and what to do about it. Served at /problems/<code>.
 * 400: the request does not fit the schema. 422: it fits, and what it asks for cannot be.
 */
export const PROBLEMS = {
  // ---- proposals and agreement ----
  'key-not-allowed': {
    status: 403,
    title: 'This API key does not allow this',
    detail: 'Its scopes, or what keys may do at all, do not cover it: sign in.',
  },
  'not-yours': { status: 403, title: 'This is for others to do', detail: 'The seats that may are listed.' },
  'author-cannot-decide': {
    status: 403,
    title: 'Whoever worked on the plan does not judge it',
    detail: 'Somebody else on the venue side decides.',
  },
  'wrong-state': {
    status: 409,
    title: 'The proposal is in a state that does not allow this',
    detail: 'Read it again; why says what stands in the way.',
  },
  'needs-unagree': {
    status: 409,
    title: 'The plan is agreed',
    detail: 'Send unagree=true to change it knowing that the agreement goes stale.',
  },
  'may-be-hanging': { status: 409, title: 'It may be in the air', detail: 'Suspend it at once if need be, and strike it when it is down.' },
  'assessment-moved-on': {
    status: 412,
    title: 'There is a newer assessment than the one read',
    detail: 'Read the latest one and decide on that.',
  },
  'roof-moved': {
    status: 409,
    title: 'The roof has filled up or changed since this was assessed',
    detail: 'The new assessment is enclosed: decide on that.',
  },
  'requirements-unmet': {
    status: 409,
    title: 'Something stands in the way of a yes',
    detail: 'Each unmet requirement says whose turn it is.',
  },
  'ticks-missing': {
    status: 400,
    title: 'Checks are not ticked',
    detail: 'Tick each check that is close, over or unknown, with its number beside its limit as they are in the assessment.',
  },
  'neighbours-would-break': {
    status: 409,
    title: 'A standing agreement beside this one would break',
    detail: 'The checks that would become over or unknown are listed by agreement.',
  },
  'reason-missing': { status: 422, title: 'A reason is needed', detail: 'Say why, in words that the other side can act on.' },
  'conditions-do-not-match': {
    status: 422,
    title: 'Answer and conditions do not match',
    detail: 'Agreeing with conditions names at least one; agreeing names none.',
  },
  'validity-in-the-past': { status: 422, title: 'The yes would have ended already', detail: 'Give a later end, or none.' },
  'override-not-possible': { status: 409, title: 'This cannot be set aside', detail: 'Why says what stands in the way.' },
  'handover-not-possible': {
    status: 409,
    title: 'The deciding cannot be handed over like this',
    detail: 'Why says what stands in the way.',
  },
  'plan-not-valid': { status: 422, title: 'The plan says something impossible', detail: 'Each fault points at its place.' },
  'hang-not-computed': {
    status: 422,
    title: 'A hang of a kind that is not computed',
    detail: 'Give the load of each of its pick-ups with where it comes from, or leave it out.',
  },
  'roof-not-published': {
    status: 409,
    title: 'No published roof to assess on',
    detail: 'The venue publishes a revision first, and lets you read it.',
  },
  'access-needed': { status: 409, title: 'The venue has not let you in', detail: 'Ask for access to the space first.' },
  'show-has-proposals': {
    status: 409,
    title: 'The dates were put to the venue',
    detail: 'Withdraw the proposals of this show, or open another show.',
  },
  // ---- the register and access ----
  'label-taken': {
    status: 409,
    title: 'Another one has this label',
    detail: 'Labels are unique within a kind; case and spaces do not tell them apart.',
  },
  'already-there': { status: 409, title: 'It exists already', detail: 'Send If-Match to replace it.' },
  'draft-not-publishable': {
    status: 422,
    title: 'The working copy cannot be published as it is',
    detail: 'Each fault points at its place.',
  },
  'access-already': { status: 409, title: 'Access is in another state', detail: 'Read it again.' },
  'end-in-the-past': { status: 422, title: 'The end lies in the past', detail: 'Give a later one.' },
  // ---- files and imports ----
  'file-empty': { status: 422, title: 'The file is empty', detail: 'Send the file itself as the body.' },
  'file-too-large': { status: 413, title: 'The file is too large', detail: 'Leave out pictures and other sheets.' },
  'file-format-not-read': { status: 422, title: 'Not a file that is read here', detail: 'Save it as CSV or XLSX.' },
  'file-encrypted': { status: 422, title: 'The file is protected by a password', detail: 'Save it without one.' },
  'archive-damaged': { status: 422, title: 'The workbook is damaged', detail: 'Open it in a spreadsheet and save it again.' },
  'archive-too-many-entries': { status: 422, title: 'The workbook holds too many parts', detail: 'Save only the sheet with the table.' },
  'archive-unpacks-too-large': { status: 422, title: 'The workbook unpacks to too much', detail: 'Save only the sheet with the table.' },
  'archive-ratio-too-high': {
    status: 422,
    title: 'The workbook unpacks to far more than it is',
    detail: 'Save only the sheet with the table, without empty rows.',
  },
  'archive-entry-name-unsafe': {
    status: 422,
    title: 'The workbook names a part outside itself',
    detail: 'Save it again with a spreadsheet.',
  },
  'archive-entry-twice': { status: 422, title: 'The workbook holds a part twice', detail: 'Save it again with a spreadsheet.' },
  'xml-doctype': { status: 422, title: 'The workbook declares a document type', detail: 'Save it again with a spreadsheet.' },
  'xml-not-utf8': { status: 422, title: 'A part of the workbook is not UTF-8', detail: 'Save it again with a spreadsheet.' },
  'workbook-damaged': { status: 422, title: 'The workbook is damaged', detail: 'Open it in a spreadsheet and save it again.' },
  'workbook-cell-malformed': { status: 422, title: 'A cell of the workbook is malformed', detail: 'Enter the named cell again.' },
  'sheet-not-chosen': { status: 422, title: 'Several sheets hold something', detail: 'Name the one with the table.' },
  'sheet-not-found': { status: 422, title: 'There is no such sheet', detail: 'The sheets are listed.' },
  'text-not-decodable': { status: 422, title: 'The text is not in this encoding', detail: 'Name another, or save the file as UTF-8.' },
  'csv-quote-not-closed': { status: 422, title: 'A quote is not closed', detail: 'Close it in the named row, or double it.' },
  'csv-row-too-long': { status: 422, title: 'A row is too long', detail: 'Look for a quote that is not closed before it.' },
  'table-too-many-rows': { status: 422, title: 'The table has too many rows', detail: 'Split it.' },
  'table-too-many-columns': { status: 422, title: 'The table has too many columns', detail: 'Leave out those that are not needed.' },
  'table-without-heading-row': {
    status: 422,
    title: 'No row of headings was found',
    detail: 'Name the row, or put headings above the table.',
  },
  'heading-row-not-found': { status: 422, title: 'The row of headings is not there', detail: 'Name a row that holds headings.' },
  'reading-took-too-long': { status: 422, title: 'The file took too long to read', detail: 'Save only the sheet with the table.' },
  'reading-took-too-much-memory': {
    status: 422,
    title: 'The file took too much memory to read',
    detail: 'Save only the sheet with the table.',
  },
  'import-label-column-missing': { status: 422, title: 'No column of labels was found', detail: 'Say which column holds them.' },
  'import-field-unknown': { status: 422, title: 'There is no such field', detail: 'The fields are listed.' },
  'import-column-missing': { status: 422, title: 'The table has no such column', detail: 'Columns are counted from 0.' },
  'import-column-chosen-twice': { status: 422, title: 'One column is chosen for several fields', detail: 'Give each field its own.' },
  'import-unit-does-not-fit': { status: 422, title: 'The unit does not measure this', detail: 'The units that do are listed.' },
  'import-answer-not-offered': { status: 422, title: 'This answer was not on offer', detail: 'The answers are listed.' },
  'import-questions-open': { status: 409, title: 'Questions are open', detail: 'Answer them; nothing doubtful is entered.' },
  'import-applied': { status: 409, title: 'The import was entered already', detail: 'Bring the file again to enter it anew.' },
  // ---- people and organisations ----
  'roles-do-not-fit': {
    status: 422,
    title: 'These roles are not of this kind of organisation',
    detail: 'The roles that it has are listed.',
  },
  'last-administrator': {
    status: 409,
    title: 'Nobody else is administrator',
    detail: 'Make another member administrator first.',
  },
  'already-a-member': { status: 409, title: 'They belong to the organisation already', detail: 'Change the roles of the member instead.' },
  'invitation-for-another': {
    status: 403,
    title: 'The invitation is for another e-mail address',
    detail: 'Sign in with the invited address, or ask for an invitation of this one.',
  },
  'link-not-valid': {
    status: 404,
    title: 'This link is not valid, or not any more',
    detail: 'It may have been used, taken back or run out: ask for a new one.',
  },
  'member-of-others': {
    status: 409,
    title: 'This person belongs to another organisation too',
    detail: 'A link would open that one as well. They change the password themselves, signed in.',
  },
  'wrong-password': { status: 422, title: 'The present password is not right', detail: 'Nothing was changed. Check it.' },
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
  'password-too-weak': { status: 422, title: 'The password is too weak', detail: 'The entry of errors says what it needs.' },
  'email-taken': {
    status: 409,
    title: 'This e-mail address has an account',
    detail: 'Sign in with it, or ask an administrator for a link to set a new password.',
  },
  'not-a-member': {
    status: 403,
    title: 'You do not belong to that organisation',
    detail: 'Name one of yours in the Acting-Organisation header.',
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
