import { useState } from 'react';
import { words } from '../words.ts';

/** A link that is shown once and works once. Its secret stands after the #, so that no server on the way writes it down. */
export function OneTimeLink({ path, token, text }: { path: string; token: string; text: string }) {
  const [copied, setCopied] = useState(false);
  const address = `${location.origin}${path}#${token}`;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(address);
      setCopied(true);
    } catch {
      setCopied(false); // not allowed in this browser: it can be marked and copied by hand
    }
  };
  return (
    <div role="status" className="notice stack tight">
      <p>{text}</p>
      <div className="row">
        <input className="link" readOnly value={address} aria-label={words.links.label} onFocus={(event) => event.target.select()} />
        <button type="button" onClick={() => void copy()}>
          {copied ? words.links.copied : words.links.copy}
        </button>
      </div>
      <p className="soft">{words.links.once}</p>
    </div>
  );
}
