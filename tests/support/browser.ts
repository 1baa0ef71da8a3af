import axe from 'axe-core';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { chromium, type Browser, type Page } from 'playwright-core';

const FLAGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** CHROMIUM_PATH, else what is found on PATH; null where there is none. */
export function chromiumPath(): string | null {
  const named = process.env.CHROMIUM_PATH;
  if (named !== undefined && named !== '') return named;
  const folders = (process.env.PATH ?? '').split(delimiter);
  return folders.flatMap((folder) => ['chromium', 'chromium-browser'].map((name) => join(folder, name))).find(existsSync) ?? null;
}

export function startBrowser(executablePath: string): Promise<Browser> {
  return chromium.launch({ executablePath, args: FLAGS });
}

/** What a page complains about: uncaught errors, and what its own policy refused. */
export function complaintsOf(page: Page): string[] {
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && /Content Security Policy|Uncaught|Warning:/.test(message.text())) complaints.push(message.text());
  });
  return complaints;
}

const WCAG = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** What axe finds wrong in the page, or in a part of it; by all rules of WCAG 2.2 AA, or by these alone. */
export async function axeFaults(page: Page, { part, rules }: { part?: string; rules?: string[] } = {}): Promise<string[]> {
  // Once for each page, from outside it: its own policy lets no foreign script in.
  if (!(await page.evaluate(() => 'axe' in globalThis))) await page.evaluate(axe.source);
  const options: axe.RunOptions = {
    resultTypes: ['violations'],
    runOnly: rules ? { type: 'rule', values: rules } : { type: 'tag', values: WCAG },
  };
  return page.evaluate(
    async ({ within, asked }) => {
      const { run } = (globalThis as unknown as { axe: typeof axe }).axe;
      const { violations } = await run(within ?? document, asked);
      return violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html.slice(0, 200)}`);
    },
    { within: part, asked: options },
  );
}
