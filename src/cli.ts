import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { CALCULATORS } from './routes/calculations/calculations.ts';
import { reckoningText } from './routes/calculations/reckoning-text.ts';
import type { CodedError } from './routes/problem.ts';
import { PROBLEMS } from './routes/problem-table.ts';
import { parseStrictJson } from './routes/strict-json.ts';

const ANSWERED = 0;
const CANNOT_BE = 1; // the question can be read, and has no answer
const NOT_READ = 2; // not called as it should be, or the question does not fit

const HELP = `calculate <calculator> [question.json] [--reckoning | --sample]

Reads a question as JSON from the file, or from standard input, and prints the answer as JSON.
  --reckoning  print the answer as text, with how it came about
  --sample     print a question to start from, and answer nothing

${CALCULATORS.map(({ name, summary }) => `  ${name.padEnd(12)} ${summary}`).join('\n')}

Ends with 0 when it answered, 1 when the question has no answer, 2 when the question or the call cannot be read.
`;

process.exitCode = run(process.argv.slice(2));

function run(args: string[]): number {
  const called = readCall(args);
  if (called === null) return NOT_READ;
  const { values, positionals } = called;
  if (values.help) {
    process.stdout.write(HELP);
    return ANSWERED;
  }
  const [name, file, ...more] = positionals;
  const calculator = CALCULATORS.find((one) => one.name === name);
  if (calculator === undefined || more.length > 0) {
    process.stderr.write(
      name === undefined ? HELP : `${more.length > 0 ? 'One file at most' : `No calculator is called ${name}`}.\n\n${HELP}`,
    );
    return NOT_READ;
  }
  if (values.sample) {
    process.stdout.write(`${JSON.stringify(calculator.example, null, 2)}\n`);
    return ANSWERED;
  }
  const text = readQuestion(file);
  if (text === null) return NOT_READ;
  const question = parseStrictJson(text);
  if (!question.ok) return refused(question.error);
  const found = calculator.run(question.value);
  if (!found.ok) return refused(found.error);
  process.stdout.write(values.reckoning ? reckoningText(calculator.name, found.value) : `${JSON.stringify(found.value.answer, null, 2)}\n`);
  return ANSWERED;
}

function readCall(args: string[]) {
  try {
    return parseArgs({
      args,
      allowPositionals: true,
      options: { reckoning: { type: 'boolean' }, sample: { type: 'boolean' }, help: { type: 'boolean', short: 'h' } },
    });
  } catch (error) {
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n\n${HELP}`);
    return null;
  }
}

function readQuestion(file: string | undefined): string | null {
  try {
    return readFileSync(file ?? 0, 'utf8');
  } catch (error) {
    process.stderr.write(`${file ?? 'standard input'} cannot be read: ${error instanceof Error ? error.message : String(error)}\n`);
    return null;
  }
}

/** The same words as over HTTP: what is wrong, what to do, and where. */
function refused(error: CodedError & Record<string, unknown>): number {
  const { code, errors, ...facts } = error;
  const { status, title, detail } = PROBLEMS[code];
  const lines = [`${title} (${code})`, detail];
  if (Array.isArray(errors)) {
    const faults: unknown[] = errors;
    for (const fault of faults) {
      if (typeof fault === 'object' && fault !== null && 'pointer' in fault && 'message' in fault)
        lines.push(`  ${fault.pointer === '' ? 'the whole question' : String(fault.pointer)}: ${String(fault.message)}`);
    }
  }
  for (const [name, fact] of Object.entries(facts)) lines.push(`  ${name}: ${JSON.stringify(fact)}`);
  process.stderr.write(`${lines.join('\n')}\n`);
  return status === 400 ? NOT_READ : CANNOT_BE;
}
