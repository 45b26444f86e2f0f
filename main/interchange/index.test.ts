import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import { importFile } from './index.ts';
import { LIMITS } from './limits.ts';
import { readFile } from './read-file.ts';

const bytesOf = (text: string) => new TextEncoder().encode(text);

describe('a file', () => {
  it('of tune text is read, whatever its name', async () => {
    const result = await importFile('song.xml', bytesOf('title: Walk\n| C | F |'));
    expect(result.ok && result.value.tunes[0]?.title).toBe('Walk');
  });

  it('of tune text with a mistake is refused with line, bar and what to do', async () => {
    const result = await importFile('walk.txt', bytesOf('title: Walk\n| C | C F G |\n| Hm |'));
    expect(!result.ok && result.error).toMatchObject({ code: 'import/tune-text', line: 2, bar: 2 });
    expect(!result.ok && result.error.message).toContain('1 more mistake');
    expect(!result.ok && result.error.message).toContain('walk.txt');
  });

  it('that is empty, too large, or nothing known is refused', async () => {
    const code = async (name: string, bytes: Uint8Array) => {
      const result = await importFile(name, bytes);
      return result.ok ? 'read' : result.error.code;
    };
    expect(await code('a.txt', new Uint8Array())).toBe('import/empty');
    expect(await code('a.txt', new Uint8Array(LIMITS.fileBytes + 1))).toBe('import/too-large');
    expect(await code('a.txt', bytesOf('hello'))).toBe('import/unknown-format');
    expect(await code('a.png', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 13, 10]))).toBe(
      'import/unknown-format',
    );
  });

  it.each([4_000, 1_000_000, 10_000_000])(
    'of %s bytes of noise is none that can be read',
    async (size) => {
      // A plain linear congruential generator: the same noise every time, bars and line ends among it.
      let state = 1;
      const noise = Uint8Array.from({ length: size }, () => {
        state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
        return state >>> 24;
      });
      const result = await importFile('noise.tune', noise);
      expect(!result.ok && result.error.code).toBe('import/unknown-format');
    },
  );

  it('of text that an old editor ended with Ctrl-Z is read', async () => {
    const result = await importFile(
      'a.abc',
      bytesOf('X:1\nT:Old\nM:4/4\nL:1/4\nK:C\n"C"CDEF|\n\u001a'),
    );
    expect(result.ok && result.value.tunes[0]?.title).toBe('Old');
  });

  it('large enough for the worker comes back the same', async () => {
    const text = `title: Long\n${'| Cm7b5 F7b9 | Bbmaj7/D |\n'.repeat(1900)}`;
    const form = `form: ${'A '.repeat(3)}\n[A]\n`;
    const long = text.replace('title: Long\n', `title: Long\n${form}`).slice(0, 70_000);
    const whole = `${long.slice(0, long.lastIndexOf('|\n'))}|\n`;
    const direct = readTune(whole);
    const result = await importFile('long.txt', bytesOf(whole));
    if (direct.errors.length > 0) {
      expect(!result.ok && result.error.code).toBe('import/tune-text');
    } else {
      expect(result.ok && result.value.tunes[0]).toEqual(direct.tune);
    }
  });

  it('in an older encoding is read with a word about it', async () => {
    const result = await importFile(
      'a.txt',
      new Uint8Array([...bytesOf('title: Caf'), 0xe9, ...bytesOf('\n| C |')]),
    );
    expect(result.ok && result.value.tunes[0]?.title).toBe('Café');
    expect(result.ok && result.value.warnings[0]).toContain('Windows-1252');
  });
});

describe('any bytes at all', () => {
  const starts = [
    '',
    'MThd\0\0\0\u0006\0\u0001\0\u0001\u0001\u00e0MTrk\0\0\0',
    'PK\u0003\u0004',
    '<score-partwise>',
    'X:1\nK:C\n',
    'RIFF',
  ];
  const abc = fc
    .array(
      fc.constantFrom(
        ...'"C" "Am7" C D2 E/ (3abc | |: :| [1 [2 :: z Z2 > < [CEG] {ab} !fine! !D.S.! ^ _ - \n M:3/4 [M:5/8] P:A K:D L:1/16 V:2 w:la ~ \\ %x |]'.split(
          ' ',
        ),
      ),
      { maxLength: 60 },
    )
    .map((pieces) => `X:1\nM:4/4\nK:G\n${pieces.join(' ')}`);

  it('are read or refused with a sentence; what is read plays and can be written', () => {
    const bytes = fc.oneof(
      fc
        .tuple(fc.constantFrom(...starts), fc.uint8Array({ maxLength: 120 }))
        .map(
          ([start, rest]) => new Uint8Array([...[...start].map((c) => c.charCodeAt(0)), ...rest]),
        ),
      abc.map(bytesOf),
    );
    fc.assert(
      fc.property(bytes, (file) => {
        const result = readFile('x', file);
        if (!result.ok) {
          expect(result.error.message).toMatch(/^x.*\.$/su);
          return;
        }
        for (const { tune } of result.value) {
          expect(unroll(tune).ok).toBe(true);
          const back = readTune(writeTune(tune));
          expect(back.errors).toEqual([]);
          expect(back.tune).toEqual(tune);
        }
      }),
      { numRuns: 400 },
    );
  });
});
