import { changesBetween, type RoofChanges } from '../domain/roof/changes.ts';
import type { Database, Scope } from './database.ts';
import { act, type Reply } from './once.ts';
import {
  answerImport,
  applyImport,
  createImport,
  importWithBytes,
  type Answering,
  type Applied,
  type Applying,
  type DryRun,
  type NewImport,
  type Planned,
} from './register/imports.ts';
import { mayReadRevision, previewPublishing, publish, revisionsOf, revisionText } from './register/revisions.ts';
import { changeItems, itemAt, signPolicy, structureOf, type ItemKind } from './register/structure.ts';
import { changeSpace, changeVenue, createSpace, createVenue, spaceAt, spacesOf, venueAt, venuesWhere } from './register/venues.ts';
import { reAssessmentAt, reAssessmentsOf, reAssessNext } from './register/re-assessments.ts';
import type { Roofs } from './roofs.ts';
import type { Keyset } from './shows.ts';

/** The venue's register: venues, spaces, the working copy of each roof, and its revisions. */
export function registerStore(db: Database, roofs: Roofs) {
  return {
    createVenue: act(db, createVenue),
    venue: (scope: Scope, id: string) => db.read(scope, (tx) => venueAt(tx, id)),
    venues: (scope: Scope, filter: Parameters<typeof venuesWhere>[1], page: Keyset) =>
      db.read(scope, (tx) => venuesWhere(tx, filter, page)),
    changeVenue: act(db, changeVenue),
    createSpace: act(db, createSpace),
    space: (scope: Scope, id: string) => db.read(scope, (tx) => spaceAt(tx, id)),
    spaces: (scope: Scope, venueId: string, page: Keyset) => db.read(scope, (tx) => spacesOf(tx, venueId, page)),
    changeSpace: act(db, changeSpace),

    structure: (scope: Scope, spaceId: string) => db.read(scope, (tx) => structureOf(tx, spaceId)),
    item: (scope: Scope, spaceId: string, kind: ItemKind, id: string) => db.read(scope, (tx) => itemAt(tx, spaceId, kind, id)),
    changeItems: act(db, changeItems),
    signPolicy: act(db, signPolicy),

    createImport: <D extends DryRun, E>(scope: Scope, input: NewImport<D, E>, reply: Reply<Planned<D>>) =>
      act(db, createImport<D, E>)(scope, input, reply),
    importWithBytes: (scope: Scope, spaceId: string, id: string) => db.read(scope, (tx) => importWithBytes(tx, { spaceId, id })),
    answerImport: <D extends DryRun, E>(scope: Scope, input: Answering<D, E>, reply: Reply<Planned<D>>) =>
      act(db, answerImport<D, E>)(scope, input, reply),
    applyImport: <D extends DryRun, E>(scope: Scope, input: Applying<D, E>, reply: Reply<Applied<D>>) =>
      act(db, applyImport<D, E>)(scope, input, reply),

    previewPublishing: (scope: Scope, input: Parameters<typeof previewPublishing>[3]) => previewPublishing(db, roofs, scope, input),
    publish: act(db, (tx, input: Parameters<typeof publish>[2]) => publish(tx, roofs, input)),
    /** One more agreement that a revision touches; for background work. */
    reAssessNext: (scope: Scope, spaceId: string, revision: number) => db.read(scope, (tx) => reAssessNext(tx, roofs, spaceId, revision)),
    reAssessments: (scope: Scope, spaceId: string, below: number | null, limit: number) =>
      db.read(scope, (tx) => reAssessmentsOf(tx, spaceId, below, limit)),
    reAssessment: (scope: Scope, spaceId: string, revision: number) => db.read(scope, (tx) => reAssessmentAt(tx, spaceId, revision)),
    revisions: (scope: Scope, spaceId: string, below: number | null, limit: number) =>
      db.read(scope, (tx) => revisionsOf(tx, spaceId, below, limit)),
    revisionText: (scope: Scope, spaceId: string, number: number) => db.read(scope, (tx) => revisionText(tx, roofs, spaceId, number)),
    changes: (scope: Scope, spaceId: string, from: number, to: number): Promise<RoofChanges | null> =>
      db.read(scope, async (tx) => {
        if (!(await mayReadRevision(tx, spaceId, from)) || !(await mayReadRevision(tx, spaceId, to))) return null;
        const [before, after] = [await roofs.at(tx, spaceId, from), await roofs.at(tx, spaceId, to)];
        return before && after && changesBetween(before.roof, after.roof);
      }),
  };
}
