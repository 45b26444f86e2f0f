import { type ParseArgsConfig, parseArgs } from 'node:util';
import { badInput } from './io.ts';

/** What was typed after a command's name. */
export interface Typed {
  readonly words: readonly string[];
  /** Options without a value that were given. */
  readonly flags: ReadonlySet<string>;
  /** Options with values, all of each. */
  readonly values: Readonly<Record<string, readonly string[]>>;
}

/** Options of a command: a flag, or one that takes a value (and may stand more than once). */
export type OptionKinds = Readonly<Record<string, 'flag' | 'value'>>;

const EVERYWHERE: OptionKinds = { library: 'value', json: 'flag' };

/**
 * Reads what was typed after a command. Ends the command with a sentence for an option it does not know
 * or a value that is missing.
 */
export function readArgs(args: readonly string[], kinds: OptionKinds): Typed {
  const all = { ...EVERYWHERE, ...kinds };
  const options: NonNullable<ParseArgsConfig['options']> = {};
  for (const [name, kind] of Object.entries(all)) {
    options[name] = kind === 'flag' ? { type: 'boolean' } : { type: 'string', multiple: true };
  }
  const parsed = parseOrRefuse(args, options, Object.keys(all));
  const flags = new Set<string>();
  const values: Record<string, readonly string[]> = {};
  for (const [name, value] of Object.entries(parsed.values)) {
    if (value === true) flags.add(name);
    else if (Array.isArray(value)) values[name] = value.map(String);
  }
  return { words: parsed.positionals, flags, values };
}

function parseOrRefuse(
  args: readonly string[],
  options: NonNullable<ParseArgsConfig['options']>,
  known: readonly string[],
) {
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (thrown) {
    const detail = thrown instanceof Error ? (thrown.message.split(/[.\n]/u)[0] ?? '') : '';
    return badInput(
      `${detail}; the options here are ${known.map((name) => `--${name}`).join(', ')}.`,
    );
  }
}

/** The one value of an option; ends the command when it stands twice. */
export function single(typed: Typed, name: string): string | null {
  const given = typed.values[name] ?? [];
  if (given.length > 1) badInput(`--${name} stands ${given.length} times; give it once.`);
  return given[0] ?? null;
}

/** A whole number from an option; ends the command when it is none or lies outside. */
export function wholeNumber(
  typed: Typed,
  name: string,
  least: number,
  most: number,
): number | null {
  const text = single(typed, name);
  if (text === null) return null;
  const value = Number(text);
  if (!Number.isInteger(value) || value < least || value > most) {
    badInput(`--${name} takes a whole number from ${least} to ${most}, not ${text}.`);
  }
  return value;
}
