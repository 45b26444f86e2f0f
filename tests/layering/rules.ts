import { builtinModules } from 'node:module';
import type { SourceFile } from './imports.ts';
import {
  ENGINE_PACKAGES,
  IMPURE_NAMES,
  LAYERINGS,
  type Layering,
  SHELL_PACKAGES,
  TOPS,
} from './table.ts';

/** Finds everything that breaks the table, one sentence a fault; nothing when all is well. */
export function findFaults(files: readonly SourceFile[]): readonly string[] {
  return [
    ...files.flatMap(topFaults),
    ...files.flatMap(layerFaults),
    ...files.flatMap(engineFaults),
    ...files.flatMap(windowFaults),
    ...cycleFaults(files),
  ];
}

function topOf(path: string): string {
  return path.split('/')[0] ?? path;
}

function topFaults(file: SourceFile): string[] {
  const own = topOf(file.path);
  const allowed = [own, ...(TOPS[own] ?? [])];
  return file.files
    .filter((target) => target.includes('/') && !allowed.includes(topOf(target)))
    .map((target) => `${file.path} imports ${target}: ${own} may not know of ${topOf(target)}`);
}

function layerFaults(file: SourceFile): string[] {
  const layering = LAYERINGS.find(({ top }) => top === topOf(file.path));
  if (layering === undefined) return [];
  const own = folderOf(file.path);
  const height = heightOf(layering, own);
  if (height < 0) return [`${file.path} lies in a folder the table does not name: ${own}`];
  return file.files
    .filter((target) => topOf(target) === layering.top && folderOf(target) !== own)
    .filter((target) => heightOf(layering, folderOf(target)) >= height)
    .map((target) => `${file.path} imports ${target}: ${folderOf(target)} is not below ${own}`);
}

/** The folder inside the top folder; `.` for a file lying in the top folder itself. */
function folderOf(path: string): string {
  const parts = path.split('/');
  return parts.length > 2 ? (parts[1] ?? '.') : '.';
}

function heightOf(layering: Layering, folder: string): number {
  return layering.layers.findIndex((layer) => layer.includes(folder));
}

function engineFaults(file: SourceFile): string[] {
  if (topOf(file.path) !== 'shared-core') return [];
  return [
    ...file.packages
      .filter((name) => !ENGINE_PACKAGES.includes(name))
      .map((name) => `${file.path} imports the package ${name}: the engine stands alone`),
    ...file.names
      .filter((name) => IMPURE_NAMES.includes(name))
      .map((name) => `${file.path} uses ${name}: the engine answers the same every time`),
  ];
}

function windowFaults(file: SourceFile): string[] {
  if (topOf(file.path) !== 'renderer') return [];
  return file.packages
    .filter((name) => isNodeModule(name) || SHELL_PACKAGES.includes(name))
    .map((name) => `${file.path} imports ${name}: the window runs in a page`);
}

function isNodeModule(name: string): boolean {
  return name.startsWith('node:') || builtinModules.includes(name);
}

/** Follows imports depth first; a file met again while it is still open closes a cycle. */
function cycleFaults(files: readonly SourceFile[]): string[] {
  const byPath = new Map(files.map((file) => [file.path, file]));
  const done = new Set<string>();
  const open: string[] = [];
  const faults: string[] = [];
  const follow = (path: string): void => {
    if (open.includes(path)) {
      faults.push(`imports go round: ${[...open.slice(open.indexOf(path)), path].join(' -> ')}`);
      return;
    }
    if (done.has(path)) return;
    open.push(path);
    for (const target of byPath.get(path)?.files ?? []) follow(target);
    open.pop();
    done.add(path);
  };
  for (const file of files) follow(file.path);
  return faults;
}
