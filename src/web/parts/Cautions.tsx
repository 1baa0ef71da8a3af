import { words } from '../words.ts';

/** Stands on every screen that shows a load or a verdict. */
export const Cautions = ({ also = [] }: { also?: readonly string[] }) => (
  <aside className="cautions" aria-label={words.cautions.label}>
    <p>{words.cautions.always}</p>
    {also.length > 0 && (
      <ul>
        {also.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    )}
  </aside>
);
