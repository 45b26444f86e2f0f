import { FIRST_LIBRARY } from './0001-first-library.ts';
import { CHAIR_SETUP } from './0002-chair-setup.ts';
import type { Migration } from './migration.ts';

/** Every step, in order. */
export const MIGRATIONS: readonly Migration[] = withoutGaps([FIRST_LIBRARY, CHAIR_SETUP]);

/** Version of a library this program makes. */
export const LATEST_VERSION = MIGRATIONS.length;

/** Throws when the steps are not numbered 1, 2, 3 ...; a gap would skip or repeat a change on people's data. */
export function withoutGaps(migrations: readonly Migration[]): readonly Migration[] {
  migrations.forEach((migration, index) => {
    if (migration.version !== index + 1) {
      throw new Error(`Migration ${index + 1} is numbered ${migration.version}`);
    }
  });
  return migrations;
}
