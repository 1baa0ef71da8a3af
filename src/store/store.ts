import { accountsStore } from './accounts.ts';
import { accessStore } from './access.ts';
import { auditStore } from './audit.ts';
import { Database, type DatabaseOptions } from './database.ts';
import { eventsStore } from './events.ts';
import { equipmentStore } from './equipment.ts';
import { keysStore } from './keys.ts';
import { overviewStore } from './overview.ts';
import { proposalsStore } from './proposals.ts';
import { registerStore } from './register.ts';
import { Roofs } from './roofs.ts';
import { showsStore } from './shows.ts';

/** Everything that is kept, behind operations that take a scope. Routes know this type alone. */
export function createStore(options: DatabaseOptions) {
  const db = new Database(options);
  const roofs = new Roofs();
  const events = eventsStore(db, options.url);
  return {
    accounts: accountsStore(db),
    keys: keysStore(db),
    register: registerStore(db, roofs),
    access: accessStore(db),
    equipment: equipmentStore(db),
    shows: showsStore(db),
    proposals: proposalsStore(db, roofs),
    overview: overviewStore(db),
    audit: auditStore(db),
    events,
    isReady: () => db.isReady(),
    close: async (): Promise<void> => {
      await events.close();
      await db.close();
    },
  };
}

export type Store = ReturnType<typeof createStore>;
