import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';
import { takeOut } from '../proposal-bench/actions.ts';
import type { OpenArrangement } from './ladder-store.ts';

/** Says when the tune became shorter than what was decided on it, and offers to tidy up. */
export function Stranded({ arrangement }: { readonly arrangement: OpenArrangement }) {
  const client = useClient();
  const { length } = arrangement.open.analysis.chorus;
  const { placements } = arrangement.held.state;
  const stranded = Object.values(placements).filter((placement) => placement.start >= length);
  if (stranded.length === 0) return null;
  return (
    <div className="notice" role="status">
      <p>
        The tune is shorter than it was: behind its end there
        {stranded.length === 1 ? ' is ' : ' are '}
        {count(stranded.length, 'decision')} that cannot be shown. Put the bars back and so are
        they.
      </p>
      <button type="button" className="button-ruled" onClick={() => void takeOut(client, stranded)}>
        Take them out
      </button>
    </div>
  );
}
