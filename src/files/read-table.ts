import type { Worker } from 'node:worker_threads';
import { fail, type Result } from '../domain/foundation/result.ts';
import { startThread } from '../start-thread.ts';
import type { FileError } from './file-error.ts';
import { MAX_FILE_BYTES, READING_HEAP_MB, READING_LIMIT_S } from './file-limits.ts';
import type { Table, TableChoices } from './table.ts';
import type { TableJob } from './table-worker.ts';

export type ReadLimits = { limitS: number; heapMb: number };
const LIMITS: ReadLimits = { limitS: READING_LIMIT_S, heapMb: READING_HEAP_MB };
const YOUNG_GENERATION_MB = 32;
const STACK_MB = 4;

/**
 * The table in an uploaded CSV or XLSX file. Read in a worker thread with bounded heap and time, because the file may have been
 * made to hurt the reader. A CSV with one reading comes back as it is; a workbook with several filled sheets asks which one.
 * @param bytes     not kept or changed
 * @param fileName  only repeated in the result
 */
export async function readTable(
  bytes: Uint8Array,
  fileName: string,
  choices: TableChoices = {},
  limits: ReadLimits = LIMITS,
): Promise<Result<Table, FileError>> {
  if (bytes.byteLength === 0) return fail({ code: 'file-empty' });
  if (bytes.byteLength > MAX_FILE_BYTES) return fail({ code: 'file-too-large', bytes: bytes.byteLength, limitBytes: MAX_FILE_BYTES });
  const copy = new Uint8Array(bytes);
  const worker = startWorker({ bytes: copy, fileName, choices }, limits, copy.buffer);
  let timer: NodeJS.Timeout | undefined;
  try {
    return await new Promise<Result<Table, FileError>>((resolve, reject) => {
      timer = setTimeout(() => resolve(fail({ code: 'reading-took-too-long', limitS: limits.limitS })), limits.limitS * 1000);
      worker.once('message', resolve);
      worker.once('error', (error: Error & { code?: string }) => {
        if (error.code === 'ERR_WORKER_OUT_OF_MEMORY') resolve(fail({ code: 'reading-took-too-much-memory', limitMb: limits.heapMb }));
        else reject(error);
      });
      worker.once('exit', (code) => reject(new Error(`the table reader ended with ${code} and no answer`)));
    });
  } finally {
    clearTimeout(timer);
    await worker.terminate();
  }
}

function startWorker(job: TableJob, { heapMb }: ReadLimits, moved: ArrayBuffer): Worker {
  const options = {
    workerData: job,
    transferList: [moved],
    resourceLimits: { maxOldGenerationSizeMb: heapMb, maxYoungGenerationSizeMb: YOUNG_GENERATION_MB, stackSizeMb: STACK_MB },
  };
  return startThread(new URL('./table-worker.ts', import.meta.url), options);
}
