import type { ChordQuality, Degree } from '../chord/model.ts';

/** A `<degree>` of MusicXML. `alter` of an added degree counts from a dominant chord, else from the kind. */
export interface KindDegree {
  readonly value: number;
  readonly alter: number;
  readonly type: 'add' | 'alter' | 'subtract';
}

/** A chord quality as MusicXML says it. */
export interface KindReading {
  readonly kind: string;
  readonly degrees: readonly KindDegree[];
}

/**
 * Degrees each `kind-value` stands for. Source: MusicXML 4.0, annotation of the type `kind-value`. A
 * degree in brackets is in the stack of thirds but left out in practice; a chord with and without it
 * has the same kind (the third of an eleventh chord, the eleventh of a thirteenth chord).
 */
const KINDS: readonly (readonly [kind: string, degrees: string])[] = [
  ['major', '1 3 5'],
  ['minor', '1 b3 5'],
  ['augmented', '1 3 #5'],
  ['diminished', '1 b3 b5'],
  ['dominant', '1 3 5 b7'],
  ['major-seventh', '1 3 5 7'],
  ['minor-seventh', '1 b3 5 b7'],
  ['diminished-seventh', '1 b3 b5 bb7'],
  ['augmented-seventh', '1 3 #5 b7'],
  ['half-diminished', '1 b3 b5 b7'],
  ['major-minor', '1 b3 5 7'],
  ['major-sixth', '1 3 5 6'],
  ['minor-sixth', '1 b3 5 6'],
  ['dominant-ninth', '1 3 5 b7 9'],
  ['major-ninth', '1 3 5 7 9'],
  ['minor-ninth', '1 b3 5 b7 9'],
  ['dominant-11th', '1 (3) 5 b7 9 11'],
  ['major-11th', '1 (3) 5 7 9 11'],
  ['minor-11th', '1 b3 5 b7 9 11'],
  ['dominant-13th', '1 3 5 b7 9 (11) 13'],
  ['major-13th', '1 3 5 7 9 (11) 13'],
  ['minor-13th', '1 b3 5 b7 9 (11) 13'],
  ['suspended-second', '1 2 5'],
  ['suspended-fourth', '1 4 5'],
  ['power', '1 5'],
];

interface KindRow {
  readonly kind: string;
  readonly degrees: readonly { readonly degree: Degree; readonly optional: boolean }[];
}

const ROWS: readonly KindRow[] = KINDS.map(([kind, text]) => ({
  kind,
  degrees: text.split(' ').map((name) => ({
    degree: readDegree(name.replace(/[()]/gu, '')),
    optional: name.startsWith('('),
  })),
}));

function readDegree(name: string): Degree {
  const match = /^(bb|b|#)?(\d+)$/u.exec(name);
  const alter = { bb: -2, b: -1, '#': 1 }[match?.[1] ?? ''] ?? 0;
  return { number: Number(match?.[2]) as Degree['number'], alter: alter as Degree['alter'] };
}

/** Alteration of an added degree as MusicXML counts it: from a dominant chord, whose seventh is minor. */
function addedAlter(degree: Degree): number {
  return degree.number === 7 ? degree.alter + 1 : degree.alter;
}

/** Degrees that turn a kind into a quality, or null when the kind cannot carry it without an absurdity. */
function difference(row: KindRow, quality: ChordQuality): KindDegree[] | null {
  const left = [...quality.degrees];
  const changes: KindDegree[] = [];
  for (const { degree, optional } of row.degrees) {
    const same = left.findIndex(
      (held) => held.number === degree.number && held.alter === degree.alter,
    );
    if (same >= 0) {
      left.splice(same, 1);
      continue;
    }
    const other = left.findIndex((held) => held.number === degree.number);
    const held = left[other];
    if (held && degree.number > 3) {
      changes.push({ value: degree.number, alter: held.alter - degree.alter, type: 'alter' });
      left.splice(other, 1);
    } else if (!optional) {
      changes.push({ value: degree.number, alter: 0, type: 'subtract' });
    }
  }
  for (const degree of left)
    changes.push({ value: degree.number, alter: addedAlter(degree), type: 'add' });
  return changes;
}

/**
 * Price of a wording: fewest degrees first, then those that add rather than alter, alter rather than
 * leave out. A major seventh chord with another fifth stays one. A suspension is not a chord with its third taken away, and an altered ninth is added to a
 * seventh chord, not bent out of a ninth chord.
 */
function price(kind: string, degrees: readonly KindDegree[]): number {
  const each = { add: 10, alter: kind === 'major-seventh' ? 9 : 11, subtract: 14 };
  return degrees.reduce((sum, { type, value }) => {
    const absurd = (type === 'subtract' && value === 3) || (type === 'alter' && value === 9);
    return sum + each[type] + (absurd ? 30 : 0);
  }, 0);
}

/** Degrees of an altered dominant in MusicXML terms: `alt` has no kind of its own. Any altered fifth or ninth may sound. */
const ALTERED: KindReading = {
  kind: 'dominant',
  degrees: [
    { value: 5, alter: 0, type: 'subtract' },
    { value: 9, alter: -1, type: 'add' },
    { value: 9, alter: 1, type: 'add' },
    { value: 11, alter: 1, type: 'add' },
    { value: 13, alter: -1, type: 'add' },
  ],
};

/**
 * The MusicXML kind and degrees of a quality: the kind that needs the fewest `<degree>` elements.
 * `7b9` is `dominant` with an added flat ninth. Every quality has one; none is lost.
 */
export function kindOf(quality: ChordQuality): KindReading {
  if (quality.alt) return ALTERED;
  let best: KindReading | null = null;
  for (const row of ROWS) {
    const degrees = difference(row, quality);
    if (degrees && (!best || price(row.kind, degrees) < price(best.kind, best.degrees)))
      best = { kind: row.kind, degrees };
  }
  if (!best) throw new Error(`No MusicXML kind for ${quality.suffix}`);
  return best;
}

/** The degrees a kind reading stands for, lowest first: what a reader of the file hears. Inverse of {@link kindOf}. */
export function degreesOfKind(reading: KindReading): readonly Degree[] {
  const row = ROWS.find((candidate) => candidate.kind === reading.kind);
  if (!row) throw new Error(`Unknown MusicXML kind ${reading.kind}`);
  let degrees = row.degrees.map(({ degree }) => degree);
  for (const change of reading.degrees) {
    if (change.type === 'add') {
      const alter = change.value === 7 ? change.alter - 1 : change.alter;
      degrees.push({
        number: change.value as Degree['number'],
        alter: alter as Degree['alter'],
      });
    } else if (change.type === 'subtract') {
      degrees = degrees.filter((degree) => degree.number !== change.value);
    } else {
      degrees = degrees.map((degree) =>
        degree.number === change.value
          ? { ...degree, alter: (degree.alter + change.alter) as Degree['alter'] }
          : degree,
      );
    }
  }
  return degrees.sort((a, b) => a.number - b.number || a.alter - b.alter);
}
