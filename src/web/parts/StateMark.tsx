import { words } from '../words.ts';

export type Mark = 'fits' | 'close' | 'over' | 'unknown' | 'stale' | 'waiting' | 'suspended';

/** Shape, word and colour: any two of them are enough. What only advises is drawn hollow. */
export const StateMark = ({ mark, word, advises = false }: { mark: Mark; word?: string; advises?: boolean }) => (
  <span className={`state ${mark}${advises ? ' advises' : ''}`}>
    <svg viewBox="0 0 20 20" aria-hidden="true">
      {SHAPES[mark]}
    </svg>
    {word ?? words.marks[mark]}
  </span>
);

const stroke = { fill: 'none', stroke: 'currentColor', strokeWidth: 2.2, strokeLinecap: 'round', strokeLinejoin: 'round' } as const;
const inner = { ...stroke, stroke: 'var(--sheet)' } as const;
const SHAPES: Record<Mark, React.ReactNode> = {
  fits: (
    <>
      <circle cx="10" cy="10" r="9" fill="currentColor" />
      <path d="m5.8 10.3 3 3 5.6-6.3" {...inner} />
    </>
  ),
  close: (
    <>
      <path d="M10 1.6 19 18H1z" fill="currentColor" />
      <path d="M10 7.4v4.8M10 15.1v.1" {...inner} />
    </>
  ),
  over: (
    <>
      <path d="M6.3 1h7.4L19 6.3v7.4L13.7 19H6.3L1 13.7V6.3z" fill="currentColor" />
      <path d="m6.8 6.8 6.4 6.4m0-6.4-6.4 6.4" {...inner} />
    </>
  ),
  unknown: <circle cx="10" cy="10" r="8" {...stroke} strokeDasharray="3.2 3.1" />,
  stale: <path d="M10 2a8 8 0 1 1-7.3 4.7M10 2a8 8 0 0 0-3.2.7" {...stroke} strokeDasharray="30 6" />,
  waiting: <path d="M2 10h13m-5-6 6 6-6 6" {...stroke} />,
  suspended: (
    <>
      <rect x="2.5" y="2.5" width="15" height="15" {...stroke} />
      <path d="M1 10h18" {...stroke} strokeWidth={4} />
    </>
  ),
};
