import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api, valueOf, versionTag } from '../../api/client.ts';
import type { components } from '../../api/generated/schema.ts';
import { equipmentImportQuery } from '../../api/queries.ts';
import { DryRunView, RowText } from '../../imports/DryRunView.tsx';
import type { Choices } from '../../imports/dry-run.ts';
import { fileBody } from '../../imports/file-body.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';

const KINDS = ['hoist', 'part', 'cabinet', 'truss', 'cable'] as const;
type Applied = components['schemas']['AppliedEquipmentImport'];

/** A table of one kind of equipment: brought, looked at row by row, entered. The address names it, so that one can leave and come back. */
export function EquipmentImport({ importId, onOpen }: { importId: string | null; onOpen: (importId: string | null) => void }) {
  const [applied, setApplied] = useState<Applied | null>(null);
  return (
    <>
      {importId === null ? (
        <Upload
          onUploaded={(id) => {
            setApplied(null);
            onOpen(id);
          }}
        />
      ) : (
        <Open
          key={importId}
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

function Upload({ onUploaded }: { onUploaded: (importId: string) => void }) {
  const [kind, setKind] = useState<(typeof KINDS)[number]>('hoist');
  const [file, setFile] = useState<File | null>(null);
  const [wasTried, setTried] = useState(false);
  const upload = useMutation({
    mutationFn: async (chosen: File) =>
      valueOf(api.POST('/api/v1/equipment-imports', { params: { query: { kind, fileName: chosen.name } }, ...fileBody(chosen) })),
    onSuccess: ({ id }) => onUploaded(id),
  });
  return (
    <details className="sheet">
      <summary>{words.equipment.bring}</summary>
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
            <span>{words.equipment.kind}</span>
            <select value={kind} onChange={(event) => setKind(KINDS.find((one) => one === event.target.value) ?? 'hoist')}>
              {KINDS.map((one) => (
                <option key={one} value={one}>
                  {words.equipment.kinds[one]}
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
        {wasTried && file === null && <p className="fault">{words.imports.noFile}</p>}
        {upload.isPending && <Loading what={words.imports.theTable} />}
        {upload.isError && <ProblemPanel error={upload.error} />}
      </form>
    </details>
  );
}

function Open({ importId, onApplied, onDrop }: { importId: string; onApplied: (applied: Applied) => void; onDrop: () => void }) {
  const queries = useQueryClient();
  const run = useQuery(equipmentImportQuery(importId));
  const params = { path: { equipmentImportId: importId }, header: { 'if-match': versionTag(run.data?.version ?? 0) } };
  const answer = useMutation({
    mutationFn: (choices: Choices) =>
      valueOf(api.PUT('/api/v1/equipment-imports/{equipmentImportId}/answers', { params, body: choices as never })),
    onSuccess: (next) => queries.setQueryData(['equipment-import', importId], next),
  });
  const apply = useMutation({
    mutationFn: () => valueOf(api.POST('/api/v1/equipment-imports/{equipmentImportId}/application', { params })),
    onSuccess: async (done) => {
      await queries.invalidateQueries({ queryKey: ['equipment'] });
      onApplied(done);
    },
    onError: () => queries.invalidateQueries({ queryKey: ['equipment-import', importId] }), // what it is compared with may have moved
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
      isBusy={answer.isPending || apply.isPending}
      error={answer.error ?? apply.error}
      onChoose={(choices) => answer.mutate(choices)}
      onApply={() => apply.mutate()}
      onDrop={onDrop}
    />
  );
}
