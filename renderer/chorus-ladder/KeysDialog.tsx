import { Dialog } from '../common/dialog.tsx';

const GROUPS: readonly (readonly [string, readonly (readonly [string, string])[]])[] = [
  [
    'Move',
    [
      ['← →', 'along the chorus'],
      ['↑ ↓', 'to the chorus above or below'],
      ['Ctrl ← →', 'to the next held chord'],
      ['Home End', 'to the top or the end of the form'],
      ['N P', 'next, previous proposal'],
      ['M', 'more ways of the same device, or fewer'],
    ],
  ],
  [
    'Hear',
    [
      ['B', 'before: as written'],
      ['A', 'after: with the proposal'],
      ['Space', 'play from this chorus, stop'],
      ['L', 'loop: over and over'],
    ],
  ],
  [
    'Decide',
    [
      ['Enter', 'keep the proposal'],
      ['O', 'keep it for the others: band instead of soloist, or the other way'],
      ['X', 'lay it aside, or take out what was kept'],
      ['H', 'write changes by hand'],
      ['V', 'back to the proposals'],
      ['U R', 'undo, redo'],
    ],
  ],
  [
    'On the list of proposals',
    [
      ['↑ ↓', 'over the proposals'],
      ['→ ←', 'more ways of a device, or fewer'],
    ],
  ],
  [
    'In a written line',
    [
      ['← →', 'from note to note'],
      ['↑ ↓', 'a semitone up or down, with Shift an octave'],
      ['[ ]', 'shorter, longer'],
      ['A G', 'from A to G: write that note in after it'],
      ['I', 'the same note once more'],
      ['Delete', 'take the note out'],
    ],
  ],
  [
    'See',
    [
      ['+ −', 'wider, narrower bars'],
      ['0', 'as wide as the changes need'],
      ['C', 'charts'],
      ['Ctrl E', 'export'],
      ['?', 'these keys'],
    ],
  ],
];

/** Every key of the ladder on one sheet. */
export function KeysDialog({ onClose }: { readonly onClose: () => void }) {
  return (
    <Dialog title="Keys on the ladder" onClose={onClose} wide>
      <div className="keys-sheet">
        {GROUPS.map(([title, keys]) => (
          <section key={title}>
            <h3>{title}</h3>
            <dl>
              {keys.map(([key, words]) => (
                <div key={key}>
                  <dt>
                    {key.split(' ').map((one) => (
                      <kbd key={one}>{one}</kbd>
                    ))}
                  </dt>
                  <dd>{words}</dd>
                </div>
              ))}
            </dl>
          </section>
        ))}
      </div>
    </Dialog>
  );
}
