import { spawnSync } from 'node:child_process';
import { expect, test } from 'vitest';

const root = new URL('../../', import.meta.url);
const calculate = (args: string[], input = '') => {
  const { status, stdout, stderr } = spawnSync(process.execPath, ['dist/calculate.js', ...args], {
    cwd: root,
    input,
    encoding: 'utf8',
  });
  return { status, stdout, stderr };
};
// A 3-4-5 triangle on each side.
const bridle = {
  loadKg: 1000,
  apex: { xM: 0, yM: 0, zM: 6 },
  anchors: [
    { id: 'left', xM: -3, yM: 0, zM: 10 },
    { id: 'right', xM: 3, yM: 0, zM: 10 },
  ],
};

test('a question from standard input is answered as JSON', () => {
  const { status, stdout } = calculate(['bridle'], JSON.stringify(bridle));
  expect(status).toBe(0);
  expect(JSON.parse(stdout)).toMatchObject({
    legs: [
      { id: 'left', lengthM: 5 },
      { id: 'right', lengthM: 5 },
    ],
  });
}, 60_000);

test('the reckoning reads as text and shows how it came about', () => {
  const { status, stdout } = calculate(['bridle', '--reckoning'], JSON.stringify(bridle));
  expect(status).toBe(0);
  expect(stdout).toMatch(/length \[m\] +tension \[kN\]/);
  expect(stdout).toMatch(/left +5 +6\.12915625 /);
  expect(stdout).toContain('tension = down · length / drop');
}, 60_000);

test('a sample answers, and what cannot be has an exit code of its own', () => {
  const sample = calculate(['beam', '--sample']);
  expect(calculate(['beam'], sample.stdout).status).toBe(0);
  const aside = calculate(['bridle'], JSON.stringify({ ...bridle, apex: { xM: 9, yM: 0, zM: 6 } }));
  expect(aside).toMatchObject({ status: 1, stdout: '' });
  expect(aside.stderr).toContain('leg-in-compression');
  expect(aside.stderr).toContain('legs: ["left"]');
}, 60_000);

test('a question that does not fit names the field and how to mend it', () => {
  const { status, stderr } = calculate(['bridle'], JSON.stringify({ ...bridle, loadKg: -1, colour: 'red' }));
  expect(status).toBe(2);
  expect(stderr).toMatch(/\/loadKg: .*>=0/);
  expect(stderr).toContain('/colour: not a known field');
  expect(calculate(['bridle'], 'no JSON').status).toBe(2);
  expect(calculate(['bridle', 'no-such-file.json']).status).toBe(2);
  expect(calculate(['bridel'])).toMatchObject({ status: 2, stderr: expect.stringContaining('hoist-line') as string });
}, 60_000);
