import { words } from '../words.ts';
import { element } from './element.ts';

/** The list before a lift, ticked on this phone alone: a memory aid, no record. */
export function preLiftList(of: string): HTMLElement {
  const key = `roofbook.pre-lift ${of}`;
  const ticked = new Set<string>((localStorage.getItem(key) ?? '').split('\n').filter((line) => line !== ''));
  const keep = (id: string) => (event: Event) => {
    if ((event.target as HTMLInputElement).checked) ticked.add(id);
    else ticked.delete(id);
    localStorage.setItem(key, [...ticked].join('\n'));
  };
  return element(
    'section',
    {},
    element('h2', {}, words.loadIn.preLift),
    element('p', { class: 'soft of-screen' }, words.loadIn.preLiftNote),
    element(
      'ul',
      { class: 'list' },
      ...Object.entries(words.loadIn.steps).map(([id, step]) =>
        element('li', {}, element('label', {}, element('input', { type: 'checkbox', checked: ticked.has(id), change: keep(id) }), step)),
      ),
    ),
  );
}
