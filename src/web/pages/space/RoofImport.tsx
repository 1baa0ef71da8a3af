import { useMemo } from 'react';
import { useSearchParams } from 'wouter';
import { api, valueOf, versionTag } from '../../api/client.ts';
import { fileBody } from '../../imports/file-body.ts';
import { TableImport, type TableOf } from '../../imports/TableImport.tsx';
import { words } from '../../words.ts';

const KINDS = { point: words.imports.points, member: words.imports.members };

/** Points or members of the working copy out of a table. */
export function RoofImport({ spaceId }: { spaceId: string }) {
  const [search, setSearch] = useSearchParams();
  const table = useMemo((): TableOf<keyof typeof KINDS> => {
    const paramsOf = (importId: string, version: number) => ({ path: { spaceId, importId }, header: { 'if-match': versionTag(version) } });
    return {
      bring: words.imports.bringRoof,
      kinds: KINDS,
      upload: (kind, file) =>
        valueOf(
          api.POST('/api/v1/spaces/{spaceId}/imports', {
            params: { path: { spaceId }, query: { kind, fileName: file.name } },
            ...fileBody(file),
          }),
        ),
      key: 'roof-import',
      read: (importId) => valueOf(api.GET('/api/v1/spaces/{spaceId}/imports/{importId}', { params: { path: { spaceId, importId } } })),
      answer: (id, version, choices) =>
        valueOf(api.PUT('/api/v1/spaces/{spaceId}/imports/{importId}/answers', { params: paramsOf(id, version), body: choices as never })),
      enter: (id, version) =>
        valueOf(api.POST('/api/v1/spaces/{spaceId}/imports/{importId}/application', { params: paramsOf(id, version) })),
      touches: ['structure', spaceId],
    };
  }, [spaceId]);
  return (
    <TableImport
      table={table}
      importId={search.get('import')}
      onOpen={(id) =>
        setSearch((before) => {
          if (id === null) before.delete('import');
          else before.set('import', id);
          return before;
        })
      }
    />
  );
}
