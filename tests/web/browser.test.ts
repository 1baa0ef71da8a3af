import type { Browser, BrowserContext, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DEMO_PASSWORD, loadDemo } from '../../src/demo/load.ts';
import { startApp, type RunningApp } from '../support/app.ts';
import { axeFaults, chromiumPath, complaintsOf, startBrowser } from '../support/browser.ts';
import { taskScene, type TaskScene } from '../support/task-scene.ts';

const executable = chromiumPath();
if (executable === null && process.env.CI === 'true') throw new Error('no browser: install chromium, or name one in CHROMIUM_PATH');

/** A calendar day so many days later; the demonstration's first show is on the 30th. */
const dayOf = (from: Date, days: number): string => new Date(from.getTime() + days * 86_400_000).toISOString().slice(0, 10);

const TAMSIN = 'tamsin@umbrelquay.example'; // technical manager and decider of the venue
const ETTA = 'etta@mothmeridian.example'; // system designer on tour
const ROOK = 'rook@mothmeridian.example'; // head rigger on tour
const ODALYS = 'odalys@mothmeridian.example'; // production office of the tour

describe.skipIf(executable === null)('in a browser', () => {
  let running: RunningApp;
  let browser: Browser;
  let base: string;
  const ids = { space: '', small: '', agreed: '', over: '', asked: '' };

  beforeAll(async () => {
    running = await startApp();
    running.clock.now = new Date(); // as the browser's
    await loadDemo(running.store, () => running.clock.now, running.app.passwords.hash);
    base = (await running.app.listen({ port: 0, host: '127.0.0.1' })).replace('127.0.0.1', 'localhost');
    browser = await startBrowser(executable!);
    const signedIn = await running.call('POST', 'auth/sign-in', { email: ROOK, password: DEMO_PASSWORD });
    const listed = await running.as(String(signedIn.body.accessToken))('GET', 'proposals');
    const proposals = listed.body.items as { id: string; state: string; spaceId: string }[];
    const of = (state: string) => proposals.find((one) => one.state === state)!;
    Object.assign(ids, {
      space: of('agreed').spaceId,
      small: of('submitted').spaceId,
      agreed: of('agreed').id,
      over: of('submitted').id,
      asked: of('questions').id,
    });
  });
  afterAll(async () => {
    await browser?.close();
    await running?.close();
  });

  async function contextOf(email: string | null, options: Parameters<Browser['newContext']>[0] = {}): Promise<BrowserContext> {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, baseURL: base, ...options });
    if (email !== null) {
      const signedIn = await context.request.post('/session', {
        headers: { 'roofbook-page': '1' },
        data: { email, password: DEMO_PASSWORD },
      });
      expect(signedIn.status()).toBe(204);
    }
    return context;
  }
  const open = async (context: BrowserContext, path: string): Promise<Page> => {
    const page = await context.newPage();
    await page.goto(path);
    await page.getByRole('heading', { level: 1 }).waitFor();
    return page;
  };

  const faultsOfDialog = (page: Page): Promise<string[]> => axeFaults(page, { part: '[role="dialog"]' });

  test('signing in by form leads back to the page that was asked for, and signing out away from it', async () => {
    const context = await contextOf(null);
    const page = await context.newPage();
    await page.goto('/tour?show=open');
    await page.getByLabel('E-mail address').fill(ROOK);
    await page.getByLabel('Password').fill('not the phrase');
    await page.keyboard.press('Enter');
    await page.getByRole('alert').waitFor();
    expect(await page.getByLabel('E-mail address').inputValue()).toBe(ROOK);
    await page.getByLabel('Password').fill(DEMO_PASSWORD);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'The Long Weather' }).waitFor();
    expect(new URL(page.url()).search).toBe('?show=open');
    expect(await page.evaluate(() => document.cookie + JSON.stringify({ ...localStorage, ...sessionStorage }))).not.toMatch(/[\w-]{40,}/);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    await context.close();
  });

  /** Known by a heading, or by what its own panel holds. `dark`: looked at in the dark too, on a wide screen. Colours are the same few everywhere. */
  type Screen = readonly [who: string | null, path: () => string, ready: string | RegExp | { readonly panelHolds: string }, dark?: true];
  const SCREENS: readonly Screen[] = [
    [null, () => '/sign-in', 'Sign in', true],
    [null, () => '/sign-up', 'New account'],
    [null, () => '/join#a-token-of-no-invitation', 'Join an organisation'],
    [null, () => '/new-password#a-token-of-no-link', 'New password'],
    [TAMSIN, () => '/desk', 'Your roofs', true],
    [TAMSIN, () => `/spaces/${ids.space}?day=${dayOf(running.clock.now, 30)}`, /places are loaded/, true],
    [TAMSIN, () => `/spaces/${ids.small}?view=points`, { panelHolds: 'Bring a table' }, true],
    [TAMSIN, () => `/spaces/${ids.small}?view=limits`, { panelHolds: 'Add a limit' }],
    [TAMSIN, () => `/spaces/${ids.small}?view=keep-outs`, { panelHolds: 'Add a keep-out' }],
    [TAMSIN, () => `/spaces/${ids.small}?view=standing-loads`, { panelHolds: 'Add a standing load' }],
    [TAMSIN, () => `/spaces/${ids.small}?view=revisions`, { panelHolds: 'Published by' }],
    [TAMSIN, () => `/spaces/${ids.small}?view=members`, 'Nodes'],
    [TAMSIN, () => `/spaces/${ids.small}?view=bases`, { panelHolds: 'A capacity without a basis' }],
    [TAMSIN, () => `/spaces/${ids.small}?view=policy`, { panelHolds: 'Begin with' }],
    [TAMSIN, () => '/people', 'Invite somebody', true],
    [TAMSIN, () => '/access', /^Let in/, true],
    [TAMSIN, () => `/proposals/${ids.over}`, /checks need a person/, true],
    [TAMSIN, () => `/proposals/${ids.over}?view=plan`, /^Hard checks/],
    [ROOK, () => '/tour', 'The Long Weather', true],
    [ROOK, () => '/venues', 'Umbrel Dome'],
    [ROOK, () => '/access', /^You may read/],
    [ROOK, () => '/equipment?kind=cable', 'Equipment'],
    [ROOK, () => `/proposals/${ids.over}`, /^Rating of the point/, true],
    [ROOK, () => `/proposals/${ids.asked}?view=talk`, /Night three/],
    [ROOK, () => `/proposals/${ids.asked}?view=record`, 'What a yes needs'],
    [ROOK, () => `/load-in/${ids.agreed}`, 'Before the lift', true],
  ];

  // Everything on the narrow screen in light; what differs in the dark is colour alone, and on the wide screen the frame.
  test.each([
    ['nobody yet', null],
    ['the venue', TAMSIN],
    ['the touring side', ROOK],
  ])(
    'no screen of %s has a fault that axe finds, and none complains, dark or light, wide or narrow',
    async (_name, who) => {
      const faults: string[] = [];
      const narrow = { width: 390, height: 844 };
      const context = await contextOf(who, { colorScheme: 'light', reducedMotion: 'reduce', viewport: narrow });
      const page = await context.newPage();
      const complaints = complaintsOf(page);
      for (const [at, [, path, ready, dark]] of SCREENS.filter(([of]) => of === who).entries()) {
        // Within the pages a link does not load anew; the load-in sheet is a page by itself, and who is nobody has no links.
        if (at === 0 || who === null || path().startsWith('/load-in/')) await page.goto(path());
        else await page.evaluate((address) => history.pushState(null, '', address), path());
        await (
          typeof ready === 'object' && 'panelHolds' in ready
            ? page.getByRole('tabpanel').filter({ hasText: ready.panelHolds })
            : page.getByRole('heading', { name: ready }).first()
        ).waitFor();
        const look = async (rules?: string[]) => {
          for (const fault of await axeFaults(page, rules ? { rules } : {})) faults.push(`${path()}: ${fault}`);
          const overflow = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
          if (overflow > 0) faults.push(`${path()}: ${overflow} px wider than the screen`);
        };
        await look();
        const [named = ''] = (await page.title()).split(' · ');
        const heading = (await page.getByRole('heading', { level: 1 }).textContent()) ?? '';
        if (!heading.startsWith(named) && !named.endsWith(heading)) faults.push(`${path()}: its tab is called ${named}`);
        if (!dark) continue;
        await page.emulateMedia({ colorScheme: 'dark' });
        await page.setViewportSize({ width: 1440, height: 900 });
        await look(['color-contrast', 'target-size', 'scrollable-region-focusable']);
        await page.emulateMedia({ colorScheme: 'light' });
        await page.setViewportSize(narrow);
      }
      await context.close();
      expect([...faults, ...complaints]).toEqual([]);
    },
    120_000,
  );

  test('from an over plan to a yes and a stop: rigger, venue and production office, each at their own screen, by keyboard', async () => {
    const [tour, venue, office] = [await contextOf(ROOK), await contextOf(TAMSIN), await contextOf(ODALYS)];
    const board = await open(office, '/tour');
    const night = board.getByRole('row').filter({ hasText: 'Night two' });
    await night.filter({ hasText: 'SUBMITTED' }).waitFor();
    const rigger = await open(tour, `/proposals/${ids.over}`);
    // The plan is over; lighter loads make it fit while they are typed, before anything is saved.
    for (const hang of ['Side 1', 'Side 2']) {
      await rigger.getByRole('button', { name: new RegExp(`^${hang}`) }).focus();
      await rigger.keyboard.press('Enter');
      const mass = rigger.getByRole('textbox', { name: 'Mass [kg]' });
      await mass.fill('60');
      await mass.press('Enter');
    }
    await rigger.getByRole('status').filter({ hasText: 'FITS' }).waitFor();
    await rigger.keyboard.press('Control+z');
    await rigger.getByRole('status').filter({ hasText: 'OVER' }).waitFor();
    await rigger.keyboard.press('Control+Shift+z');
    await rigger.getByRole('status').filter({ hasText: 'FITS' }).waitFor();
    // A number that cannot be read stays as it is typed, and is gone back to: nothing is saved in its place.
    const unreadable = rigger.getByRole('textbox', { name: 'Mass [kg]' });
    await unreadable.fill('sixty');
    await rigger.getByRole('button', { name: 'Save the plan' }).press('Enter');
    expect(await unreadable.evaluate((field) => field === document.activeElement)).toBe(true);
    expect(await unreadable.inputValue()).toBe('sixty');
    await unreadable.fill('60');
    await unreadable.press('Enter');
    await rigger.getByRole('button', { name: 'Save the plan' }).press('Enter');
    await rigger.getByRole('button', { name: 'Saved' }).waitFor();
    await rigger.getByRole('button', { name: 'Submit' }).press('Enter');
    expect(await faultsOfDialog(rigger)).toEqual([]);
    await rigger.getByRole('dialog').getByRole('button', { name: 'Submit' }).press('Enter');
    await rigger.getByRole('dialog').waitFor({ state: 'detached' });

    const decider = await open(venue, `/proposals/${ids.over}`);
    await decider.getByRole('heading', { name: '2 hangs differ from submission 1' }).waitFor();
    // The loads that were over are gone; what only advises stays, and is told apart in words.
    await decider.getByRole('heading', { name: 'No hard check is over or unknown' }).waitFor();
    await decider.getByRole('heading', { name: 'To know: 4' }).waitFor();
    expect(await decider.getByRole('listitem').filter({ hasText: 'OVERadvises only' }).count()).toBe(4);
    const ticks = decider.getByRole('checkbox');
    expect(await ticks.evaluateAll((boxes) => boxes.filter((box) => (box as unknown as { checked: boolean }).checked).length)).toBe(0);
    const agree = decider.getByRole('button', { name: 'Agree', exact: true });
    for (const tick of await ticks.all()) {
      expect(await agree.isDisabled()).toBe(true);
      await tick.press('Space');
    }
    // A condition that is typed and not added would be left out of the yes.
    await decider.getByLabel('Condition', { exact: true }).fill('No confetti cannons');
    expect(await agree.isDisabled()).toBe(true);
    await decider.getByLabel('Condition', { exact: true }).fill('');
    await agree.press('Enter');
    await decider.getByText('AGREED', { exact: true }).first().waitFor();
    await night.filter({ hasText: 'AGREED' }).waitFor(); // on a board that was open all along

    await decider.getByRole('button', { name: 'Suspend now' }).press('Enter');
    await decider.getByRole('textbox', { name: /^Why/ }).fill('Gusts above what the roof was checked for.');
    expect(await faultsOfDialog(decider)).toEqual([]);
    await decider.getByRole('dialog').getByRole('button', { name: 'Suspend now' }).press('Enter');
    await decider.getByRole('alert').filter({ hasText: 'Gusts' }).waitFor();
    await rigger.getByRole('alert').filter({ hasText: 'Gusts' }).waitFor(); // on the page that was open all along
    await night.filter({ hasText: 'SUSPENDED' }).waitFor();
    await Promise.all([tour.close(), venue.close(), office.close()]);
  }, 60_000);

  test('other ways to hang it are shown on the plan, taken in one act, and given back by one undo, by keyboard', async () => {
    const context = await contextOf(ROOK);
    const page = await open(context, `/proposals/${ids.agreed}?view=plan`);
    await page.getByText('Where to look').focus();
    await page.keyboard.press('Enter');
    await page.getByRole('textbox', { name: /^May move along x/ }).fill('4');
    await page.keyboard.press('Tab');
    await page.getByRole('combobox', { name: 'Bridles' }).selectOption('none: straight up'); // few ways: the search is short
    await page.getByRole('button', { name: 'Look for Sound 1' }).press('Enter');
    await page.getByText('This is how it hangs now.').waitFor(); // it fits: its own way is among the good ones
    await page.getByRole('button', { name: 'Show on the plan: way 2' }).press('Enter');
    await page.getByText('You are looking at a way that was found.').waitFor();
    expect(await page.getByRole('button', { name: 'Saved' }).isDisabled()).toBe(true); // looking changes nothing
    await page.getByRole('button', { name: 'Take it', exact: true }).press('Enter');
    await page.getByRole('button', { name: 'Save the plan' }).waitFor();
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: 'Saved' }).waitFor();
    // So is the whole plan of another show.
    await page.getByRole('button', { name: 'Copy from another show' }).press('Enter');
    await page.getByText('Another roof:').waitFor();
    expect(await faultsOfDialog(page)).toEqual([]);
    await page.getByRole('button', { name: /^Copy \d+ hangs?$/ }).press('Enter');
    await page.getByText(/replaced by the nearest here/).waitFor();
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: 'Saved' }).waitFor();
    await page.keyboard.press('?');
    await page.getByRole('dialog', { name: 'Keys' }).waitFor();
    expect(await faultsOfDialog(page)).toEqual([]);
    await context.close();
  }, 60_000);

  test('two who draw one plan see each other, are told of what the other saves, and lose nothing where both changed the same', async () => {
    const [one, two] = [await contextOf(ROOK), await contextOf(ETTA)];
    const rook = await open(one, `/proposals/${ids.asked}`);
    const etta = await open(two, `/proposals/${ids.asked}`);
    await rook.locator('p', { hasText: 'Also open here: Etta Vanderquill' }).waitFor();
    const mass = async (page: Page, hang: string) => {
      await page.getByRole('button', { name: new RegExp(`^${hang}`) }).click();
      return page.getByRole('textbox', { name: 'Mass [kg]' });
    };
    const type = async (page: Page, hang: string, kg: string) => {
      const field = await mass(page, hang);
      await field.fill(kg);
      await field.press('Enter');
    };
    await type(rook, 'Pros 1', '150');
    await type(etta, 'Pros 1', '140');
    await type(etta, 'Pros 2', '130');
    await etta.getByRole('button', { name: 'Save the plan' }).click();
    await etta.getByRole('button', { name: 'Saved' }).waitFor();
    await rook.getByRole('status').filter({ hasText: 'Etta Vanderquill changed this plan' }).waitFor();
    expect(await (await mass(rook, 'Pros 1')).inputValue()).toBe('150'); // nothing moves under the one who types

    await rook.getByRole('button', { name: 'Save the plan' }).click();
    const both = rook.getByRole('alert', { name: 'Two have changed this plan' });
    await both.getByText('Taken in from the other: Pros 2.').waitFor();
    expect(await both.getByRole('row').filter({ hasText: 'mass [kg]' }).getByRole('cell').allTextContents()).toEqual(['180', '150', '140']);
    await both.getByRole('radio', { name: 'Pros 1: take mine' }).check();
    await both.getByRole('button', { name: 'Put both together' }).click();
    expect(await (await mass(rook, 'Pros 2')).inputValue()).toBe('130');
    await rook.getByRole('button', { name: 'Save the plan' }).click();
    await rook.getByRole('button', { name: 'Saved' }).waitFor();
    // Who has nothing of their own there is shown it as it is.
    await etta.getByRole('status').filter({ hasText: 'Rook Sallowfield changed this plan' }).waitFor();
    await etta.getByRole('button', { name: 'Show the changes' }).click();
    await expect.poll(async () => (await mass(etta, 'Pros 1')).inputValue()).toBe('150');
    const kept = (await (await two.request.get(`/api/v1/proposals/${ids.asked}/plan`)).json()) as {
      plan: { hangs: { items: object[] }[] };
    };
    expect(kept.plan.hangs.map(({ items }) => items)).toMatchObject([[{ massKg: 150 }], [{ massKg: 130 }]]);
    await two.close();
    await rook.locator('p', { hasText: 'Also open here' }).waitFor({ state: 'detached' });
    await one.close();
  }, 120_000);

  test('somebody is invited by a link, joins in their own browser, and brings equipment that is looked at row by row', async () => {
    const [venue, other] = [await contextOf(TAMSIN), await contextOf(null)];
    const page = await open(venue, '/people');
    await page.getByRole('button', { name: 'Make the link' }).press('Enter');
    await page.getByText('An address like name@house.example.').waitFor();
    await page.getByRole('textbox', { name: 'E-mail address' }).fill('wren@umbrelquay.example');
    await page.getByRole('checkbox', { name: /^house rigger/ }).press('Space');
    await page.getByRole('button', { name: 'Make the link' }).press('Enter');
    const newcomer = await open(other, await page.getByRole('textbox', { name: 'The link' }).inputValue());
    await newcomer.getByRole('textbox', { name: 'Your name' }).fill('Wren Ashgill');
    await newcomer.getByLabel('Password').fill('too short');
    await newcomer.getByRole('button', { name: 'Join' }).press('Enter');
    await newcomer.getByText('at least 10 characters').first().waitFor();
    expect(await newcomer.getByRole('textbox', { name: 'Your name' }).inputValue()).toBe('Wren Ashgill');
    await newcomer.getByLabel('Password').fill(DEMO_PASSWORD);
    await newcomer.getByRole('button', { name: 'Join' }).press('Enter');
    await newcomer.getByText('You have joined.').waitFor();
    await newcomer.getByRole('link', { name: 'Sign in' }).press('Enter');
    await newcomer.getByLabel('E-mail address').fill('wren@umbrelquay.example');
    await newcomer.getByLabel('Password').fill(DEMO_PASSWORD);
    await newcomer.keyboard.press('Enter');
    await newcomer.getByRole('link', { name: 'Equipment' }).press('Enter');

    await newcomer.getByText('Bring a table of equipment').click();
    const table = 'Name;WLL kg;Body weight kg\r\nHouse hoist A;1,000;60\r\nHouse hoist B;500;x\r\nHouse hoist C;250;25\r\n';
    await newcomer.getByLabel('File').setInputFiles({ name: 'hoists.csv', mimeType: 'text/csv', buffer: Buffer.from(table) });
    await newcomer.getByRole('button', { name: 'Look at it' }).press('Enter');
    await newcomer.getByText('1 new, 0 changed, 0 the same, 0 twice, 1 refused, 1 waiting for an answer.').waitFor();
    await newcomer.getByText('C3, Body weight kg:').waitFor(); // the cell that is wrong, as a spreadsheet names it
    expect(await newcomer.getByRole('button', { name: /^Enter/ }).isDisabled()).toBe(true);
    await newcomer.getByRole('radio', { name: /reads as 1000 kg/ }).press('Space');
    await newcomer.getByRole('button', { name: 'Read it again so' }).press('Enter');
    await newcomer.getByRole('button', { name: 'Enter 2 rows' }).press('Enter');
    await newcomer.getByText('2 entered, 1 left out:').waitFor();
    await newcomer.getByRole('button', { name: /^House hoist A/ }).waitFor();
    await Promise.all([venue.close(), other.close()]);
  }, 60_000);

  test('a load-in sheet that was opened once is read with no signal, and says so', async () => {
    const context = await contextOf(ROOK, { viewport: { width: 390, height: 844 } });
    const page = await open(context, `/load-in/${ids.agreed}`);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.getByRole('rowheader', { name: 'Sound 1' }).first().waitFor();
    await page.waitForFunction(async () => (await (await caches.open('roofbook-load-in')).keys()).length >= 8);
    await context.setOffline(true);
    await page.reload();
    await page.getByText('NO SIGNAL').waitFor();
    expect(await page.getByRole('rowheader', { name: 'Sound 1' }).count()).toBeGreaterThan(1);
    await context.close();
  }, 60_000);

  test('a block pasted from a spreadsheet becomes points once its faults are mended, and one undo takes it back', async () => {
    const context = await contextOf(TAMSIN);
    const page = await open(context, `/spaces/${ids.space}?view=points`);
    await page.getByRole('textbox', { name: 'Label contains' }).fill('G1-1');
    await page.getByRole('button', { name: 'Add a point' }).click();
    const label = page.getByRole('textbox', { name: 'new point, label' });
    await label.evaluate((cell) => {
      const data = new DataTransfer();
      data.setData('text/plain', 'N-1\t1\t2\t17.5\t500\tin service\nN-2\t2\t2\t17.5\t1.2 stone\trestricted\n');
      cell.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
    });
    await page.getByText('A unit that is not known here.').waitFor();
    expect(await page.getByRole('button', { name: 'Save 2 changes' }).isDisabled()).toBe(true);
    await page.getByRole('textbox', { name: 'N-2, rating' }).fill('0.4 t');
    await page.getByRole('button', { name: 'Save 2 changes' }).click();
    await page.getByText('202 points').waitFor();
    await page.getByRole('textbox', { name: 'Label contains' }).fill('N-2');
    expect(await page.getByRole('textbox', { name: 'N-2, rating' }).inputValue()).toBe('400');
    await page.getByRole('textbox', { name: 'N-2, rating' }).fill('300');
    await page.keyboard.press('Control+z');
    expect(await page.getByRole('textbox', { name: 'N-2, rating' }).inputValue()).toBe('400');
    // Before it is published it is told what changes, and nothing but that.
    await page.getByRole('button', { name: 'Publish', exact: true }).click();
    const dialog = page.getByRole('dialog', { name: 'Publish revision 2' });
    await dialog.getByText('Added: N-1, N-2').waitFor();
    await dialog.getByRole('heading', { name: /Once this is published/ }).waitFor();
    expect(await dialog.getByRole('heading', { level: 3 }).allTextContents()).toEqual([
      expect.stringContaining('Once this is published'),
      'What changes from revision 1',
      'Points',
    ]);
    await page.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Publish'); // the focus goes back
    await context.close();
  }, 60_000);

  test('the plan is walked by arrow keys, and each point is said with its rating', async () => {
    const context = await contextOf(TAMSIN);
    const page = await open(context, `/spaces/${ids.space}`);
    const plan = page.getByRole('listbox', { name: /^Plan of the roof/ });
    await plan.focus();
    await page.keyboard.press('ArrowRight');
    const first = await page.getByRole('option').textContent();
    await page.keyboard.press('ArrowUp');
    const above = await page.getByRole('option').textContent();
    expect([first, above]).toEqual([
      expect.stringMatching(/^Point G\d+-\d+, rated 500 kg, in service$/),
      expect.stringMatching(/^Point G/),
    ]);
    expect(above).not.toBe(first);
    await page.getByRole('heading', { name: above!.split(',')[0]! }).waitFor();
    await page.getByRole('radio', { name: 'lb' }).check();
    await page.getByText('1,102 lb', { exact: true }).waitFor(); // 500 kg is 1102.3 lb, and a capacity is rounded down
    await context.close();
  }, 60_000);

  test('the board keeps its filter in the address and gives what it shows as a table', async () => {
    const context = await contextOf(ROOK, { acceptDownloads: true });
    const page = await open(context, '/tour');
    await page.getByRole('radio', { name: 'our turn' }).check();
    await page.getByText('1 of 3 shows').waitFor();
    expect(new URL(page.url()).search).toBe('?show=ours');
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Export as CSV' }).click()]);
    const lines: string[] = [];
    for await (const chunk of await download.createReadStream()) lines.push(String(chunk));
    expect(lines.join('').trim().split('\r\n')).toHaveLength(2);
    await context.close();
  }, 60_000);

  test('a lost connection is shown, a save that fails keeps what was typed, and both are mended once it is back', async () => {
    const context = await contextOf(ROOK);
    const page = await open(context, `/proposals/${ids.asked}?view=plan`);
    await page.getByRole('button', { name: /^Pros 1/ }).click();
    const mass = page.getByRole('textbox', { name: 'Mass [kg]' });
    await mass.fill('121');
    await mass.press('Enter');
    await context.setOffline(true);
    const save = page.getByRole('button', { name: 'Save the plan' });
    await save.press('Enter');
    await page.getByRole('tabpanel').getByRole('alert').filter({ hasText: 'No answer from the service' }).waitFor();
    await page.getByRole('status').filter({ hasText: 'Connection lost.' }).waitFor();
    // Also once the page has asked for everything again in vain: who is signed in, and the proposal, which says so too.
    await expect.poll(() => page.getByRole('alert').filter({ hasText: 'No answer' }).count(), { timeout: 30_000 }).toBe(2);
    expect(await mass.inputValue()).toBe('121');
    await context.setOffline(false);
    await page.getByRole('status').filter({ hasText: 'Connected again.' }).waitFor();
    expect(await mass.inputValue()).toBe('121');
    expect(await page.getByRole('button', { name: 'Saved' }).count()).toBe(0); // it is not done behind anybody's back
    await save.press('Enter');
    await page.getByRole('button', { name: 'Saved' }).waitFor();
    // Where the checks of an edit do not come, the verdict on the plan before it is not left standing.
    await page
      .getByRole('status')
      .getByText(/^(FITS|CLOSE|OVER|UNKNOWN)$/)
      .waitFor();
    await page.evaluate(() => (Worker.prototype.postMessage = () => {}));
    await mass.fill('122');
    await mass.press('Enter');
    await page.getByRole('status').getByText('Working out').waitFor();
    await page
      .getByRole('status')
      .getByText(/^(FITS|CLOSE|OVER|UNKNOWN)$/)
      .waitFor({ state: 'hidden' });
    await context.close();
  }, 60_000);

  describe('each task in few acts', () => {
    let tasks: TaskScene;
    beforeAll(async () => {
      const asked = await contextOf(TAMSIN);
      const space = (await (await asked.request.get(`/api/v1/spaces/${ids.small}`)).json()) as { venueId: string };
      await asked.close();
      tasks = await taskScene(running, { manager: TAMSIN, rigger: ROOK }, space.venueId);
    }, 60_000);

    /** Counts what a person does: a press, or a field filled and left. Looking is free; scrolling is not, and is not done. */
    function acts() {
      let count = 0;
      return {
        count: () => count,
        press: async (what: Locator, key = 'Enter') => {
          count += 1;
          await what.press(key);
        },
        type: async (what: Locator, text: string) => {
          count += 1;
          await what.fill(text);
          await what.press('Enter');
        },
      };
    }

    test('three changed hangs of 120 are understood and answered in at most four acts', async () => {
      const context = await contextOf(TAMSIN);
      const page = await open(context, `/proposals/${tasks.changed}`); // as the mail links it
      const changed = page.locator('section', { has: page.getByRole('heading', { name: '3 hangs differ from submission 1' }) });
      await changed.waitFor();
      const said = await changed.getByRole('listitem').allTextContents();
      expect(said).toEqual(
        [1, 2, 3].map((n): unknown => expect.stringMatching(new RegExp(`^Hang ${n} changed, 300 kg → 600 kg.*FITS.*H${n} .*1,000 kg`))),
      );
      const by = acts();
      for (const tick of await page.getByRole('checkbox').all()) await by.press(tick, 'Space');
      await by.press(page.getByRole('button', { name: 'Agree', exact: true }));
      await page.getByText('AGREED', { exact: true }).first().waitFor();
      expect(by.count()).toBeLessThanOrEqual(4);
      await context.close();
    }, 60_000);

    test('which of sixty shows are late, and who has to act, is seen without a click or a scroll', async () => {
      const context = await contextOf(ROOK);
      const page = await open(context, `/tour?production=${tasks.productionId}`);
      const late = page.getByRole('region', { name: 'Late, and who has to act' });
      await late.getByRole('listitem').first().waitFor();
      const bottoms = await late.getByRole('listitem').evaluateAll((items) => items.map((item) => item.getBoundingClientRect().bottom));
      expect(bottoms).toHaveLength(60);
      expect(Math.max(...bottoms)).toBeLessThanOrEqual(900);
      expect(await late.getByRole('heading').allTextContents()).toEqual([
        expect.stringMatching(/YOU\s*55$/),
        expect.stringMatching(/THE VENUE\s*5$/),
      ]);
      await context.close();
    }, 60_000);

    test('a point is rated lower, and whom that touches is read before it is published, in three acts', async () => {
      const context = await contextOf(TAMSIN);
      const page = await open(context, `/spaces/${tasks.spaceId}`);
      const by = acts();
      await by.press(page.getByRole('listbox', { name: /^Plan of the roof/ }), 'ArrowRight');
      const lower = page.getByRole('textbox', { name: 'Lower the rating to [kg]' });
      await lower.fill('2000');
      await lower.press('Enter');
      await page.getByText('Not lower than it is.').waitFor(); // a slip, which is told and costs nothing
      await by.type(lower, '100');
      await page.getByText('Kept in the working copy.').waitFor();
      await by.press(page.getByRole('button', { name: 'Publish', exact: true }));
      const dialog = page.getByRole('dialog');
      await dialog.getByRole('link', { name: 'Sixty Nights, Far night: Rig' }).waitFor();
      await dialog.getByRole('listitem').filter({ hasText: 'Far night' }).filter({ hasText: 'OVER' }).waitFor();
      expect(by.count()).toBeLessThanOrEqual(3);
      expect(await faultsOfDialog(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await context.close();
    }, 60_000);

    test('a table of 150 points is brought, its faults are named by cell, and the mended one is entered and goes to publishing', async () => {
      const context = await contextOf(TAMSIN);
      const page = await open(context, `/spaces/${tasks.spaceId}?view=points`);
      const table = (wll: (n: number) => string) =>
        `Label;x m;y m;z m;WLL kg\r\n${Array.from({ length: 150 }, (_, n) => `N${n + 1};${n};40;14;${wll(n)}`).join('\r\n')}\r\n`;
      const bring = async (text: string) => {
        await page.getByLabel('File').setInputFiles({ name: 'points.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
        await page.getByRole('button', { name: 'Look at it' }).press('Enter');
      };
      await page.getByText('Bring a table of points or members').press('Enter');
      await bring(table((n) => (n === 6 ? 'ask' : n === 90 ? '-5' : '500')));
      const refused = page.getByRole('row').filter({ hasText: 'REFUSED' });
      await refused.first().waitFor();
      expect(await refused.allTextContents()).toEqual([expect.stringContaining('E8, WLL kg:'), expect.stringContaining('E92, WLL kg:')]);
      await page.getByRole('button', { name: 'Leave it' }).press('Enter');
      await page.getByText('Bring a table of points or members').press('Enter');
      await bring(table(() => '500'));
      await page.getByRole('button', { name: 'Enter 150 rows' }).press('Enter');
      await page.getByText('150 entered').waitFor();
      await page.getByText('270 points').waitFor();
      await page.getByRole('button', { name: 'Publish', exact: true }).press('Enter');
      await page.getByRole('dialog').getByText('150').first().waitFor();
      await page.keyboard.press('Escape');
      await context.close();
    }, 60_000);

    test('a table of 150 hangs is pasted into a plan, mended in place one click from each fault, and submitted', async () => {
      const context = await contextOf(ROOK);
      const listed = await context.request.get(`/api/v1/proposals?spaceId=${tasks.spaceId}&state=drafting&limit=1`);
      const [draft] = ((await listed.json()) as { items: { id: string }[] }).items;
      const page = await open(context, `/proposals/${draft!.id}?view=plan`);
      const mass = (n: number) => (n === 6 ? '1,200' : '25');
      const rows = Array.from({ length: 150 }, (_, n) => `Pick ${n + 1}\t${n === 90 ? 'H999' : `H${(n % 120) + 1}`}\t${mass(n)}\t8`);
      await page.getByRole('button', { name: 'Bring a table of hangs' }).press('Enter');
      await page.getByRole('textbox', { name: 'Paste from a spreadsheet' }).fill(['Hang\tPoint\tMass (kg)\tTrim (m)', ...rows].join('\n'));
      await page.getByRole('button', { name: 'Look at it' }).press('Enter');
      await page.getByText('2 cells are to be mended first:').waitFor();
      expect(await faultsOfDialog(page)).toEqual([]);
      for (const [where, text] of [
        ['row 7, mass', '1200'],
        ['row 91, point', 'H91'],
      ] as const) {
        await page.getByRole('button', { name: where }).press('Enter');
        await page.keyboard.press('Control+a');
        await page.keyboard.type(text);
      }
      await page.getByRole('button', { name: 'Take in 150 hangs' }).press('Enter');
      await page.getByRole('button', { name: 'Save the plan' }).press('Enter');
      await page.getByRole('button', { name: 'Saved' }).waitFor();
      await page.getByRole('button', { name: 'Submit' }).press('Enter');
      await page.getByRole('dialog').getByRole('button', { name: 'Submit' }).press('Enter');
      await page.getByText('SUBMITTED', { exact: true }).first().waitFor();
      await context.close();
    }, 60_000);

    test('a block pasted over the wrong rows is taken back in one act, also after it was saved', async () => {
      const context = await contextOf(TAMSIN);
      const page = await open(context, `/spaces/${tasks.spaceId}?view=points`);
      const rating = page.getByRole('textbox', { name: 'H50, rating' });
      expect(await rating.inputValue()).toBe('1000');
      await page.getByRole('textbox', { name: 'H11, rating' }).evaluate((field) => {
        const data = new DataTransfer();
        data.setData('text/plain', Array.from({ length: 40 }, (_, n) => String(n + 1)).join('\n'));
        field.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
      });
      await page.getByRole('button', { name: 'Save 40 changes' }).press('Enter');
      await page.getByText('40 points are saved.').waitFor();
      expect(await rating.inputValue()).toBe('40');
      const by = acts();
      await by.press(page.getByRole('button', { name: 'Take it back' }));
      await expect.poll(() => rating.inputValue()).toBe('1000');
      expect(by.count()).toBe(1);
      await context.close();
    }, 60_000);

    describe('what hangs in a plan is entered, saved and found again', () => {
      let context: BrowserContext;
      let drafts: { id: string }[];
      beforeAll(async () => {
        context = await contextOf(ROOK);
        const listed = await context.request.get(`/api/v1/proposals?spaceId=${tasks.spaceId}&state=drafting&limit=20`);
        drafts = ((await listed.json()) as { items: { id: string }[] }).items.slice(1); // the first is for the table of hangs
      });
      afterAll(() => context.close());

      const number = (page: Page | Locator, name: string | RegExp) => page.getByRole('textbox', { name, exact: true });
      const choice = (page: Page | Locator, name: string) => page.getByRole('combobox', { name, exact: true });
      const type = async (what: Locator, text: string) => {
        await what.fill(text);
        await what.press('Enter');
      };
      /** A hang of this kind under a point that the arrows find, in a plan of its own. */
      const hung = async (kind: 'single pick' | 'truss' | 'truss frame', draft: number): Promise<Page> => {
        const page = await open(context, `/proposals/${drafts[draft]!.id}?view=plan`);
        await page.getByRole('listbox', { name: /^Plan of the roof/ }).press('ArrowRight');
        await page.getByRole('button', { name: new RegExp(`^Hang an? ${kind} under`) }).press('Enter');
        return page;
      };
      const savedAnew = async (page: Page): Promise<void> => {
        await page.getByRole('button', { name: 'Save the plan' }).press('Enter');
        await page.getByRole('button', { name: 'Saved' }).waitFor();
        await page.reload();
        await page.getByRole('button', { name: 'Saved' }).waitFor();
      };
      const hangOf = async (draft: number): Promise<unknown> => {
        const answer = await context.request.get(`/api/v1/proposals/${drafts[draft]!.id}/plan`);
        return ((await answer.json()) as { plan: { hangs: unknown[] } }).plan.hangs[0];
      };
      const idOf = async (label: string): Promise<string> => {
        const answer = await context.request.get(`/api/v1/spaces/${tasks.spaceId}/revisions/1`);
        const { points } = (await answer.json()) as { points: { id: string; label: string }[] };
        return points.find((point) => point.label === label)!.id;
      };
      const narrowAndClean = async (page: Page, part: string): Promise<void> => {
        await page.setViewportSize({ width: 390, height: 844 });
        expect(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)).toBe(0);
        expect(await axeFaults(page, { part })).toEqual([]);
        await page.setViewportSize({ width: 1440, height: 900 });
      };

      test('a straight truss on two points, with its section and a load', async () => {
        const page = await hung('truss', 1);
        await type(choice(page, 'Point'), 'H1');
        await type(choice(page, 'Second hoist, to point'), 'H4');
        expect(await number(page, 'Length [m]').inputValue()).toBe('7'); // 6 m apart, and half a metre beyond each
        await type(number(page, 'Self-weight [kg/m]'), '10');
        await page.getByRole('button', { name: 'Add a load at one place' }).press('Enter');
        const cell = (name: string) => page.getByRole('textbox', { name: `row 1, ${name}`, exact: true });
        await cell('what').fill('screen');
        await cell('at [m]').fill('3.5');
        await cell('mass [kg]').fill('200');
        await page.keyboard.press('Tab');
        await page.getByRole('img', { name: /truss on 2 hoists from the side, to scale/ }).waitFor();
        await page.getByText('270 kg in the air').waitFor();
        await narrowAndClean(page, 'section.stack');
        await savedAnew(page);
        expect(await cell('mass [kg]').inputValue()).toBe('200');
        expect(await number(page, 'Self-weight [kg/m]').inputValue()).toBe('10');
        expect(await hangOf(1)).toMatchObject({
          kind: 'truss',
          pickUps: [{ attachment: { pointId: await idOf('H1') } }, { attachment: { pointId: await idOf('H4') } }],
          build: { lengthM: 7, section: { selfKgPerM: 10 }, pointLoads: [{ what: 'screen', atM: 3.5, massKg: 200 }] },
        });
        await page.close();
      }, 60_000);

      test('a line off plumb: to a place of its own, then to a point; what it carries, and why it is refused', async () => {
        const page = await hung('single pick', 2);
        await type(choice(page, 'Point'), 'H52'); // at 6, 8 and 14 m high
        await type(number(page, 'Mass [kg]'), '400');
        await choice(page, 'Mass is').selectOption('weighed');
        await type(number(page, 'Pick-up height [m]'), '8');
        await page.getByText('Lines off plumb: none').press('Enter');
        await page.getByRole('button', { name: 'Another line, to another place' }).press('Enter');
        const line = page.getByRole('group', { name: /^(Breastline|Guy|Pull-back)/ });
        const told = line.getByRole('status');
        // Level, and the hook 1.5 m aside on 6 m of height: a quarter of the load.
        await type(number(page, 'Hook aside, towards the end of the line [m]'), '1.5');
        await told.filter({ hasText: /^UNKNOWN Pulls at least \d+ kg on its place/ }).waitFor();
        await type(number(line, 'The place holds [kg]'), '5 kN');
        await line.getByRole('textbox', { name: 'Document that says so' }).fill('Sheet 7');
        await page.keyboard.press('Tab');
        await told.filter({ hasText: /Pulls at least 125 kg on its place/ }).waitFor();
        await choice(line, 'Kind').selectOption('Guy');
        await type(number(page, 'Pretension [kg]'), '1 kN');
        await page.keyboard.press('Control+z');
        await page.keyboard.press('Control+z');
        await choice(line, 'Ends at').selectOption('a point of the roof');
        await type(choice(line, 'Its point'), 'H57'); // at 16, 8: level with the point above
        await told.filter({ hasText: 'on H57' }).waitFor();
        // What its statics do not take is refused here, and its mend is told.
        await choice(line, 'Kind').selectOption('Pull-back');
        await page
          .getByRole('status')
          .filter({ hasText: /enter it as a breastline$/ })
          .waitFor();
        await page.keyboard.press('Control+z');
        await told.filter({ hasText: 'on H57' }).waitFor();
        await narrowAndClean(page, 'section.stack');
        await savedAnew(page);
        await page.getByText('Lines off plumb: 1').press('Enter');
        expect(await number(page, 'Hook aside, towards the end of the line [m]').inputValue()).toBe('1.5');
        expect(await choice(line, 'Its point').inputValue()).toBe('H57');
        expect(await hangOf(2)).toMatchObject({
          pickUps: [{ position: { xM: expect.closeTo(7.5, 9) as unknown, yM: expect.closeTo(8, 9) as unknown, zM: 8 } }],
          linesOffPlumb: [{ kind: 'breastline', at: null, to: { pointId: await idOf('H57') }, pretensionKn: null }],
        });
        await line.getByRole('button', { name: 'Remove Breastline to H57' }).press('Enter');
        await page.getByText('Lines off plumb: none').waitFor();
        await page.close();
      }, 60_000);

      test('tiers: a ring, a ring above one leg, a bar in place of it, each number there to be set', async () => {
        const page = await hung('single pick', 3);
        await type(choice(page, 'Point'), 'H52'); // at 6, 8 and 14 m high
        await type(number(page, 'Mass [kg]'), '400');
        await choice(page, 'Mass is').selectOption('weighed');
        await page.getByRole('button', { name: 'On tiers' }).press('Enter');
        const [one, two] = [page.getByRole('group', { name: 'Ring 1' }), page.getByRole('group', { name: /^(Ring|Bar) 2$/ })];
        const told = page.getByRole('group', { name: 'Tiers between the hook and its points' }).getByRole('status').first();
        await type(choice(one, 'Point of Leg 1'), 'H49'); // at 0, 8
        await type(choice(one, 'Point of Leg 2'), 'H53'); // at 8, 8
        await told.filter({ hasText: 'FITS They hang so.' }).waitFor();
        expect(await number(one, 'x [m]').inputValue()).toBe('4');
        await choice(one, 'Leg 2 goes to').selectOption('a new ring above');
        await type(choice(two, 'Point of Leg 2'), 'H55'); // at 12, 8
        await told.filter({ hasText: 'FITS' }).waitFor();
        expect(await number(one, 'x [m]').inputValue()).toBe('5'); // between 0 and the middle of 8 and 12
        // Out of where its legs hold it: refused, with how far.
        await type(number(one, 'y [m]'), '9');
        await told.filter({ hasText: /the tiers cannot hang as drawn: tier 1/ }).waitFor();
        await page.getByRole('button', { name: 'Put them where they can hang' }).press('Enter');
        await told.filter({ hasText: 'FITS' }).waitFor();
        await choice(two, 'Kind').selectOption('bar');
        await two.getByRole('textbox', { name: 'Document that permits its lines and loads so' }).fill('Sheet 9');
        await page.keyboard.press('Tab');
        await told.filter({ hasText: 'FITS' }).waitFor();
        await narrowAndClean(page, 'section.stack');
        await savedAnew(page);
        expect(await choice(two, 'Point of Line 2').inputValue()).toBe('H55');
        expect(await hangOf(3)).toMatchObject({
          pickUps: [
            {
              position: { xM: expect.closeTo(5, 9) as unknown, yM: expect.closeTo(8, 9) as unknown },
              attachment: {
                kind: 'tiers',
                foot: { tierId: '1', atM: null },
                tiers: [
                  {
                    kind: 'ring',
                    legs: [{ to: { pointId: await idOf('H49') } }, { to: { tierId: '2', atM: expect.closeTo(2, 9) as unknown } }],
                  },
                  { kind: 'spreader', useBasis: 'Sheet 9', lines: [{ atM: 0 }, { atM: expect.closeTo(4, 9) as unknown }] },
                ],
              },
            },
          ],
        });
        await page.close();
      }, 60_000);

      test('a truss frame on four points, with a load on one side and a hoist out of level', async () => {
        const page = await hung('truss frame', 4);
        await type(choice(page, 'Point'), 'H1'); // at 0, 0
        for (const label of ['H4', 'H28', 'H25']) await type(choice(page, 'Another hoist, to point'), label); // 6 m along x, 4 m along y
        expect(await number(page, 'Length [m]').inputValue()).toBe('6');
        expect(await number(page, 'Width [m]').inputValue()).toBe('4');
        await type(number(page, 'Self-weight [kg/m]'), '10');
        await page.getByText('Side 2, 4.00 m: no load').press('Enter');
        const side = page.getByRole('group', { name: /^Side 2/ });
        await side.getByRole('button', { name: 'Add a load at one place' }).press('Enter');
        const cell = (name: string) => side.getByRole('textbox', { name: `row 1, ${name}`, exact: true });
        await cell('what').fill('banner');
        await cell('at [m]').fill('2');
        await cell('mass [kg]').fill('100');
        await page.keyboard.press('Tab');
        await page.getByText('300 kg in the air').waitFor(); // 20 m round, and the banner
        await page.getByRole('img', { name: /truss frame on 4 hoists from above, to scale$/ }).waitFor();
        await type(page.getByRole('textbox', { name: /-2, Higher by \[mm\]$/i }), '15');
        // A hoist beyond the end of its side is refused at its own field.
        const station = page.getByRole('textbox', { name: /-2, from its start \[m\]$/ });
        await type(station, '7');
        await page.getByRole('cell', { name: /the side is 6 m long/ }).waitFor();
        await page.keyboard.press('Control+z');
        await page.getByText('300 kg in the air').waitFor();
        await narrowAndClean(page, 'section.stack');
        await savedAnew(page);
        expect(await number(page, 'Width [m]').inputValue()).toBe('4');
        await page.getByText('Side 2, 4.00 m: 1 load').press('Enter');
        expect(await cell('mass [kg]').inputValue()).toBe('100');
        expect(await hangOf(4)).toMatchObject({
          kind: 'trussFrame',
          pickUps: await Promise.all(['H1', 'H4', 'H28', 'H25'].map(async (label) => ({ attachment: { pointId: await idOf(label) } }))),
          build: {
            closed: true,
            section: { selfKgPerM: 10 },
            sides: [{ pointLoads: [] }, { pointLoads: [{ what: 'banner', atM: 2, massKg: 100 }] }, {}, {}],
            pickUps: [{}, { levelMm: 15 }, {}, {}],
          },
        });
        await page.close();
      }, 60_000);
    });
  });
});
