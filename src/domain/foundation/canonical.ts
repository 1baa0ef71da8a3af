/** What JSON can say. A member that is `undefined` is left out, as in JSON.stringify. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [member: string]: Json | undefined };

const LONE_SURROGATE = /[\ud800-\udfff]/u; // with the u flag a pair is one character, so only a lone half matches

/**
 * The one spelling of a value that is hashed and signed: members in order of their UTF-16 code units, numbers as ECMAScript prints
 * them (so -0 is 0), no white space. What has no such spelling (not finite, a hole in a list, half a surrogate pair, an object that
 * is not plain) is a bug of the caller and throws, because a hash of something else would be believed.
 * @source RFC 8785, JSON Canonicalization Scheme
 */
export function canonicalBytes(value: Json): string {
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new RangeError(`${value} has no canonical form`);
    return String(value); // ECMAScript Number::toString, which the scheme prescribes; -0 gives "0"
  }
  if (typeof value === 'string') return canonicalText(value);
  if (isList(value)) {
    const items: string[] = [];
    for (const item of value) items.push(canonicalBytes(item)); // a for loop visits holes, map would skip them
    return `[${items.join(',')}]`;
  }
  // Types end where JSON.parse and casts begin: undefined, functions and Maps get here only by a bug.
  if (typeof value !== 'object' || !isPlain(value)) throw new TypeError(`a value of type ${typeof value} has no canonical form`);
  const members: string[] = [];
  for (const name of Object.keys(value).sort()) {
    const member = value[name];
    if (member !== undefined) members.push(`${canonicalText(name)}:${canonicalBytes(member)}`);
  }
  return `{${members.join(',')}}`;
}

function canonicalText(text: string): string {
  if (LONE_SURROGATE.test(text)) throw new RangeError('text with half a surrogate pair has no canonical form');
  return JSON.stringify(text); // escapes exactly what the scheme escapes
}

const isList = (value: Json): value is readonly Json[] => Array.isArray(value);

function isPlain(value: object): boolean {
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === null || prototype === Object.prototype;
}
