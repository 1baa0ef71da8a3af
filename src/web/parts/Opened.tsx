import { useState, type ReactNode } from 'react';

/** Its inside is there as long as it is open: what is loaded for it is loaded then. */
export function Opened({ summary, children }: { summary: string; children: ReactNode }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{summary}</summary>
      {isOpen && children}
    </details>
  );
}
