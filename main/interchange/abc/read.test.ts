import { describe, expect, it } from 'vitest';
import { symbolOf } from '../../../shared-core/chord/format.ts';
import { keyName } from '../../../shared-core/pitch/key.ts';
import { pitchName } from '../../../shared-core/pitch/spelled.ts';
import type { Tune } from '../../../shared-core/tune/model.ts';
import { unroll } from '../../../shared-core/tune/unroll.ts';
import { importFile } from '../index.ts';

async function read(abc: string) {
  const result = await importFile('tune.abc', new TextEncoder().encode(abc));
  if (!result.ok) throw new Error(result.error.message);
  return {
    tunes: result.value.tunes,
    tune: result.value.tunes[0] as Tune,
    warnings: result.value.warnings,
  };
}

const HEAD = 'X:1\nT:Test\nM:4/4\nL:1/4\nK:C\n';

async function notes(music: string, head = HEAD): Promise<string> {
  const { tune } = await read(head + music);
  const bars = tune.sections.flatMap((section) => section.bars);
  return bars
    .map((bar) => bar.melody.map((n) => `${pitchName(n.pitch)}:${n.length}`).join(' '))
    .join(' | ');
}

async function order(music: string, head = HEAD): Promise<string> {
  const { tune } = await read(head + music);
  const chorus = unroll(tune);
  return chorus.ok ? chorus.value.bars.map(({ writtenBar }) => writtenBar + 1).join(' ') : '';
}

describe('an ABC tune', () => {
  it('has its head from its fields', async () => {
    const { tune } = await read(
      'X:7\nT:Walk: a tune\nC:Anon.\nR:slow air\nM:6/8\nQ:3/8=60\nK:Ddor\n"Dm"D3 A3|',
    );
    expect(tune).toMatchObject({
      title: 'Walk: a tune',
      credit: 'Anon.',
      feel: 'slow air',
      meter: { count: 6, unit: 8 },
      tempo: 60,
    });
    expect(tune.key && keyName(tune.key)).toBe('D minor');
  });

  it('takes its unit length from L:, or from the meter', async () => {
    expect(await notes('C2 D4 E F|')).toContain('C4:1920');
    expect(await notes('C2 D4 E F|', 'X:1\nM:4/4\nK:C\n')).toBe('C4:960 D4:1920 E4:480 F4:480');
    expect(await notes('C2D2|', 'X:1\nM:2/4\nK:C\n')).toBe('C4:480 D4:480');
  });

  it('plays modes in their own signature, and accidentals to the end of the bar', async () => {
    expect(await notes('F C F B|', 'X:1\nM:4/4\nL:1/4\nK:Dmix\n')).toBe(
      'F#4:960 C4:960 F#4:960 B4:960',
    );
    expect(await notes('B E A D|', 'X:1\nM:4/4\nL:1/4\nK:Fm\n')).toBe(
      'Bb4:960 Eb4:960 Ab4:960 Db4:960',
    );
    expect(await notes("^F F =F c'|F G, _B, __B,|")).toBe(
      'F#4:960 F#4:960 F4:960 C6:960 | F4:960 G3:960 Bb3:960 Bbb3:960',
    );
  });

  it('reads lengths, ties, tuplets, broken rhythm, rests and chords of notes', async () => {
    expect(await notes('C/2 D3/2 E/ F/ G-|G2 z2|')).toBe('C4:480 D4:1440 E4:480 F4:480 G4:2880 | ');
    expect(await notes('(3CDE (3F/G/A/ B|')).toBe(
      'C4:640 D4:640 E4:640 F4:320 G4:320 A4:320 B4:960',
    );
    expect(await notes('C>D E<F|C>>D z2|')).toBe('C4:1440 D4:480 E4:480 F4:1440 | C4:1680 D4:240');
    expect(await notes('[CEG]2 [C2E2]|Z|')).toBe('G4:1920 E4:1920 | ');
  });

  it('divides a broken beat within its bar, whatever is tied into it', async () => {
    // The stroke before the sign changes, not the note it was tied to.
    expect(await notes('"C"C2 D E-|E>F G2|')).toBe('C4:1920 D4:960 E4:2400 | F4:480 G4:1920');
    // A sign with nothing before it in the bar has nothing to divide.
    expect(await notes('"C"C2 D E-| <F G2 A|')).toBe(
      'C4:1920 D4:960 E4:960 | F4:960 G4:1920 A4:960',
    );
    // A second sign after the same note is one too many.
    expect(await notes('"C"C< <D z2|')).toBe('C4:480 D4:1440');
    const { tune } = await read(`${HEAD}"C"C2 D E-|E<<"G7"F G2|`);
    expect(tune.sections[0]?.bars[1]?.harmony.map(({ at }) => at)).toEqual([240]);
  });

  it('whose head gives an order without parts runs as written', async () => {
    const { tune } = await read('X:1\nP:()\nM:4/4\nL:1/4\nK:C\nP:A\n"C"C4|\nP:B\n"F"F4|');
    const chorus = unroll(tune);
    expect(chorus.ok && chorus.value.bars.map(({ label }) => label)).toEqual(['A', 'B']);
  });

  it('is repeated as often as it has colons, up to the limit of every format', async () => {
    expect(await order(`|: "C"C4 ${':'.repeat(2)}|`)).toBe('1 1 1');
    expect((await order(`|: "C"C4 ${':'.repeat(300)}|`)).split(' ')).toHaveLength(99);
  });

  it('plays repeats, endings and double repeats', async () => {
    expect(await order('C4|D4:|E4|F4|')).toBe('1 2 1 2 3 4');
    expect(await order('|:C4|[1D4:|[2E4||F4|]')).toBe('1 2 1 3 4');
    expect(await order('|:C4|1D4:|2E4|')).toBe('1 2 1 3');
    expect(await order('C4::D4:|')).toBe('1 1 2 2');
    expect(await order('|:C4:|\n|:D4:|')).toBe('1 1 2 2');
    expect(await order('C4|!fine!D4|E4|!D.C.alfine!F4|')).toBe('1 2 3 4 1 2');
  });

  it('has chords in quotation marks and signs in annotations', async () => {
    const { tune, warnings } = await read(
      `${HEAD}"Am7"C2 "D/f+"D2|"Cd"E2 "^slow"F2|"hello"G4|"D m"A4|`,
    );
    const bars = tune.sections.flatMap((section) => section.bars);
    expect(
      bars.map((bar) => bar.harmony.map((e) => `${symbolOf(e.harmony)}@${e.at}`).join(' ')),
    ).toEqual(['Am7@0 D/F#@1920', 'Cdim@0', '', 'Dm@0']);
    expect(warnings.join(' ')).toContain('"hello" is not a chord');
  });

  it('has parts, in the order its head gives', async () => {
    const { tune } = await read('X:1\nM:4/4\nL:1/4\nP:A2B\nK:C\nP:A\nC4|\nP:B\nD4|');
    expect(tune.form).toEqual(['A', 'A', 'B']);
    expect(tune.sections.map(({ label }) => label)).toEqual(['A', 'B']);
  });

  it('has a pickup, and bars split by repeats', async () => {
    const { tune } = await read(`${HEAD}G|:C4|C3:|G|D4|D3|]`);
    expect(tune.pickup).toBe(960);
    const chorus = unroll(tune);
    expect(chorus.ok && chorus.value.bars.map(({ number }) => number)).toEqual([
      0, 1, 2, 3, 4, 4, 5, 6,
    ]);
  });

  it('changes meter, unit and key inside', async () => {
    const { tune } = await read(`${HEAD}C4|[M:3/4]D3|\nL:1/8\nE6|`);
    const bars = tune.sections.flatMap((section) => section.bars);
    expect(bars.map((bar) => bar.length)).toEqual([3840, 2880, 2880]);
    expect(bars[1]?.meter).toEqual({ count: 3, unit: 4 });
  });

  it('is one of several in its file', async () => {
    const { tunes } = await read(`${HEAD}C4|\n\nX:2\nT:Second\nM:3/4\nL:1/4\nK:G\nG3|\n`);
    expect(tunes.map(({ title }) => title)).toEqual(['Test', 'Second']);
  });

  it('longer than its meter in a bar gets a meter for it, and says so', async () => {
    const { tune, warnings } = await read(`${HEAD}C4|C5|C4|`);
    const bars = tune.sections.flatMap((section) => section.bars);
    expect(bars.map((bar) => bar.meter && `${bar.meter.count}/${bar.meter.unit}`)).toEqual([
      null,
      '5/4',
      '4/4',
    ]);
    expect(warnings.join(' ')).toContain('Bar 2 is longer than 4/4');
  });

  it('without a key that is one is refused with its line', async () => {
    const result = await importFile('x.abc', new TextEncoder().encode('X:1\nT:x\nK:Hmm!\nC4|'));
    expect(!result.ok && result.error).toMatchObject({ code: 'import/abc', line: 3 });
  });
});
