import type { ReactNode } from 'react';
import { keyName } from '../../shared-core/pitch/key.ts';
import { meterName } from '../../shared-core/time/meter.ts';
import { routeHash } from '../app/route.ts';
import { useChordView } from '../common/chord-view.ts';
import { useClient } from '../common/shell-context.ts';
import { withSigns } from '../common/words.ts';
import { HeadButton } from './HeadDialog.tsx';
import { type OpenArrangement, useLadder } from './ladder-store.ts';

/** Title and facts of the arrangement, and what can be done with it as a whole. */
export function LadderHead({
  arrangement,
  onOpen,
  children,
}: {
  readonly arrangement: OpenArrangement;
  readonly onOpen: (what: 'keys' | 'export' | 'plan') => void;
  readonly children?: ReactNode;
}) {
  const client = useClient();
  const undo = useLadder((store) => store.undo);
  const redo = useLadder((store) => store.redo);
  const view = useChordView();
  const { tune, analysis } = arrangement.open;
  const { head } = arrangement.held.state;
  const tempo = head.tempo ?? tune.tempo;
  return (
    <header className="ladder-head">
      <div className="ladder-title">
        <h1>
          <a href={routeHash({ screen: 'tune', tune: arrangement.tuneId })}>{tune.title}</a>
        </h1>
        <HeadButton arrangement={arrangement} />
        <p className="ladder-facts small figures">
          {withSigns(keyName(view.readKey(analysis.key)))}
          {view.chairName && ` for ${view.chairName}`}, {meterName(tune.meter)}
          {tempo !== null && `, ${tempo}`}
          {(head.feel ?? tune.feel) && `, ${head.feel ?? tune.feel}`}
        </p>
      </div>
      <div className="ladder-tools">
        <button
          type="button"
          disabled={!arrangement.canUndo}
          onClick={() => void undo(client)}
          aria-keyshortcuts="u Control+Z"
        >
          Undo
        </button>
        <button
          type="button"
          disabled={!arrangement.canRedo}
          onClick={() => void redo(client)}
          aria-keyshortcuts="r Control+Y"
        >
          Redo
        </button>
        <button type="button" onClick={() => onOpen('plan')}>
          Plan all choruses
        </button>
        <a className="button" href={routeHash({ screen: 'charts', arrangement: arrangement.id })}>
          Charts
        </a>
        <button type="button" onClick={() => onOpen('export')} aria-keyshortcuts="Control+E">
          Export
        </button>
        <button type="button" onClick={() => onOpen('keys')} aria-keyshortcuts="?">
          Keys
        </button>
      </div>
      {children}
    </header>
  );
}
