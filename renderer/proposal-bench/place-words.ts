import type { SpanPlace, StaticSpan } from '../../shared-core/analysis/model.ts';

const PLACES: Readonly<Record<SpanPlace, string>> = {
  'top-of-form': 'the top of the form',
  'before-section': 'the way into the next section',
  'end-of-form': 'the end of the form, going back to the top',
  'section-end': 'the end of a section',
  vamp: 'a vamp',
  'mid-section': 'the middle of a section',
};

/** Why a span is a good place to move: `At the top of the form.` */
export function placeWords(span: StaticSpan): string {
  const words = span.places.map((place) => PLACES[place]);
  return words.length === 0 ? '' : `At ${words.join('; ')}.`;
}
