import { useMutation, useQuery, useQueryClient, type QueryKey } from '@tanstack/react-query';
import { useState } from 'react';
import { Loading } from '../parts/Loading.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { words } from '../words.ts';
import { DryRunView, RowText } from './DryRunView.tsx';
import type { Choices, DryRun, ImportRow } from './dry-run.ts';

type Applied = { readonly items: readonly unknown[]; readonly leftOut: readonly ImportRow[] };
/** Whose table it is: what it may tell of, and how it is brought, answered and entered. */
export type TableOf<Kind extends string> = {
  readonly bring: string;
  readonly kinds: Readonly<Record<Kind, string>>;
  /** What a row of that kind cannot tell. */
  readonly notInRows?: Readonly<Partial<Record<Kind, string>>>;
  readonly upload: (kind: Kind, file: File) => Promise<{ id: string }>;
  readonly key: string;
  readonly read: (importId: string) => Promise<DryRun>;
  readonly answer: (importId: string, version: number, choices: Choices) => Promise<DryRun>;
  readonly enter: (importId: string, version: number) => Promise<Applied>;
  /** What is read anew once it is entered. */
  readonly touches: QueryKey;
};
type Props<Kind extends string> = {
  table: TableOf<Kind>;
  importId: string | null;
  onOpen: (importId: string | null) => void;
};

/** A table: brought, looked at row by row, entered. The address names it, so that one can leave and come back. */
export function TableImport<Kind extends string>({ table, importId, onOpen }: Props<Kind>) {
  const [applied, setApplied] = useState<Applied | null>(null);
  return (
    <>
      {importId === null ? (
        <Upload
          table={table}
          onUploaded={(id) => {
            setApplied(null);
            onOpen(id);
          }}
        />
      ) : (
        <Open
          key={importId}
          table={table}
          importId={importId}
          onApplied={(done) => {
            setApplied(done);
            onOpen(null);
          }}
          onDrop={() => onOpen(null)}
        />
      )}
      {applied !== null && (
        <div role="status" className="notice stack tight">
          <p>{words.imports.applied(applied.items.length, applied.leftOut.length)}</p>
          {applied.leftOut.length > 0 && (
            <ul>
              {applied.leftOut.map((row) => (
                <li key={row.rowNumber}>
                  <strong>{words.imports.rowNamed(row.rowNumber, row.label ?? words.imports.noLabel)}</strong> <RowText row={row} />
                </li>
              ))}
            </ul>
          )}
        </div>
      )}
    </>
  );
}

function Upload<Kind extends string>({ table, onUploaded }: { table: TableOf<Kind>; onUploaded: (importId: string) => void }) {
  const kinds = Object.keys(table.kinds) as Kind[];
  const [kind, setKind] = useState<Kind>(kinds[0]!);
  const [file, setFile] = useState<File | null>(null);
  const [wasTried, setTried] = useState(false);
  const upload = useMutation({
    mutationFn: (chosen: File) => table.upload(kind, chosen),
    onSuccess: ({ id }) => onUploaded(id),
  });
  return (
    <details className="sheet">
      <summary>{table.bring}</summary>
      <form
        noValidate
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          setTried(true);
          if (file !== null) upload.mutate(file);
        }}
      >
        <p className="soft">{words.imports.text}</p>
        <div className="row">
          <label className="field">
            <span>{words.imports.kind}</span>
            <select value={kind} onChange={(event) => setKind(kinds.find((one) => one === event.target.value) ?? kind)}>
              {kinds.map((one) => (
                <option key={one} value={one}>
                  {table.kinds[one]}
                </option>
              ))}
            </select>
          </label>
          <label className="field">
            <span>{words.imports.file}</span>
            <input
              type="file"
              accept=".csv,.xlsx,text/csv"
              aria-invalid={wasTried && file === null}
              onChange={(event) => setFile(event.target.files?.[0] ?? null)}
            />
          </label>
          <button type="submit" disabled={upload.isPending}>
            {words.imports.look}
          </button>
        </div>
        {table.notInRows?.[kind] !== undefined && <p className="soft">{table.notInRows[kind]}</p>}
        {wasTried && file === null && <p className="fault">{words.imports.noFile}</p>}
        {upload.isPending && <Loading what={words.imports.theTable} />}
        {upload.isError && <ProblemPanel error={upload.error} />}
      </form>
    </details>
  );
}

function Open<Kind extends string>({
  table,
  importId,
  onApplied,
  onDrop,
}: {
  table: TableOf<Kind>;
  importId: string;
  onApplied: (applied: Applied) => void;
  onDrop: () => void;
}) {
  const queries = useQueryClient();
  const key = [table.key, importId];
  const run = useQuery({ queryKey: key, queryFn: () => table.read(importId) });
  const version = run.data?.version ?? 0;
  const answer = useMutation({
    mutationFn: (choices: Choices) => table.answer(importId, version, choices),
    onSuccess: (next) => queries.setQueryData(key, next),
  });
  const enter = useMutation({
    mutationFn: () => table.enter(importId, version),
    onSuccess: async (done) => {
      await queries.invalidateQueries({ queryKey: table.touches });
      onApplied(done);
    },
    onError: () => queries.invalidateQueries({ queryKey: key }), // what it is compared with may have moved
  });
  if (run.isPending) return <Loading what={words.imports.theTable} />;
  if (!run.data)
    return (
      <div className="stack tight">
        <ProblemPanel error={run.error} onRetry={() => void run.refetch()} />
        <div>
          <button type="button" onClick={onDrop}>
            {words.imports.drop}
          </button>
        </div>
      </div>
    );
  return (
    <DryRunView
      dryRun={run.data}
      isBusy={answer.isPending || enter.isPending}
      error={answer.error ?? enter.error}
      onChoose={(choices) => answer.mutate(choices)}
      onApply={() => enter.mutate()}
      onDrop={onDrop}
    />
  );
}
