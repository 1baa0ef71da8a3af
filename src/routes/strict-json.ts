import { fail, ok, type Result } from '../domain/foundation/result.ts';

export type JsonFault = { pointer: string; message: string };
export type JsonError = { code: 'malformed-json'; errors: JsonFault[] };

const LONE_SURROGATE = /[\ud800-\udfff]/u;

const CONTROL = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/;
const MAX_DEPTH = 64;

/**
 * Parses JSON as people mean it: JSON.parse takes the last of two members of one name, reads 1e400 as Infinity, and lets through text
 * that the database stores differently from what was sent (NUL, half a surrogate pair), so these are refused with a pointer each.
 */
export function parseStrictJson(text: string): Result<unknown, JsonError> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return fail({ code: 'malformed-json', errors: [{ pointer: '', message: `not JSON: ${(error as Error).message}` }] });
  }
  const errors = faultsIn(text);
  return errors.length > 0 ? fail({ code: 'malformed-json', errors }) : ok(value);
}

/** A walk over text that is known to be JSON. */
function faultsIn(text: string): JsonFault[] {
  const faults: JsonFault[] = [];
  let at = 0;
  const skip = () => {
    while (at < text.length && ' \t\r\n,:'.includes(text[at]!)) at += 1;
  };
  const readText = (): string => {
    const from = at;
    at += 1;
    while (text[at] !== '"') at += text[at] === '\\' ? 2 : 1;
    at += 1;
    return JSON.parse(text.slice(from, at)) as string;
  };
  const checkText = (value: string, pointer: string) => {
    if (LONE_SURROGATE.test(value)) faults.push({ pointer, message: 'text with half a surrogate pair' });
    if (CONTROL.test(value)) faults.push({ pointer, message: 'text with a control character' });
  };
  const walk = (pointer: string, depth: number): void => {
    skip();
    if (depth > MAX_DEPTH) {
      faults.push({ pointer, message: `nested deeper than ${MAX_DEPTH}` });
      at = text.length;
      return;
    }
    const opener = text[at];
    if (opener === '{') {
      at += 1;
      const seen = new Set<string>();
      for (skip(); at < text.length && text[at] !== '}'; skip()) {
        const name = readText();
        const member = `${pointer}/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`;
        checkText(name, member);
        if (seen.has(name)) faults.push({ pointer: member, message: 'stands here twice' });
        if (name === '__proto__') faults.push({ pointer: member, message: 'not a name for a member' });
        seen.add(name);
        walk(member, depth + 1);
      }
      at += 1;
    } else if (opener === '[') {
      at += 1;
      let index = 0;
      for (skip(); at < text.length && text[at] !== ']'; skip()) {
        walk(`${pointer}/${index}`, depth + 1);
        index += 1;
      }
      at += 1;
    } else if (opener === '"') {
      checkText(readText(), pointer);
    } else {
      const from = at;
      while (at < text.length && !',]} \t\r\n'.includes(text[at]!)) at += 1;
      const word = text.slice(from, at);
      if (/^-?\d/.test(word) && !Number.isFinite(Number(word)))
        faults.push({ pointer, message: `${word.slice(0, 40)} is too large a number` });
    }
  };
  walk('', 0);
  return faults;
}
