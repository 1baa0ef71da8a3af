import { api, valueOf, versionTag } from '../../api/client.ts';
import type { Choices } from '../../imports/dry-run.ts';
import { fileBody } from '../../imports/file-body.ts';
import { TableImport, type TableOf } from '../../imports/TableImport.tsx';
import { words } from '../../words.ts';

const { hoist, part, cabinet, truss, cable } = words.equipment.kinds;
const KINDS = { hoist, part, cabinet, truss, cable };
const paramsOf = (equipmentImportId: string, version: number) => ({
  path: { equipmentImportId },
  header: { 'if-match': versionTag(version) },
});

/** Tables of one kind of equipment. */
const TABLE: TableOf<keyof typeof KINDS> = {
  bring: words.equipment.bring,
  kinds: KINDS,
  notInRows: { truss: words.equipment.noSpansInRows },
  upload: (kind, file) =>
    valueOf(api.POST('/api/v1/equipment-imports', { params: { query: { kind, fileName: file.name } }, ...fileBody(file) })),
  key: 'equipment-import',
  read: (equipmentImportId) =>
    valueOf(api.GET('/api/v1/equipment-imports/{equipmentImportId}', { params: { path: { equipmentImportId } } })),
  answer: (id, version, choices: Choices) =>
    valueOf(api.PUT('/api/v1/equipment-imports/{equipmentImportId}/answers', { params: paramsOf(id, version), body: choices as never })),
  enter: (id, version) => valueOf(api.POST('/api/v1/equipment-imports/{equipmentImportId}/application', { params: paramsOf(id, version) })),
  touches: ['equipment'],
};

export const EquipmentImport = ({ importId, onOpen }: { importId: string | null; onOpen: (importId: string | null) => void }) => (
  <TableImport table={TABLE} importId={importId} onOpen={onOpen} />
);
