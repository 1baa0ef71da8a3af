import type { Assessment } from '../../domain/assessment/assessment.ts';
import type { Plan } from '../../domain/plan/plan.ts';
import type { PublishedRoof } from '../../domain/roof/structure.ts';
import type { components } from '../api/generated/schema.ts';
import { forceText, lengthText, type Units } from '../units/units.ts';
import { readUnits } from '../units/units-kept.ts';
import { words } from '../words.ts';
import { element } from './element.ts';
import { keepPage, read, type Fetched } from './kept.ts';
import { preLiftList } from './pre-lift.ts';
import { sheetFacts } from './sheet-facts.ts';

type Proposal = components['schemas']['Proposal'];
type Kept = { revision: number; submission: number; assessment: Assessment };
type Frozen = { number: number; plan: Plan };

const text = words.loadIn;
const root = document.getElementById('sheet')!;
const REREAD_MS = 1_500; // a suspension must be seen on an open page within two seconds

async function show(): Promise<void> {
  const id = location.pathname.split('/')[2] ?? '';
  const base = `/api/v1/proposals/${id}`;
  const [proposal, kept] = await Promise.all([read(base), read(`${base}/assessment`)]);
  if ('status' in proposal) return refuse(proposal.status);
  if ('status' in kept) return refuse(kept.status);
  const [own, assessed] = [proposal.value as Proposal, kept.value as Kept];
  // What is agreed is what goes up: a newer submission that nobody has agreed to is not it.
  const number = own.standingYes?.submission ?? own.submissions;
  const [plan, roof] = await Promise.all([
    read(`${base}/plans/${number}`),
    read(`/api/v1/spaces/${own.spaceId}/revisions/${assessed.revision}`),
  ]);
  if ('status' in plan) return refuse(plan.status);
  if ('status' in roof) return refuse(roof.status);
  render(proposal, own, (plan.value as Frozen).plan, roof.value as PublishedRoof, assessed, number);
  await keepPage();
  setInterval(() => void refresh(base, own), REREAD_MS);
}

function refuse(status: number): void {
  const said = status === 401 ? text.signIn : status === 0 ? text.noSignal : text.notFound;
  const link = status === 401 && element('a', { href: `/sign-in?then=${encodeURIComponent(location.pathname)}` }, words.entry.signIn);
  root.replaceChildren(element('main', {}, element('h1', {}, text.title), element('p', { role: 'alert' }, said), link));
}

function render(fetched: Fetched, own: Proposal, plan: Plan, roof: PublishedRoof, { assessment, submission }: Kept, number: number): void {
  const units = readUnits();
  // Loads belong to the submission that was assessed last; of another one they are not shown at all.
  const loads = submission === number ? assessment.outcome.loads : [];
  const facts = sheetFacts(plan, roof, { loads });
  document.title = `${text.title}: ${own.showName}`;
  root.replaceChildren(
    element(
      'main',
      {},
      element('h1', {}, own.showName),
      element('p', { class: 'soft' }, `${own.venueName}, ${own.spaceName} · ${own.name}, ${text.submission(number)}`),
      element('div', { id: 'standing' }, standing(own, fetched)),
      submission !== number && element('p', { class: 'warn' }, text.otherSubmission),
      table(
        text.marks,
        [text.chalk, 'x', 'y', text.point],
        facts.marks.map(({ chalk, xM, yM, point }) => [
          chalk,
          oneLine(lengthText(xM, units)),
          oneLine(lengthText(yM, units)),
          unbroken(point),
        ]),
      ),
      table(
        text.hoists,
        [text.chalk, text.point, text.load, text.chain],
        facts.hoists.map(({ chalk, points, loadKn, isLowerBound, chainM }) => [
          chalk,
          unbroken(points),
          loadText(loadKn, isLowerBound, units),
          chainM === null ? words.notStated : oneLine(lengthText(chainM, units)),
        ]),
      ),
      facts.legs.length > 0 &&
        table(
          text.legs,
          [text.chalk, text.point, text.length],
          facts.legs.map(({ chalk, point, lengthM }) => [chalk, point, oneLine(lengthText(lengthM, units))]),
        ),
      facts.sideLines.length > 0 &&
        table(
          words.elevation.lines,
          [text.hang, words.elevation.lines, words.elevation.to, words.elevation.pretension],
          facts.sideLines.map(({ hang, chalk, kind, to, pretensionKn }) => [
            hang,
            words.elevation.lineAt(kind, chalk),
            to,
            pretensionKn === null ? words.checks.noNumbers : oneLine(forceText(pretensionKn, units, 'load')),
          ]),
        ),
      table(
        text.trims,
        [text.hang, text.height, text.of],
        facts.trims.map(({ hang, heightM, of }) => [
          hang,
          heightM === null ? words.notStated : oneLine(lengthText(heightM, units)),
          words.elevation.trimOf[of],
        ]),
      ),
      preLiftList(`${own.id} ${number}`),
      element('aside', { class: 'cautions' }, words.cautions.always),
    ),
  );
}

const loadText = (loadKn: number | null, isLowerBound: boolean, units: Units): string =>
  loadKn === null
    ? words.checks.noNumbers
    : isLowerBound
      ? oneLine(text.atLeast(forceText(loadKn, units, 'load')))
      : oneLine(forceText(loadKn, units, 'load'));

/** Labels that no line breaks at their hyphens. */
const unbroken = (labels: string): string => labels.replaceAll('-', '-\u2060');

/** A number beside its unit: on a phone other words wrap. */
const oneLine = (number: string): string => number.replaceAll(' ', '\u00a0');

/** Whether it may go up, as far as this page can know. */
function standing(own: Proposal, { asOf, isKept }: { asOf: Date; isKept: boolean }): HTMLElement {
  const { from, until } = own.validity;
  const now = new Date().toISOString(); // a sheet that was kept may have run out since
  const isStanding = own.standingYes !== null && !own.stale && !own.suspended && from !== undefined && until !== undefined && now < until;
  const isEarly = isStanding && now < from;
  const isAgreed = isStanding && !isEarly;
  const when = dateText(asOf);
  const word = own.suspended ? words.marks.suspended : own.stale ? words.marks.stale : isEarly ? text.notYet : words.states[own.state];
  return element(
    'div',
    { class: own.suspended ? 'banner stop' : isAgreed ? 'banner good' : 'banner bad', role: 'status' },
    element('strong', {}, `${own.suspended ? '⊟' : isAgreed ? '✓' : isEarly ? '◷' : '✕'} ${word}`),
    element(
      'p',
      {},
      own.suspended ? (own.suspensionReason ?? '') : isAgreed ? text.maySay : isEarly ? text.early(dateText(new Date(from))) : text.mayNot,
    ),
    element('p', {}, isKept ? text.offline(when) : text.asOf(when)),
  );
}

const dateText = (at: Date): string => at.toLocaleString('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });

/** A suspension or a newer yes is seen on an open page. */
async function refresh(base: string, shown: Proposal): Promise<void> {
  const again = await read(base);
  if ('status' in again) return;
  const own = again.value as Proposal;
  if (own.standingYes?.submission !== shown.standingYes?.submission) return location.reload();
  document.getElementById('standing')?.replaceChildren(standing(own, again));
}

function table(title: string, heads: readonly string[], rows: readonly (readonly string[])[]): HTMLElement {
  return element(
    'section',
    {},
    element('h2', {}, title),
    element(
      'table',
      {},
      element('thead', {}, element('tr', {}, ...heads.map((head) => element('th', { scope: 'col' }, head)))),
      element(
        'tbody',
        {},
        ...rows.map(([first = '', ...rest]) =>
          element('tr', {}, element('th', { scope: 'row' }, first), ...rest.map((cell) => element('td', {}, cell))),
        ),
      ),
    ),
  );
}

if ('serviceWorker' in navigator) void navigator.serviceWorker.register('/load-in-worker.js', { scope: '/load-in/' });
void show();
