import type { TuneError, TunePlace } from './model.ts';

/**
 * The sentence a person reads for a mistake in a tune: the place, what is wrong, and what to do.
 *
 * @example tuneMessage(error)
 * // 'Line 4, column 12: a bar of 4/4 cannot share out 3 tokens (C F G). Write one token a beat, 4 in all, with / where a chord is held.'
 */
export function tuneMessage(error: TuneError): string {
  const place = placeText(error.place);
  const sentence = sentenceOf(error);
  return place === ''
    ? `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}`
    : `${place}: ${sentence}`;
}

function placeText(place: TunePlace): string {
  const parts: string[] = [];
  if (place.line !== undefined) parts.push(`line ${place.line}`);
  if (place.column !== undefined) parts.push(`column ${place.column}`);
  if (place.section) parts.push(`section ${place.section}`);
  if (place.bar !== undefined) parts.push(`bar ${place.bar}`);
  const text = parts.join(', ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}

type Data = TuneError['data'];

function sentenceOf({ code, data }: TuneError): string {
  switch (code) {
    case 'tune/empty':
      return 'the text is empty. Write at least one bar of chords, such as | Cm7 | F7 |.';
    case 'tune/too-large':
      return `the text has ${data.length} characters; at most ${data.most} are read. Split it into several tunes.`;
    case 'tune/binary':
      return 'this is not plain text. Choose a tune text, MusicXML, ABC or MIDI file.';
    case 'tune/header-unknown':
      return `"${data.word}:" is not a head line. Use title, credit, key, meter, tempo, feel, form, pickup or melody.`;
    case 'tune/header-value':
      return headerSentence(data);
    case 'tune/no-bars':
      return 'there are no bars. Write the chords between bar lines, such as | Cm7 | F7 |.';
    case 'tune/bar-unclosed':
      return data.reason === 'no-barlines'
        ? `"${data.text}" has no bar lines. Put bars between | signs, or begin a head line with its word and a colon.`
        : 'the last bar of this line is not closed. Put | after it.';
    case 'tune/bar-division':
      return divisionSentence(data);
    case 'tune/chord':
      return chordSentence(data);
    case 'tune/meter':
      return data.reason === 'not-at-start'
        ? `the meter ${data.meter} stands inside a bar. Move it to the start of the bar, before the first chord.`
        : `"${data.meter}" is not a meter. Write beats over note value, such as 4/4, 3/4 or 6/8: 1 to 32 over 1, 2, 4, 8, 16 or 32.`;
    case 'tune/simile':
      return simileSentence(data);
    case 'tune/ending':
      return endingSentence(data);
    case 'tune/repeat':
      return repeatSentence(data);
    case 'tune/jump':
      return data.reason === 'two'
        ? `"${data.text}" is the second jump in this bar. A bar can have one D.C. or D.S.; leave one out.`
        : `${data.jump} needs a ${data.missing}, and there is none. Write ${data.missing} in the bar it belongs to.`;
    case 'tune/section':
      return sectionSentence(data);
    case 'tune/melody':
      return melodySentence(data);
    case 'tune/pickup':
      return data.reason === 'length'
        ? 'the pickup bar has its length from "pickup:". Leave the length in brackets out.'
        : `"${data.value}" is not the length of a pickup. Give the beats before bar 1, fewer than a bar has, such as 1 or 1 1/2.`;
    case 'tune/form-endless':
      return data.reason === 'jump'
        ? `${data.jump} at the end, with no Fine and no To Coda, never stops. Write "${data.jump} al Fine" and put Fine where the tune ends.`
        : `played out, the form has more than ${data.most} bars. Check the repeats and the form line.`;
  }
}

function headerSentence(data: Data): string {
  switch (data.reason) {
    case 'twice':
      return `"${data.word}:" stands here a second time. Keep one of the two.`;
    case 'empty':
      return `"${data.word}:" has nothing after it. Write its value or leave the line out.`;
    case 'key':
      return `"${data.value}" is not a key. Write a note with major or minor, such as Bb major or F# minor.`;
    default:
      return `"${data.value}" is not a tempo. Write the beats a minute as a figure from ${data.slowest} to ${data.fastest}, such as 148.`;
  }
}

function divisionSentence(data: Data): string {
  switch (data.reason) {
    case 'length-late':
      return `"${data.text}" stands after a chord. Put the length of the bar before its first chord.`;
    case 'length':
      return `"${data.text}" is not a length for this bar. Write a number of beats, no more than the meter has, such as (3 beats).`;
    case 'beat':
      return `"${data.text}" is not a place in this bar. Count beats from 1, each chord later than the one before, such as F7@3.`;
    default:
      return `${data.tokens} tokens (${data.text}) cannot be shared out over the ${data.beats} beats of this bar. Write one token a beat, ${data.beats} in all, with / where the chord is held.`;
  }
}

const CHORD_REASONS: Readonly<Record<string, string>> = {
  'chord/empty': 'there is no chord here',
  'chord/root': 'a chord begins with a capital letter from A to G',
  'chord/quality': 'the part after the root is not known',
  'chord/bass': 'the part after the slash is not a note',
  'chord/contradiction': 'two parts of it contradict each other',
  'chord/too-long': 'it is too long for a chord',
};

function chordSentence(data: Data): string {
  const reason = CHORD_REASONS[String(data.reason)] ?? 'it is not known';
  return `"${data.text}" is not a chord symbol: ${reason}. Write it like Bbmaj7, F#m7b5 or G7/B.`;
}

function simileSentence(data: Data): string {
  switch (data.reason) {
    case 'first':
      return '% repeats the bar before, and there is none. Write the chords of this bar.';
    case 'not-alone':
      return '% stands alone in its bar. Take out the other signs, or write / to hold a chord.';
    default:
      return '% repeats the bar before, which has another length. Write the chords of this bar.';
  }
}

function endingSentence(data: Data): string {
  switch (data.reason) {
    case 'not-at-start':
      return `"${data.text}" looks like an ending but does not open its bar. Put it right after the bar line.`;
    case 'twice':
      return `ending ${data.ending} stands here twice. Give each pass one ending.`;
    case 'missing':
      return `ending ${data.ending} is missing. Number the endings from 1 without a gap.`;
    case 'zero':
      return 'endings are numbered from 1.';
    default:
      return `ending ${data.ending} is not closed. Put :| at its end to go back.`;
  }
}

function repeatSentence(data: Data): string {
  switch (data.reason) {
    case 'nothing-to-close':
      return ':| closes a repeat, and there is no bar before it. Take it out, or write |: to open one.';
    case 'count':
      return `"${data.text}" counts a repeat but does not follow a :| sign. Write it like :|x3.`;
    case 'few':
      return `"${data.text}": a repeat is played at least twice. Write x2 or more, or leave the signs out.`;
    default:
      return 'the repeat that opens here is never closed. Put :| after its last bar.';
  }
}

function sectionSentence(data: Data): string {
  switch (data.reason) {
    case 'missing':
      return data.known
        ? `the form names section ${data.label}, which is not there. The sections are: ${data.known}.`
        : `the form names section ${data.label}, which is not there. Start it with a line [${data.label}].`;
    case 'twice':
      return `the form names section ${data.label}, and there are two of that name. Give each its own.`;
    default:
      return `section ${data.label} has no bars. Write its chords under it or take the line out.`;
  }
}

function melodySentence(data: Data): string {
  const bar = `melody bar ${data.melodyBar}`;
  switch (data.reason) {
    case 'no-section':
      return 'this melody has no bars above it. Write the chords first, then the melody below them.';
    case 'unknown':
      return `${bar}: "${data.text}" is neither note, length nor rest. Write notes like Bb4, lengths like quarter or 1/8.`;
    case 'length':
      return `${bar}: "${data.text}" is not a note length. Write quarter, dotted half, triplet eighth, or a fraction of a whole note such as 3/8.`;
    case 'range':
      return `${bar}: ${data.text} is outside the range of notes (C0 to C9). Check its octave number; middle C is C4.`;
    case 'tie':
      return `${bar}: a tie (~) has no note after it. Write the same note again, or take the tie out.`;
    case 'tie-pitch':
      return `${bar}: ${data.tied} is tied to ${data.text}, another note. Ties join notes of one pitch.`;
    case 'bars':
      return `${bar}: the section has only ${data.bars} bars. Take the rest of the melody out, or add bars.`;
    case 'long':
      return `${bar}: the notes last ${data.length}, longer than the bar (${data.bar}). Shorten them, or tie over the bar line with ~.`;
    default:
      return `${bar}: the notes last ${data.length}, but the bar lasts ${data.bar}. Fill it up with a rest.`;
  }
}
