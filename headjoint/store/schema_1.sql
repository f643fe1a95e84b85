-- A store as schema 1 left it, for the test of its migration. Never edited.
PRAGMA journal_mode = WAL;
CREATE TABLE schema_migration (
  version INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  applied_at TEXT NOT NULL
) STRICT;
CREATE TABLE job (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL
) STRICT;
CREATE TABLE job_revision (
  sequence INTEGER PRIMARY KEY,
  job TEXT NOT NULL REFERENCES job (id),
  revision INTEGER NOT NULL CHECK (revision >= 1),
  changed_at TEXT NOT NULL,
  note TEXT NOT NULL,
  number TEXT NOT NULL,
  title TEXT NOT NULL,
  engine_name TEXT NOT NULL,
  document TEXT NOT NULL CHECK (document <> ''),
  UNIQUE (job, revision)
) STRICT;
CREATE TRIGGER job_revision_is_never_changed BEFORE UPDATE ON job_revision
  BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;
CREATE TRIGGER job_revision_is_never_removed BEFORE DELETE ON job_revision
  BEGIN SELECT RAISE(ABORT, 'a revision is never removed'); END;
INSERT INTO schema_migration VALUES (1, 'jobs and their revisions', '2026-11-18T08:26:40Z');
INSERT INTO job VALUES ('15FM8XG', '2026-11-18T08:26:40Z'), ('15FM8XH', '2026-11-18T08:27:00Z');
INSERT INTO job_revision VALUES
  (1, '15FM8XG', 1, '2026-11-18T08:26:40Z', 'opened', '0117', 'runs hot', 'four in line',
   '{"format":1,"number":"0117","title":"runs hot","engine":{"name":"four in line"}}'),
  (2, '15FM8XH', 1, '2026-11-18T08:27:00Z', 'opened', '0118', 'boils over', '',
   '{"format":1,"number":"0118","title":"boils over"}'),
  (3, '15FM8XG', 2, '2026-11-18T08:31:40Z', 'head off', '0117', 'runs hot, head off', 'four in line',
   '{"format":1,"number":"0117","title":"runs hot, head off","engine":{"name":"four in line"}}');
PRAGMA application_id = 1212829268;
PRAGMA user_version = 1;
