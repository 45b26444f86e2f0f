import { homedir } from 'node:os';
import { join } from 'node:path';

/** What deciding on the data folder needs to know of the machine. */
export interface Machine {
  readonly platform: NodeJS.Platform;
  readonly home: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** The machine we run on. */
export function thisMachine(): Machine {
  return { platform: process.platform, home: homedir(), env: process.env };
}

/**
 * Folder for a person's data. Sources: XDG Base Directory Specification; Apple File System Programming
 * Guide (Application Support); Windows known folder RoamingAppData.
 */
export function dataFolder(machine: Machine): string {
  const { platform, home, env } = machine;
  if (platform === 'win32') {
    return join(env.APPDATA || join(home, 'AppData', 'Roaming'), 'Changewright');
  }
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Changewright');
  const base = env.XDG_DATA_HOME;
  // The specification tells to ignore a relative path.
  return join(base?.startsWith('/') ? base : join(home, '.local', 'share'), 'changewright');
}

/** File of the library where the person names none. */
export function defaultLibraryFile(machine: Machine): string {
  return join(dataFolder(machine), 'library.changewright');
}
