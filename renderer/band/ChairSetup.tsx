import { useId } from 'react';
import type { Chair, VoicingWish } from '../../shared-core/arrangement/band.ts';
import {
  type Instrument,
  instrumentById,
  type KeySpelling,
} from '../../shared-core/pitch/instruments.ts';
import {
  HIGHEST_CAPO,
  readTuning,
  type StringSetup,
  type Strung,
  strungAs,
  TUNINGS,
  tuningMessage,
  tuningName,
  tuningText,
  usualSetup,
} from '../../shared-core/pitch/strings.ts';
import { familiesOf, type VoicingFamily } from '../../shared-core/voicing/families.ts';
import { withSigns } from '../common/words.ts';

/** Families of voicings in a player's words. */
const FAMILIES: Readonly<Record<VoicingFamily, string>> = {
  any: 'whatever lies best',
  shells: 'shells: root, third and seventh',
  close: 'close position',
  'drop-2': 'drop 2',
  'drop-3': 'drop 3',
  rootless: 'without roots',
  fourths: 'in fourths, where the chord has them',
  'third-below': 'the third at the bottom',
  'seventh-below': 'the seventh at the bottom',
};

const TOPS: readonly (readonly [VoicingWish['top'], string])[] = [
  ['free', 'wherever it leads best'],
  ['melody', 'the melody itself, in the head'],
  ['under', 'under the melody, in the head'],
];

/** Which way a key is read that can be written two ways: D♭ or C♯. */
const KEYS: Readonly<Record<KeySpelling, string>> = {
  fewest: 'keys: whichever reads easier',
  sharps: 'keys: with sharps',
  flats: 'keys: with flats',
};

/** Stands in the list of tunings for one that is typed. */
const OWN = 'own';

/** What a chair plays on and how, beyond its instrument. */
export interface SetupProps {
  readonly chair: Chair;
  /** A tuning written by hand, as it is typed; null where one of the list is chosen. */
  readonly typed: string | null;
  readonly onChange: (to: Pick<Chair, 'strings' | 'keys' | 'voicing'>) => void;
  /** Told what is typed, and what it comes to once it can be read. */
  readonly onTuning: (typed: string | null, to: Pick<Chair, 'strings'>) => void;
}

/** Strings, capo and hand of a guitar or bass; what the voicings of a comping chair should be like. */
export function ChairSetup(props: SetupProps) {
  const { chair } = props;
  if (!hasSetup(chair)) return null;
  return (
    <details className="chair-setup">
      <summary>{setupWords(chair, instrumentById(chair.instrument))}</summary>
      <ChairSetupFields {...props} />
    </details>
  );
}

/** Whether there is anything to set about a chair beyond its instrument. */
export function hasSetup({ instrument, role }: Chair): boolean {
  const known = instrumentById(instrument);
  return (
    strungAs(known) !== null ||
    transposes(known) ||
    (role === 'comping' && known.clef !== 'percussion')
  );
}

/** The fields of a chair's setup, without a lid. */
export function ChairSetupFields(props: SetupProps) {
  const { instrument, role } = props.chair;
  const known = instrumentById(instrument);
  const strung = strungAs(known);
  return (
    <>
      {transposes(known) && <KeyField {...props} />}
      {strung && (
        <div className="chair-setup-fields">
          <StringFields {...props} strung={strung} />
        </div>
      )}
      {role === 'comping' && known.clef !== 'percussion' && (
        <div className="chair-setup-fields chair-setup-wide">
          <VoicingFields {...props} instrument={known} />
        </div>
      )}
    </>
  );
}

/** What is set, in a line: `DADGAD, capo 2, drop 2`. */
function setupWords({ strings, keys, voicing, role }: Chair, instrument: Instrument): string {
  const strung = strungAs(instrument);
  const words: string[] = [];
  if (strung) {
    words.push(strings ? tuningWords(strings, strung) : usualName(strung));
    if (strings && strings.capo > 0) words.push(`capo ${strings.capo}`);
    if (strings?.leftHanded) words.push('left-handed');
  }
  if (transposes(instrument)) words.push(KEYS[keys ?? 'fewest']);
  if (role === 'comping') {
    const family = voicing?.family ?? 'any';
    if (family !== 'any') words.push(FAMILIES[family]);
    if (voicing?.top === 'melody') words.push('melody on top');
    if (voicing?.top === 'under') words.push('under the melody');
    if (words.length === 0) words.push(`voicings: ${FAMILIES.any}`);
  }
  return words.join(', ');
}

function tuningWords({ tuning }: StringSetup, strung: Strung): string {
  const name = tuningName(tuning, strung);
  return name === 'standard' ? usualName(strung) : withSigns(name);
}

function usualName(strung: Strung): string {
  return strung === 'guitar' ? 'standard tuning' : 'four strings';
}

function StringFields({
  chair,
  typed,
  strung,
  onChange,
  onTuning,
}: SetupProps & { readonly strung: Strung }) {
  const id = useId();
  const setup = chair.strings ?? usualSetup(strung);
  const set = (to: Partial<StringSetup>) => onChange({ strings: { ...setup, ...to } });
  const text = tuningText(setup.tuning);
  const named = TUNINGS[strung].find(({ strings }) => strings === text);
  const own = typed !== null || !named;
  const read = typed === null ? null : readTuning(typed, strung);
  const problem = read && !read.ok ? tuningMessage(read.error, strung) : null;
  const choose = (words: string, byHand: boolean) => {
    const tuning = readTuning(words, strung);
    onTuning(
      byHand ? words : null,
      tuning.ok ? { strings: { ...setup, tuning: tuning.value } } : {},
    );
  };
  return (
    <>
      <div className="field">
        <label htmlFor={`${id}-tuning`}>Tuning</label>
        <select
          id={`${id}-tuning`}
          value={own ? OWN : text}
          onChange={({ target }) =>
            target.value === OWN ? choose(asTyped(text, strung), true) : choose(target.value, false)
          }
        >
          {TUNINGS[strung].map(({ name, strings }) => (
            <option key={name} value={strings}>
              {name} ({withSigns(letters(strings))})
            </option>
          ))}
          <option value={OWN}>another: write it</option>
        </select>
      </div>
      {own && (
        <div className="field">
          <label htmlFor={`${id}-own`}>Open strings, lowest first</label>
          <input
            id={`${id}-own`}
            value={typed ?? asTyped(text, strung)}
            placeholder={letters(TUNINGS[strung][0]?.strings ?? '')}
            maxLength={100}
            autoComplete="off"
            autoCapitalize="off"
            spellCheck={false}
            aria-invalid={problem !== null}
            aria-describedby={problem ? `${id}-problem` : undefined}
            onChange={({ target }) => choose(target.value, true)}
          />
          {problem && (
            <p id={`${id}-problem`} className="hand-problem small">
              {problem}
            </p>
          )}
        </div>
      )}
      {strung === 'guitar' && (
        <div className="field">
          <label htmlFor={`${id}-capo`}>Capo</label>
          <select
            id={`${id}-capo`}
            value={setup.capo}
            onChange={({ target }) => set({ capo: Number(target.value) })}
          >
            {Array.from({ length: HIGHEST_CAPO + 1 }, (_, fret) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a fret is its number
              <option key={fret} value={fret}>
                {fret === 0 ? 'none' : `fret ${fret}`}
              </option>
            ))}
          </select>
        </div>
      )}
      {strung === 'guitar' && (
        <label className="check">
          <input
            type="checkbox"
            checked={setup.leftHanded}
            onChange={({ target }) => set({ leftHanded: target.checked })}
          />
          Left-handed
        </label>
      )}
    </>
  );
}

function transposes({ toWritten }: Instrument): boolean {
  return toWritten.fifths !== 0;
}

function KeyField({ chair, onChange }: SetupProps) {
  const id = useId();
  return (
    <div className="chair-setup-fields chair-setup-wide">
      <div className="field">
        <label htmlFor={`${id}-keys`}>Where a key can be read two ways</label>
        <select
          id={`${id}-keys`}
          value={chair.keys ?? 'fewest'}
          onChange={({ target }) => onChange({ keys: target.value as KeySpelling })}
        >
          {Object.entries(KEYS).map(([keys, words]) => (
            <option key={keys} value={keys}>
              {words}
            </option>
          ))}
        </select>
      </div>
    </div>
  );
}

function VoicingFields({
  chair,
  instrument,
  onChange,
}: SetupProps & { readonly instrument: Instrument }) {
  const id = useId();
  const wish: VoicingWish = chair.voicing ?? { family: 'any', top: 'free' };
  const set = (to: Partial<VoicingWish>) => onChange({ voicing: { ...wish, ...to } });
  const families = familiesOf(instrument.family === 'plucked' ? 'guitar' : 'piano');
  return (
    <>
      <div className="field">
        <label htmlFor={`${id}-family`}>Voicings</label>
        <select
          id={`${id}-family`}
          value={families.includes(wish.family) ? wish.family : 'any'}
          onChange={({ target }) => set({ family: target.value as VoicingFamily })}
        >
          {families.map((family) => (
            <option key={family} value={family}>
              {FAMILIES[family]}
            </option>
          ))}
        </select>
      </div>
      <div className="field">
        <label htmlFor={`${id}-top`}>The top note</label>
        <select
          id={`${id}-top`}
          value={wish.top}
          onChange={({ target }) => set({ top: target.value as VoicingWish['top'] })}
        >
          {TOPS.map(([top, words]) => (
            <option key={top} value={top}>
              {words}
            </option>
          ))}
        </select>
      </div>
    </>
  );
}

/** `E2 A2 D3` as `E A D`. */
function letters(strings: string): string {
  return strings.replaceAll(/\d/gu, '');
}

/** A tuning as one would type it: without octaves where those go without saying. */
function asTyped(strings: string, strung: Strung): string {
  const read = readTuning(letters(strings), strung);
  return read.ok && tuningText(read.value) === strings ? letters(strings) : strings;
}
