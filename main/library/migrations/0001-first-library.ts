import type { Migration } from './migration.ts';

/**
 * The first library. Times are ISO 8601 text in UTC. `binned_at` is null for what stands in the library.
 * JSON columns carry harmonies as canonical symbol text and the version of their shape beside them.
 */
export const FIRST_LIBRARY: Migration = {
  version: 1,
  name: 'first library',
  sql: `
CREATE TABLE meta (
  key TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE tunes (
  id TEXT NOT NULL PRIMARY KEY,
  text TEXT NOT NULL,
  title TEXT NOT NULL,
  credit TEXT,
  key TEXT NOT NULL,
  key_inferred INTEGER NOT NULL CHECK (key_inferred IN (0, 1)),
  meter TEXT NOT NULL,
  tempo REAL,
  feel TEXT,
  form TEXT NOT NULL,
  bars INTEGER NOT NULL,
  symbols TEXT NOT NULL,
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  binned_at TEXT
) STRICT;

CREATE TABLE tune_versions (
  tune_id TEXT NOT NULL REFERENCES tunes (id) ON DELETE CASCADE,
  version INTEGER NOT NULL,
  text TEXT NOT NULL,
  created_at TEXT NOT NULL,
  PRIMARY KEY (tune_id, version)
) STRICT, WITHOUT ROWID;

CREATE VIRTUAL TABLE tunes_search USING fts5 (
  tune_id UNINDEXED, title, credit, chords, tokenize = 'unicode61 remove_diacritics 2'
);

CREATE TABLE arrangements (
  id TEXT NOT NULL PRIMARY KEY,
  tune_id TEXT NOT NULL REFERENCES tunes (id) ON DELETE CASCADE,
  name TEXT NOT NULL,
  choruses INTEGER NOT NULL,
  state TEXT NOT NULL,
  state_version INTEGER NOT NULL,
  revision INTEGER NOT NULL,
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  binned_at TEXT
) STRICT;
CREATE INDEX arrangements_by_tune ON arrangements (tune_id);

CREATE TABLE decisions (
  arrangement_id TEXT NOT NULL REFERENCES arrangements (id) ON DELETE CASCADE,
  seq INTEGER NOT NULL,
  kind TEXT NOT NULL,
  label TEXT NOT NULL,
  command TEXT NOT NULL,
  diff TEXT NOT NULL,
  version INTEGER NOT NULL,
  undone INTEGER NOT NULL CHECK (undone IN (0, 1)),
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  PRIMARY KEY (arrangement_id, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE bands (
  id TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL
) STRICT;

CREATE TABLE chairs (
  band_id TEXT NOT NULL REFERENCES bands (id) ON DELETE CASCADE,
  id TEXT NOT NULL,
  name TEXT NOT NULL,
  instrument TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('comping', 'soloist', 'bass', 'drums')),
  position INTEGER NOT NULL,
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  PRIMARY KEY (band_id, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE setlists (
  id TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  binned_at TEXT
) STRICT;

CREATE TABLE setlist_entries (
  setlist_id TEXT NOT NULL REFERENCES setlists (id) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  arrangement_id TEXT NOT NULL REFERENCES arrangements (id) ON DELETE RESTRICT,
  note TEXT,
  pause INTEGER NOT NULL,
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  PRIMARY KEY (setlist_id, position)
) STRICT, WITHOUT ROWID;
CREATE INDEX setlist_entries_by_arrangement ON setlist_entries (arrangement_id);

CREATE TABLE taste (
  device TEXT NOT NULL,
  degree TEXT NOT NULL,
  accepted INTEGER NOT NULL CHECK (accepted >= 0),
  rejected INTEGER NOT NULL CHECK (rejected >= 0),
  created_at TEXT NOT NULL,
  changed_at TEXT NOT NULL,
  PRIMARY KEY (device, degree)
) STRICT, WITHOUT ROWID;
`,
};
