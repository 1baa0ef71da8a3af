import { ROOF_KINDS, isUnchanged, type RoofChanges } from '../../../domain/roof/changes.ts';
import { words } from '../../words.ts';

/** What was added, taken away and changed, item by item, old beside new. */
export function ChangeList({ changes }: { changes: RoofChanges }) {
  if (isUnchanged(changes)) return <p className="soft">{words.changes.none}</p>;
  return (
    <div className="stack">
      {changes.space.length > 0 && <Fields title={words.changes.space} fields={changes.space} />}
      {ROOF_KINDS.map((kind) => {
        const { added, removed, changed } = changes[kind];
        if (added.length + removed.length + changed.length === 0) return null;
        return (
          <section key={kind} className="stack tight">
            <h3>{words.changes.kinds[kind]}</h3>
            {added.length > 0 && <p>{words.changes.added(labelsIn(added))}</p>}
            {removed.length > 0 && <p>{words.changes.removed(labelsIn(removed))}</p>}
            {[...changed].sort(byLabel).map(({ id, label, fields }) => (
              <Fields key={id} title={label} fields={fields} />
            ))}
          </section>
        );
      })}
    </div>
  );
}

const byLabel = (a: { label: string }, b: { label: string }): number => a.label.localeCompare(b.label, 'en', { numeric: true });
const labelsIn = (items: readonly { label: string }[]): string =>
  [...items]
    .sort(byLabel)
    .map(({ label }) => label)
    .join(', ');
const shown = (value: unknown): string =>
  value === null ? words.notStated : typeof value === 'string' ? value : (JSON.stringify(value) ?? words.notStated);

function Fields({ title, fields }: { title: string; fields: readonly { path: string; old: unknown; new: unknown }[] }) {
  return (
    <div>
      <strong>{title}</strong>
      <ul>
        {fields.map(({ path, old, new: now }) => (
          <li key={path}>
            <code>{path}</code>: {shown(old)} → <strong>{shown(now)}</strong>
          </li>
        ))}
      </ul>
    </div>
  );
}
