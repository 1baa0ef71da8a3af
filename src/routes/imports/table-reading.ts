import type { Result } from '../../domain/foundation/result.ts';
import type { FileError } from '../../files/file-error.ts';
import { readTable } from '../../files/read-table.ts';
import type { Table, TableChoices } from '../../files/table.ts';
import { ProblemError } from '../problem.ts';

/** Each reading has a thread and a heap of its own, so only so many run at once; the rest wait in line, and a long line is refused. */
const AT_ONCE = 2;
const MOST_WAITING = 20;
let running = 0;
const waiting: (() => void)[] = [];

export async function readInTurn(bytes: Uint8Array, fileName: string, choices: TableChoices): Promise<Result<Table, FileError>> {
  if (running < AT_ONCE) running += 1;
  else {
    if (waiting.length >= MOST_WAITING) throw new ProblemError({ code: 'too-busy' }, { 'retry-after': '5' });
    await new Promise<void>((resolve) => waiting.push(resolve));
  }
  try {
    return await readTable(bytes, fileName, choices);
  } finally {
    const next = waiting.shift();
    if (next) next();
    else running -= 1;
  }
}
