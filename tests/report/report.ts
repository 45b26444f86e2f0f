import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

/** Loads the default export of every file in a folder whose name ends so, in order of name. */
export async function loadAll<T>(folder: string, ending: string): Promise<readonly T[]> {
  const names = readdirSync(folder).filter((name) => name.endsWith(ending));
  const modules = await Promise.all(
    names.sort().map((name) => import(pathToFileURL(join(folder, name)).href)),
  );
  return modules.map((module: { default: T }) => module.default);
}

/**
 * Sets rows in columns: the first column to the left, the others to the right.
 *
 * @example formatTable([['name', 'ms'], ['parse', '1.20']]) // 'name     ms\nparse  1.20'
 */
export function formatTable(rows: readonly (readonly string[])[]): string {
  const widths: number[] = [];
  for (const row of rows) {
    row.forEach((cell, column) => {
      widths[column] = Math.max(widths[column] ?? 0, cell.length);
    });
  }
  const pad = (cell: string, column: number) =>
    column === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[column] ?? 0);
  return rows.map((row) => row.map(pad).join('  ').trimEnd()).join('\n');
}
