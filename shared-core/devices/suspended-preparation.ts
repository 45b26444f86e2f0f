import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { around, recognition } from './circle.ts';
import { isMinorish, standingOf, target } from './home.ts';
import { spread } from './layouts.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadPairs, leadTails } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { along, inSlot, isStretch, Rewrites, sharing } from './write.ts';

const NAME = 'suspended-preparation';

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  const standing = standingOf(site);
  if (standing === 'dominant' || standing === 'blues') {
    // Beside a sharp eleven the fourth cannot hang.
    if (!site.held.quality.fifths.includes(UP.sharpFour)) proposeOnDominant(site, rewrites);
  } else if (standing === 'suspended') {
    proposeRelease(site, rewrites);
  } else if (!isStretch(site)) {
    proposeLeadIn(site, rewrites);
  }
  return rewrites.all;
}

/** The fourth hangs and falls: the words every form of the device shares. */
function falls(root: number): string {
  return `${note(root + UP.four)} hangs as the fourth of ${note(root)} and falls to ${note(root + UP.three)}, the third`;
}

/** A held dominant: suspended first, then open; or suspended in the middle where its start must stand. */
function proposeOnDominant(site: Site, rewrites: Rewrites): void {
  const { held } = site;
  const root = held.root;
  const told = { tells: root + UP.four, home: root + UP.three };
  const reason = `The dominant comes in suspended: ${falls(root)}.`;
  const halves = spread(site, 2);
  if (halves === null) return;
  // In a blues home is heard as it is when it begins; only a dominant on its way may come in late.
  const onItsWay = standingOf(site) === 'dominant';
  for (const suffix of onItsWay ? ['sus4', '7sus4', '9sus4'] : []) {
    rewrites.add({
      ...told,
      degree: suffix === 'sus4' ? 'triad' : 'seventh',
      variant: `${suffix}@whole-${halves.id}`,
      carrier: 'band',
      cells: along(halves, [chordIn(site, root, suffix), held]),
      reason,
    });
  }
  awaySlots(site, false)
    .slice(0, 2)
    .forEach((slot, i) => {
      rewrites.add({
        ...told,
        degree: i === 0 ? 'note' : 'seventh',
        variant: `inside@${slot.id}`,
        carrier: i === 0 ? 'soloist' : 'either',
        cells: inSlot(slot, chordIn(site, root, '7sus4')),
        reason: `Suspend the dominant for a moment: ${falls(root)} again.`,
      });
    });
  if (standingOf(site) === 'dominant') proposeLongForm(site, rewrites);
}

/** Half the time suspended, a quarter open, a quarter with the flat nine. */
function proposeLongForm(site: Site, rewrites: Rewrites): void {
  const { held } = site;
  const layout = spread(site, 4);
  if (layout === null) return;
  const root = held.root;
  const ninth = chordIn(site, root, '9sus4');
  rewrites.add({
    tells: root + UP.four,
    home: root + UP.three,
    degree: 'full',
    variant: `9sus4-7-7b9@whole-${layout.id}`,
    carrier: 'band',
    cells: along(layout, [ninth, ninth, held, chordIn(site, root, '7b9')]),
    reason: `The dominant comes in suspended: ${falls(root)}, and the flat nine ${note(root + UP.flatTwo)} darkens the end.`,
  });
}

/** A held suspended chord opens into its dominant at the end. */
function proposeRelease(site: Site, rewrites: Rewrites): void {
  const { held, next } = site;
  if (next !== null && semitonesUp(held.root, next.root) === 0) {
    proposeInside(site, rewrites);
    return;
  }
  const told = { tells: held.root + UP.four, home: held.root + UP.three };
  for (const slot of leadTails(site)) {
    for (const suffix of next !== null && isMinorish(next) ? ['7', '7b9'] : ['7', '13']) {
      rewrites.add({
        ...told,
        degree: 'seventh',
        variant: `release-${suffix}@${slot.id}`,
        carrier: 'band',
        cells: inSlot(slot, chordIn(site, held.root, suffix)),
        reason: `The suspended chord lets go at last: ${falls(held.root)}.`,
      });
    }
  }
}

/** A suspended vamp lets go for a moment and hangs again. */
function proposeInside(site: Site, rewrites: Rewrites): void {
  const { root } = site.held;
  for (const slot of awaySlots(site, false).slice(0, 2)) {
    rewrites.add({
      tells: root + UP.three,
      home: root + UP.four,
      degree: 'seventh',
      variant: `let-go@${slot.id}`,
      carrier: 'band',
      cells: inSlot(slot, chordIn(site, root, '7')),
      reason: `The suspended chord lets go for a moment: ${falls(root)}, and hangs again.`,
    });
  }
}

/** Before the next chord: its dominant, suspended and then open. */
function proposeLeadIn(site: Site, rewrites: Rewrites): void {
  const to = target(site);
  if (to === null) return;
  const root = to.root + UP.five;
  const told = { tells: root + UP.four, home: root + UP.three };
  leadPairs(site).forEach((slot, i) => {
    const sus = chordIn(site, root, i === 0 ? '7sus4' : '9sus4');
    const five = chordIn(site, root, '7');
    rewrites.add({
      ...told,
      degree: 'full',
      variant: `lead-in-sus@${slot.id}`,
      carrier: 'either',
      cells: sharing(slot, sus, five),
      reason: leadReason(sus, to, root),
    });
  });
}

function leadReason(sus: Chord, to: Chord, root: number): string {
  return `${symbol(sus)} prepares the dominant of ${symbol(to)}: ${falls(root)}, which rises to ${note(to.root)}.`;
}

/** A suspended chord that opens into the dominant on its own root. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'suspended') return null;
  const opens = seen.next.quality.family === 'dominant' || seen.next.quality.family === 'major';
  if (!opens || semitonesUp(seen.here.root, seen.next.root) !== 0) return null;
  return recognition(NAME, index, seen.nextAt, null, 'dominant', 0.2);
}

/** A dominant that comes in suspended and opens. */
export const suspendedPreparation: Device = {
  name: NAME,
  label: 'Suspended dominant',
  definition:
    'The first part of a dominant takes the fourth in place of the third (sus4, 7sus4, 9sus4), then the third sounds. On any other stretch the dominant of the next chord comes in suspended at the end; a held suspended chord opens there.',
  source:
    'S. Thomas, Step 6: Suspensions; A jazz improvisation text, section Pedal Point. The lead-in and the release are common practice, no source.',
  usual: { elsewhere: 0.65 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| G7 | G7 |',
      after: '| G7sus4 | G7 |',
      next: 'Cmaj7',
      source: 'S. Thomas, Step 6: Suspensions',
    },
    {
      key: 'Bb major',
      before: '| F7 | F7 | F7 | F7 |',
      after: '| F9sus4 | F9sus4 | F7 | F7b9 |',
      next: 'Bbmaj7',
      source: 'S. Thomas, Step 6: Suspensions',
    },
    {
      key: 'D major',
      before: '| A7 | A7 |',
      after: '| A7sus4 | A7 |',
      next: 'Dmaj7',
      source: 'S. Thomas, Step 6: Suspensions',
    },
  ],
};
