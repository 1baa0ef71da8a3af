import { parentPort, workerData } from 'node:worker_threads';
import type { TableChoices } from './table.ts';
import { tableFromBytes } from './table-from-bytes.ts';

export type TableJob = { bytes: Uint8Array; fileName: string; choices: TableChoices };

// Posted by readTable of the same build, so its type is known; workerData itself is untyped.
const job = workerData as TableJob;
parentPort?.postMessage(await tableFromBytes(job.bytes, job.fileName, job.choices));
