import { useEffect, type ReactNode } from 'react';
import { words } from '../words.ts';

/** What the page is of: its first heading, and the name of its tab, by which several are told apart. */
export function PageHeading({ name, children }: { name: string; children?: ReactNode }) {
  useEffect(() => {
    document.title = `${name} · ${words.product}`;
  }, [name]);
  return (
    <h1>
      {name}
      {children}
    </h1>
  );
}
