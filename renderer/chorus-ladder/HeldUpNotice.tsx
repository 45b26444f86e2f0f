import { count } from '../common/words.ts';
import { useLadder } from './ladder-store.ts';

/**
 * Decisions that are not kept yet: they stay on the ladder, are tried again by themselves, and can be tried at
 * once or let go.
 */
export function HeldUpNotice() {
  const heldUp = useLadder((store) => store.heldUp);
  const waiting = useLadder((store) => store.pending.length);
  if (!heldUp) return null;
  const what =
    waiting === 0
      ? 'This step is'
      : `${count(waiting, 'decision')} on the ladder ${waiting === 1 ? 'is' : 'are'}`;
  return (
    <div className="notice notice-error" role="alert">
      <p>
        {heldUp.error.message} {what} not kept yet; it is tried again by itself.
      </p>
      <button type="button" className="button-ruled" onClick={heldUp.again}>
        Try now
      </button>
      <button type="button" onClick={heldUp.letGo}>
        {waiting > 1 ? 'Let the first go' : 'Let it go'}
      </button>
    </div>
  );
}
