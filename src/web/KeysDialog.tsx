import { useEffect, useState } from 'react';
import { Dialog } from './parts/Dialog.tsx';
import { words } from './words.ts';

const OFF_KEY = 'roofbook.letter-keys-off';
const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));

/** Every key that does something, behind a button and behind `?`, which can be switched off for those who speak to their machine. */
export function Keys() {
  const [isOpen, setOpen] = useState(false);
  const [isOff, setOff] = useState(() => localStorage.getItem(OFF_KEY) === 'yes');
  useEffect(() => {
    if (isOff) return;
    const onKey = (event: KeyboardEvent) => {
      if (event.key === '?' && !event.ctrlKey && !event.metaKey && !event.altKey && !isTyping(event.target)) setOpen(true);
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [isOff]);
  return (
    <>
      <button type="button" className="keys" onClick={() => setOpen(true)}>
        {words.keys.button}
      </button>
      <Dialog title={words.keys.title} isOpen={isOpen} onClose={() => setOpen(false)}>
        {words.keys.groups.map(({ where, keys }) => (
          <section key={where} className="stack tight">
            <h3>{where}</h3>
            <dl className="facts">
              {keys.map(([key, what]) => (
                <div key={key} className="pair">
                  <dt>
                    <kbd>{key}</kbd>
                  </dt>
                  <dd>{what}</dd>
                </div>
              ))}
            </dl>
          </section>
        ))}
        <label className="row">
          <input
            type="checkbox"
            checked={!isOff}
            onChange={(event) => {
              setOff(!event.target.checked);
              localStorage.setItem(OFF_KEY, event.target.checked ? 'no' : 'yes');
            }}
          />
          {words.keys.letters}
        </label>
        <div>
          <button type="button" autoFocus onClick={() => setOpen(false)}>
            {words.close}
          </button>
        </div>
      </Dialog>
    </>
  );
}
