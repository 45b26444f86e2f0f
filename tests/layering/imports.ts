import { readdirSync, readFileSync } from 'node:fs';
import { join, posix, relative, sep } from 'node:path';
import { parseSync } from 'vite';

/** A source file, read. Paths are from the top of the checkout, with forward slashes. */
export interface SourceFile {
  readonly path: string;
  /** Files of the checkout it imports, types included. */
  readonly files: readonly string[];
  /** Packages it imports, a Node module with its `node:`. */
  readonly packages: readonly string[];
  /** Every name it uses, and every `a.b` as such: enough to look for the few that are barred. */
  readonly names: readonly string[];
}

/** A piece of the parsed program; only what is looked at is typed. */
interface Piece {
  readonly type?: string;
  readonly name?: string;
  readonly value?: unknown;
  readonly computed?: boolean;
  readonly object?: Piece;
  readonly property?: Piece;
  readonly source?: Piece;
  readonly key?: Piece;
  readonly [other: string]: unknown;
}

const IMPORTING = new Set([
  'ImportDeclaration',
  'ExportNamedDeclaration',
  'ExportAllDeclaration',
  'ImportExpression',
  'TSImportType',
]);

/**
 * Reads one source text.
 *
 * @param path from the top of the checkout; its ending says whether JSX is allowed
 * @throws Error naming the file when it does not parse
 */
export function readSource(path: string, text: string): SourceFile {
  const { program, errors } = parseSync(path, text);
  if (errors[0] !== undefined) throw new Error(`${path}: ${errors[0].message}`);
  const requests: string[] = [];
  const names = new Set<string>();
  walk(program as unknown as Piece, (piece) => {
    const source = IMPORTING.has(piece.type ?? '') ? piece.source?.value : undefined;
    if (typeof source === 'string') requests.push(source);
    const name = nameOf(piece);
    if (name !== undefined) names.add(name);
  });
  return {
    path,
    files: requests.filter(isRelative).map((request) => resolve(path, request)),
    packages: requests.filter((request) => !isRelative(request)).map(packageOf),
    names: [...names],
  };
}

/** Reads every source file of a folder, tests left out. */
export function readFolder(root: string, top: string): readonly SourceFile[] {
  return readdirSync(join(root, top), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .filter((entry) => !/\.test\.tsx?$/.test(entry.name))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort()
    .map((path) => readSource(path, readFileSync(join(root, path), 'utf8')));
}

function isRelative(request: string): boolean {
  return request.startsWith('.');
}

function resolve(from: string, request: string): string {
  return posix.join(posix.dirname(from), request.replace(/\?.*$/, ''));
}

/** `@scope/name/inner` is `@scope/name`; `name/inner` is `name`. */
function packageOf(request: string): string {
  if (request.startsWith('node:')) return request;
  return request
    .split('/')
    .slice(0, request.startsWith('@') ? 2 : 1)
    .join('/');
}

function nameOf(piece: Piece): string | undefined {
  if (piece.type === 'Identifier') return piece.name;
  if (piece.type !== 'MemberExpression') return undefined;
  const property = piece.computed === true ? piece.property?.value : piece.property?.name;
  return piece.object?.name === undefined ? undefined : `${piece.object.name}.${property}`;
}

/** Visits every piece. A property's own name is not a use of that name, so it is passed over. */
function walk(piece: Piece, visit: (piece: Piece) => void): void {
  if (piece.type !== undefined) visit(piece);
  for (const [role, inner] of Object.entries(piece)) {
    const isLabel = (role === 'property' || role === 'key') && piece.computed !== true;
    if (isLabel && (inner as Piece | null)?.type === 'Identifier') continue;
    for (const one of Array.isArray(inner) ? inner : [inner]) {
      if (typeof one === 'object' && one !== null) walk(one as Piece, visit);
    }
  }
}
