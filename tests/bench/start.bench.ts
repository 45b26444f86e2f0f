import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { projectRoot } from '../../main/setup/project-root.ts';
import type { Bench } from './measure.ts';

const root = projectRoot();
let folder = '';

function listTunes(command: string, args: readonly string[]): void {
  const library = join(folder, 'library.db');
  execFileSync(command, [...args, 'tunes', '--json', '--library', library], {
    cwd: root,
    stdio: ['ignore', 'ignore', 'inherit'],
  });
}

const shared: Pick<Bench, 'unavailable' | 'before' | 'after'> = {
  unavailable: () =>
    existsSync(join(root, 'main/cli/main.ts')) ? undefined : 'there is no command line yet',
  before: () => {
    folder = mkdtempSync(join(tmpdir(), 'changewright-bench-'));
  },
  after: () => rmSync(folder, { recursive: true, force: true }),
};

const benches: readonly Bench[] = [
  {
    ...shared,
    name: 'list the tunes from the command line, through npm',
    budget: 400,
    run: () => listTunes('npm', ['run', '--silent', 'changewright', '--']),
  },
  {
    ...shared,
    name: 'list the tunes from the command line, without npm',
    budget: 200,
    run: () => listTunes(process.execPath, [join(root, 'main/setup/changewright.mjs')]),
  },
];

export default benches;
