/**
 * Step 1: the tables.
 *
 * STRICT throughout: a text in a number column is an error now and not a surprise a year later. `change` is append-only:
 * triggers refuse to alter or delete what was recorded. Civil times are ms since 1970-01-01 as if the device's clock
 * were UTC; never converted.
 */
export const firstSchema = `
CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;

CREATE TABLE change (
  id INTEGER PRIMARY KEY AUTOINCREMENT, made_ms INTEGER NOT NULL, who TEXT NOT NULL, kind TEXT NOT NULL,
  subject TEXT NOT NULL, before TEXT, after TEXT, why TEXT, undoes INTEGER REFERENCES change
) STRICT;
CREATE UNIQUE INDEX change_undoes ON change (undoes) WHERE undoes IS NOT NULL;
CREATE TRIGGER change_not_altered BEFORE UPDATE ON change BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER change_not_deleted BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;

-- Which things a change touched, for finding the later change that stands in the way of an undo.
CREATE TABLE touched (what TEXT NOT NULL, change INTEGER NOT NULL REFERENCES change, PRIMARY KEY (what, change)) STRICT, WITHOUT ROWID;

CREATE TABLE source (
  id INTEGER PRIMARY KEY AUTOINCREMENT, change INTEGER NOT NULL REFERENCES change, name TEXT NOT NULL, sha256 BLOB NOT NULL UNIQUE,
  bytes INTEGER NOT NULL, taken_ms INTEGER NOT NULL, recipe TEXT NOT NULL, facts TEXT NOT NULL, accounting TEXT NOT NULL,
  withdrawn INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE source_chunk (
  id INTEGER PRIMARY KEY, source INTEGER NOT NULL REFERENCES source, seq INTEGER NOT NULL, first_line INTEGER NOT NULL,
  first_byte INTEGER NOT NULL, deflated BLOB NOT NULL, UNIQUE (source, seq)
) STRICT;

-- Names as written in dumps; entry points to the register. Renaming and merging change entry only.
CREATE TABLE name (
  id INTEGER PRIMARY KEY, kind TEXT NOT NULL, written TEXT NOT NULL, entry INTEGER, UNIQUE (kind, written)
) STRICT;

CREATE TABLE reading (
  id INTEGER PRIMARY KEY AUTOINCREMENT, key INTEGER UNIQUE, source INTEGER NOT NULL, line INTEGER NOT NULL,
  at INTEGER, at_step INTEGER, tool INTEGER NOT NULL, operator INTEGER, joint INTEGER, torque REAL,
  torque_decimals INTEGER, unit INTEGER, angle REAL, own INTEGER, sequence INTEGER, k INTEGER NOT NULL, more INTEGER
) STRICT;
-- Rare facts: most readings have none.
CREATE TABLE more (
  id INTEGER PRIMARY KEY, fastener TEXT, batch TEXT, batch_position INTEGER, batch_size INTEGER, target REAL,
  low REAL, high REAL, station TEXT, note TEXT
) STRICT;
CREATE TABLE sighting (
  source INTEGER NOT NULL, reading INTEGER NOT NULL, line INTEGER NOT NULL, PRIMARY KEY (source, reading)
) STRICT, WITHOUT ROWID;
CREATE TABLE rejected (
  source INTEGER NOT NULL, line INTEGER NOT NULL, lines INTEGER NOT NULL, code TEXT NOT NULL, column_name TEXT,
  PRIMARY KEY (source, line)
) STRICT, WITHOUT ROWID;
CREATE TABLE notice (
  id INTEGER PRIMARY KEY, source INTEGER NOT NULL, key TEXT NOT NULL, args TEXT NOT NULL, lines TEXT NOT NULL
) STRICT;
CREATE INDEX notice_source ON notice (source);

CREATE TABLE mark (
  id INTEGER PRIMARY KEY, change INTEGER NOT NULL REFERENCES change, reading INTEGER NOT NULL, kind TEXT NOT NULL,
  value TEXT NOT NULL, ended_by INTEGER REFERENCES change, origin INTEGER REFERENCES change
) STRICT;
CREATE INDEX mark_reading ON mark (reading);
CREATE INDEX mark_kind ON mark (kind, ended_by);
CREATE INDEX mark_change ON mark (change);
CREATE INDEX mark_origin ON mark (origin) WHERE origin IS NOT NULL;
CREATE INDEX mark_ended_by ON mark (ended_by) WHERE ended_by IS NOT NULL;

-- Current state, each row naming its last change.
CREATE TABLE entry (
  id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, name TEXT NOT NULL, confirmed INTEGER NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0, body TEXT NOT NULL, change INTEGER NOT NULL REFERENCES change
) STRICT;
CREATE UNIQUE INDEX entry_name ON entry (kind, name) WHERE gone = 0;
CREATE TABLE limit_revision (
  id INTEGER PRIMARY KEY, joint INTEGER NOT NULL REFERENCES entry, from_ms INTEGER NOT NULL, unit TEXT NOT NULL,
  low REAL, target REAL, high REAL, low_percent REAL, high_percent REAL, angle_low REAL, angle_target REAL,
  angle_high REAL, batch_size INTEGER, retry_within_seconds REAL, by_whom TEXT, why TEXT, UNIQUE (joint, from_ms)
) STRICT;
CREATE TABLE check_log (
  id INTEGER PRIMARY KEY AUTOINCREMENT, tool INTEGER NOT NULL REFERENCES entry, at INTEGER NOT NULL, nominal REAL NOT NULL,
  reference REAL NOT NULL, shown REAL NOT NULL, unit TEXT NOT NULL, kind TEXT NOT NULL, uncertainty_percent REAL,
  gone INTEGER NOT NULL DEFAULT 0, change INTEGER NOT NULL REFERENCES change
) STRICT;
CREATE TABLE recipe (
  fingerprint TEXT PRIMARY KEY, name TEXT NOT NULL, body TEXT NOT NULL, change INTEGER NOT NULL REFERENCES change
) STRICT, WITHOUT ROWID;
CREATE TABLE study (
  id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0,
  change INTEGER NOT NULL REFERENCES change
) STRICT;
CREATE TABLE scope (
  name TEXT PRIMARY KEY, body TEXT NOT NULL, change INTEGER NOT NULL REFERENCES change
) STRICT, WITHOUT ROWID;
CREATE TABLE setting (
  key TEXT PRIMARY KEY, value TEXT NOT NULL, change INTEGER NOT NULL REFERENCES change
) STRICT, WITHOUT ROWID;
`;
