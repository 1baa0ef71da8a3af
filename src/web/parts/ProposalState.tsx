import { words } from '../words.ts';
import { StateMark, type Mark } from './StateMark.tsx';

type State = keyof typeof words.states;
const MARK_OF: Record<State, Mark> = {
  drafting: 'unknown',
  submitted: 'waiting',
  questions: 'waiting',
  agreed: 'fits',
  agreed_with_conditions: 'fits',
  declined: 'over',
  withdrawn: 'unknown',
  struck: 'unknown',
};

/** What stops comes first, then what moved, then the state itself. */
export const ProposalState = ({ state, stale, suspended }: { state: State; stale: boolean; suspended: boolean }) => (
  <span className="row">
    {suspended && <StateMark mark="suspended" />}
    {stale && <StateMark mark="stale" />}
    <StateMark mark={MARK_OF[state]} word={words.states[state]} />
  </span>
);
