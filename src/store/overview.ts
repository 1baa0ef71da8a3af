import { whoseTurn, type Turn } from '../domain/agreement/turn.ts';
import type { NeighbourLoad } from '../domain/assessment/assessment.ts';
import { fail, ok, type Result } from '../domain/foundation/result.ts';
import { ownedBy, type Database, type Scope, type Tx } from './database.ts';
import { factsOf } from './proposals/facts.ts';
import { proposalAt, proposalsWhere, type Proposal } from './proposals/rows.ts';
import { hangingDuring } from './roof-lock.ts';
import { afterKey, mayReadRoof, type Keyset, type Show, showsWhere } from './shows.ts';

export type WorstCheck = { verdict: string; utilisation: number | null };
/** A show of the tour, with its proposal where it has one. */
export type BoardRow = { show: Show; proposal: Proposal | null; turn: Turn | null; worst: WorstCheck | null };

/** What a screen needs at one look, gathered in one transaction. */
export function overviewStore(db: Database) {
  return {
    /** Shows by date, a row for each proposal of each; a show without one has a row too. */
    board: (scope: Scope, productionId: string, page: Keyset) => db.read(scope, (tx) => board(tx, productionId, page)),
    /** What else hangs in a proposal's time, for whoever computes on the plan while it is drawn. */
    neighbours: (scope: Scope, proposalId: string) => db.read(scope, (tx) => neighbours(tx, proposalId)),
  };
}

async function board(tx: Tx, productionId: string, page: Keyset): Promise<{ rows: BoardRow[]; shows: Show[] }> {
  const shows = await showsWhere(tx, { productionId }, page);
  const proposals = await proposalsWhere(tx, { productionId }, afterKey('p.starts_at', null, 'p.id'), MOST_PROPOSALS);
  const worst = await worstOf(
    tx,
    proposals.map(({ id }) => id),
  );
  const rows: BoardRow[] = [];
  for (const show of shows) {
    const own = proposals.filter(({ showId }) => showId === show.id);
    if (own.length === 0) rows.push({ show, proposal: null, turn: null, worst: null });
    for (const proposal of own)
      rows.push({ show, proposal, turn: whoseTurn(await factsOf(tx, proposal)), worst: worst.get(proposal.id) ?? null });
  }
  return { rows, shows };
}

const MOST_PROPOSALS = 1000;

/** Of each proposal's last assessment. */
async function worstOf(tx: Tx, proposalIds: readonly string[]): Promise<Map<string, WorstCheck>> {
  const rows = await tx.sql.$queryRaw<({ proposalId: string } & WorstCheck)[]>`
    SELECT DISTINCT ON (a.proposal_id) a.proposal_id AS "proposalId", a.verdict, a.worst_utilisation AS utilisation
    FROM assessment a JOIN proposal p ON p.id = a.proposal_id
    WHERE a.proposal_id = ANY(${[...proposalIds]}::uuid[]) AND ${ownedBy(tx, 'p.tour_org_id', 'p.venue_org_id')}
    ORDER BY a.proposal_id, a.sequence DESC`;
  return new Map(rows.map(({ proposalId, verdict, utilisation }) => [proposalId, { verdict, utilisation }]));
}

type Neighbours = { latestRevision: number; neighbours: NeighbourLoad[]; asOf: Date };

async function neighbours(tx: Tx, proposalId: string): Promise<Result<Neighbours, { code: 'not-found' }>> {
  const proposal = await proposalAt(tx, proposalId);
  if (!proposal || !(await mayReadRoof(tx, proposal.spaceId))) return fail({ code: 'not-found' });
  const { spaceId, startsAt, endsAt, commitmentRef } = proposal;
  return ok({ ...(await hangingDuring(tx, spaceId, startsAt, endsAt, commitmentRef)), asOf: tx.now });
}
