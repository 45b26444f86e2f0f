/** A family of voicings a player may be asked to keep to; `any` is whatever lies best. */
export const VOICING_FAMILIES = [
  'any',
  'shells',
  'close',
  'drop-2',
  'drop-3',
  'rootless',
  'fourths',
  'third-below',
  'seventh-below',
] as const;

/** One of {@link VOICING_FAMILIES}. */
export type VoicingFamily = (typeof VOICING_FAMILIES)[number];

/**
 * The kinds of voicing (see `Voicing.kind`) each family is made of, by who plays. A family another
 * instrument has no hands for is not in its table. Names of the trade: tests/reference/voicing.json and
 * tests/reference/guitar.json.
 */
const KINDS: Readonly<
  Record<'guitar' | 'piano', Partial<Record<VoicingFamily, readonly string[]>>>
> = {
  guitar: {
    shells: ['shell', 'guide tones'],
    close: ['close', 'rootless close'],
    'drop-2': ['drop 2', 'rootless drop 2'],
    'drop-3': ['drop 3', 'rootless drop 3'],
    rootless: ['rootless close', 'rootless drop 2', 'rootless drop 3', 'guide tones'],
    fourths: ['quartal'],
  },
  piano: {
    'third-below': ['rootless A', 'close A'],
    'seventh-below': ['rootless B', 'close B'],
  },
};

/** The families an instrument can keep to, `any` first. */
export function familiesOf(instrument: 'guitar' | 'piano'): readonly VoicingFamily[] {
  return VOICING_FAMILIES.filter((family) => family === 'any' || KINDS[instrument][family]);
}

/** The kinds of a family as the search wants them; undefined where every kind will do. */
export function kindsOf(
  family: VoicingFamily,
  instrument: 'guitar' | 'piano',
): readonly string[] | undefined {
  return KINDS[instrument][family];
}
