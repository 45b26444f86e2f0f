import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import { instrumentById, isInstrument } from '../../shared-core/pitch/instruments.ts';
import { faultOf, HIGHEST_CAPO, strungAs, tuningMessage } from '../../shared-core/pitch/strings.ts';
import type { Library } from '../library/library.ts';
import { failure, success } from './failures.ts';

/** The band of a library in which none was saved yet. */
const FIRST_BAND: Band = {
  id: 'band',
  name: 'The band',
  chairs: [
    { id: 'guitar', name: 'Guitar', instrument: 'guitar', role: 'comping', order: 0 },
    { id: 'tenor', name: 'Tenor saxophone', instrument: 'tenor-sax', role: 'soloist', order: 1 },
    { id: 'bass', name: 'Double bass', instrument: 'double-bass', role: 'bass', order: 2 },
    { id: 'drums', name: 'Drums', instrument: 'drum-set', role: 'drums', order: 3 },
  ],
};

/** The present band, or the one a new library starts with. */
export function currentBand(library: Library): Band {
  return library.bands.current() ?? FIRST_BAND;
}

/**
 * Sees whether a band can play: chairs there are, each with an id of its own and an instrument we know.
 * Answers it in score order, counted anew.
 */
export function checkBand(band: Band): Answer<Band> {
  if (band.chairs.length === 0) {
    return failure('band/chairs', 'A band needs at least one chair; add one.');
  }
  const ids = new Set<string>();
  for (const [index, chair] of band.chairs.entries()) {
    if (ids.has(chair.id)) {
      return failure('band/chair-id', `Two chairs have the id ${chair.id}; give one another.`, {
        place: { field: `chairs.${index}.id` },
        data: { id: chair.id },
      });
    }
    ids.add(chair.id);
    if (!isInstrument(chair.instrument)) {
      return failure(
        'band/instrument',
        `${chair.name} plays ${chair.instrument}, which is not an instrument of the list; choose one.`,
        { place: { field: `chairs.${index}.instrument` }, data: { instrument: chair.instrument } },
      );
    }
    const strung = checkStrings(chair, index);
    if (!strung.ok) return strung;
  }
  const inOrder = [...band.chairs].sort((a, b) => a.order - b.order);
  return success({ ...band, chairs: inOrder.map((chair, order) => ({ ...chair, order })) });
}

/** Sees whether a chair's strings and capo are such as its instrument can have. */
function checkStrings({ name, instrument, strings }: Chair, index: number): Answer<null> {
  if (!strings) return success(null);
  const place = { field: `chairs.${index}.strings` };
  const known = instrumentById(instrument);
  const strung = strungAs(known);
  if (!strung) {
    const message = `${name} plays the ${known.name.toLowerCase()}, which has no tuning or capo to set; take them away.`;
    return failure('band/strings', message, { place });
  }
  const fault = faultOf(strings.tuning, strung);
  if (fault) {
    return failure('band/strings', `${name}: ${tuningMessage(fault, strung)}`, { place });
  }
  if (strings.capo > (strung === 'guitar' ? HIGHEST_CAPO : 0)) {
    const message =
      strung === 'guitar'
        ? `${name}: a capo goes no higher than fret ${HIGHEST_CAPO}; this says ${strings.capo}.`
        : `${name}: a bass has no capo; tune it otherwise instead.`;
    return failure('band/strings', message, { place });
  }
  return success(null);
}

/** Keeps a band as the present one; answers it as kept. */
export function saveBand(library: Library, band: Band): Answer<{ readonly band: Band }> {
  const checked = checkBand(band);
  if (!checked.ok) return checked;
  library.bands.save(checked.value);
  return success({ band: checked.value });
}
