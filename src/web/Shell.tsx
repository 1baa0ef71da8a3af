import { useQueryClient } from '@tanstack/react-query';
import { useEffect, type ReactNode } from 'react';
import { Link, useLocation } from 'wouter';
import { acting as actingChoice, session, type Me } from './api/client.ts';
import { Keys } from './KeysDialog.tsx';
import { useLiveConnection } from './live/live.ts';
import { LiveNotice } from './live/LiveNotice.tsx';
import { MODAL_DIALOG } from './parts/Dialog.tsx';
import { UnitsSwitch } from './units/UnitsSwitch.tsx';
import { words } from './words.ts';

type Membership = Me['memberships'][number];

const DIALOG_AFTER_MS = 2_000;

const COMMON = [
  ['/access', words.places.access],
  ['/equipment', words.places.equipment],
  ['/people', words.places.people],
] as const;

/** What stands around every screen: where one is, for whom one acts, and in which units everything is shown. */
export function Shell({ me, acting, children }: { me: Me; acting: Membership; children: ReactNode }) {
  const [path, goTo] = useLocation();
  const queries = useQueryClient();
  useLiveConnection();
  // Once the page is shown: a question must also open where the network is lost by then.
  useEffect(() => {
    const later = setTimeout(() => void queries.prefetchQuery(MODAL_DIALOG), DIALOG_AFTER_MS);
    return () => clearTimeout(later);
  }, [queries]);
  const places =
    acting.kind === 'venueOperator'
      ? ([['/desk', words.places.desk], ...COMMON] as const)
      : acting.kind === 'production'
        ? ([['/tour', words.places.tour], ['/venues', words.places.venues], ...COMMON] as const)
        : COMMON.filter(([to]) => to !== '/access');
  const leave = async () => {
    await session('DELETE', '/session');
    actingChoice.choose(null);
    await caches.delete('roofbook-load-in'); // sheets that this person opened on this machine
    queries.clear();
    goTo('/sign-in');
  };
  return (
    <>
      <a className="skip" href="#content">
        {words.skip}
      </a>
      <header className="mast">
        <Link href="/" className="name">
          <img src="/icon.svg" alt="" width="26" height="26" /> {words.product}
        </Link>
        <nav aria-label={words.places.label}>
          {places.map(([to, name]) => (
            <Link key={to} href={to} {...(path === to ? { 'aria-current': 'page' as const } : {})}>
              {name}
            </Link>
          ))}
        </nav>
        <div className="who">
          <UnitsSwitch />
          <span className="soft">
            {me.person.displayName}, {acting.organisationName}
          </span>
          <Keys />
          <button type="button" onClick={() => void leave()}>
            {words.entry.signOut}
          </button>
        </div>
      </header>
      <LiveNotice />
      <main id="content">{children}</main>
    </>
  );
}
