import { Refusal } from './errors.ts';
import { LIMITS } from './limits.ts';

/** Text of a file, and whether its encoding had to be guessed. */
export interface Decoded {
  readonly text: string;
  readonly guessed: boolean;
}

/** Names an XML declaration may give its encoding, as this reader takes them. */
const ENCODINGS: Readonly<Record<string, string>> = {
  'utf-8': 'utf-8',
  utf8: 'utf-8',
  'us-ascii': 'utf-8',
  ascii: 'utf-8',
  'iso-8859-1': 'windows-1252',
  'latin-1': 'windows-1252',
  'windows-1252': 'windows-1252',
  'iso-8859-15': 'iso-8859-15',
  'iso-8859-2': 'iso-8859-2',
  'windows-1250': 'windows-1250',
  'windows-1251': 'windows-1251',
  shift_jis: 'shift_jis',
  'euc-jp': 'euc-jp',
};

/**
 * Bytes as text: by the byte order mark, else UTF-16 without a mark, else what an XML declaration says,
 * else UTF-8, else Windows-1252 (older files from the desk).
 */
export function decodeText(bytes: Uint8Array): Decoded {
  if (bytes.length > LIMITS.textBytes) {
    const most = Math.floor(LIMITS.textBytes / 1024 / 1024);
    throw new Refusal('import/too-large', `the text is larger than ${most} MB.`);
  }
  const wide = wideEncoding(bytes);
  if (wide) return { text: new TextDecoder(wide).decode(bytes), guessed: false };
  const declared = declaredEncoding(bytes);
  if (declared && declared !== 'utf-8') {
    return { text: new TextDecoder(declared).decode(bytes), guessed: false };
  }
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), guessed: false };
  } catch {
    return { text: new TextDecoder('windows-1252').decode(bytes), guessed: true };
  }
}

function wideEncoding(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const [a, b, c, d] = bytes;
  if (a === 0xff && b === 0xfe) return 'utf-16le';
  if (a === 0xfe && b === 0xff) return 'utf-16be';
  if (a === 0x3c && b === 0 && d === 0) return 'utf-16le';
  if (a === 0 && b === 0x3c && c === 0) return 'utf-16be';
  return null;
}

function declaredEncoding(bytes: Uint8Array): string | null {
  const head = String.fromCharCode(...bytes.subarray(0, 200));
  const match = /^(?:\u00EF\u00BB\u00BF)?\s*<\?xml[^>]*encoding\s*=\s*["']([\w.-]+)["']/u.exec(
    head,
  );
  return match ? (ENCODINGS[(match[1] ?? '').toLowerCase()] ?? null) : null;
}
