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
