import type { Migration } from './migration.ts';

/**
 * How a chair is strung, which way it reads its keys, and what its voicings should be. `tuning` names the open strings, lowest first, with
 * octaves (`D2 A2 D3 G3 A3 D4`); null for a chair of which nothing was said. A chair kept before stays as it was.
 */
export const CHAIR_SETUP: Migration = {
  version: 2,
  name: 'chair setup',
  sql: `
ALTER TABLE chairs ADD COLUMN tuning TEXT;
ALTER TABLE chairs ADD COLUMN capo INTEGER NOT NULL DEFAULT 0 CHECK (capo >= 0);
ALTER TABLE chairs ADD COLUMN left_handed INTEGER NOT NULL DEFAULT 0 CHECK (left_handed IN (0, 1));
ALTER TABLE chairs ADD COLUMN key_spelling TEXT;
ALTER TABLE chairs ADD COLUMN voicing_family TEXT;
ALTER TABLE chairs ADD COLUMN voicing_top TEXT;
`,
};
