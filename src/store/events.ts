import { loggedAfter, logHead } from './audit.ts';
import type { Database, DatabaseOptions, Scope } from './database.ts';
import { Feed, type Follower, type Following } from './events/feed.ts';
import { Listener } from './events/listener.ts';
import { leave, present, stay, type Stay } from './events/presence.ts';

/** What concerns open streams and is no event of the log. */
export type Told = {
  /** Something about a person's sign-in has changed; null: it may have, of anybody. */
  readonly signIn: (personId: string | null) => void;
  /** Others have come to, or left, a proposal or a space; null: perhaps any. */
  readonly presence: (subjectId: string | null) => void;
};

/** What happens, as it happens, in whichever process: told by NOTIFY in the transaction that does it, read from the log. */
export function eventsStore(db: Database, url: DatabaseOptions['url']) {
  const told = new Set<Told>();
  const feed = new Feed({
    after: (orgId, number, limit) => loggedAfter(db, orgId, number, limit),
    head: (orgId) => logHead(db, orgId),
  });
  const listener = new Listener(url, {
    notice: (channel, payload) => {
      if (channel === 'roofbook_event') {
        const [orgId = '', number] = payload.split(':');
        feed.reached(orgId, Number(number));
      } else for (const { signIn, presence } of told) (channel === 'roofbook_sign_in' ? signIn : presence)(payload);
    },
    back: () => {
      feed.catchUp();
      for (const { signIn, presence } of told) {
        signIn(null);
        presence(null);
      }
    },
  });
  return {
    /** False: what happens elsewhere is not heard at the moment. */
    isHeard: (): boolean => listener.isUp,
    /** Events of the organisation after a number (null: from now on). */
    follow: async (orgId: string, after: number | null, follower: Follower): Promise<Following> => {
      await listener.ready();
      return feed.follow(orgId, after, follower);
    },
    listen: (one: Told): (() => void) => {
      told.add(one);
      return () => void told.delete(one);
    },
    stay: (scope: Scope, input: Stay): Promise<void> => db.read(scope, (tx) => stay(tx, input)),
    leave: (scope: Scope, streamId: string): Promise<void> => db.read(scope, (tx) => leave(tx, streamId)),
    /** Who else is there, by streams other than this one. */
    present: (scope: Scope, subjectId: string, streamId: string) => db.read(scope, (tx) => present(tx, subjectId, streamId)),
    close: (): Promise<void> => listener.close(),
  };
}
