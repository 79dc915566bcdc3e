-- Schema 1. A migration that has been released is never edited: a change is a new file with the next number.

-- Which copies of which streams this home holds. A stream of this home has origin 'home', once; the same stream
-- brought in from elsewhere is another copy, so a forked import stands beside the own one and both are shown.
CREATE TABLE copies (
    copy   INTEGER PRIMARY KEY,
    stream TEXT NOT NULL CHECK (length(stream) = 19),
    origin TEXT NOT NULL CHECK (length(origin) > 0)
) STRICT;
CREATE UNIQUE INDEX copies_own ON copies (stream) WHERE origin = 'home';
CREATE INDEX copies_stream ON copies (stream);

-- The truth. bytes are the canonical bytes that were hashed and signed; the other columns are read out of them.
CREATE TABLE entries (
    copy     INTEGER NOT NULL REFERENCES copies (copy),
    number   INTEGER NOT NULL CHECK (number >= 1),
    previous BLOB NOT NULL CHECK (length(previous) = 32),
    hash     BLOB NOT NULL CHECK (length(hash) = 32),
    kind     TEXT NOT NULL CHECK (length(kind) > 0),
    bytes    BLOB NOT NULL CHECK (length(bytes) > 0),
    PRIMARY KEY (copy, number)
) STRICT;
CREATE UNIQUE INDEX entries_hash ON entries (hash, copy);

-- Procedures, pictures and other files that entries name by the SHA-256 of their exact bytes.
CREATE TABLE texts (
    sha256 BLOB NOT NULL PRIMARY KEY CHECK (length(sha256) = 32),
    bytes  BLOB NOT NULL
) STRICT;

-- Sealed signing keys of this home: replaceable, never copied out.
CREATE TABLE secrets (
    person     TEXT NOT NULL PRIMARY KEY CHECK (length(person) = 19),
    parameters TEXT NOT NULL,
    sealed     BLOB NOT NULL CHECK (length(sealed) > 0)
) STRICT;

-- An index: everything here is worked out from entries and can be thrown away and built again.
CREATE TABLE streams (
    copy        INTEGER PRIMARY KEY REFERENCES copies (copy),
    is_register INTEGER NOT NULL CHECK (is_register IN (0, 1)),
    serial      TEXT COLLATE NOCASE,
    tag         TEXT COLLATE NOCASE,
    started     TEXT NOT NULL,
    closed      TEXT,
    performer   TEXT,
    outcome     TEXT,
    state       TEXT NOT NULL,
    demo        INTEGER NOT NULL CHECK (demo IN (0, 1)),
    head        INTEGER NOT NULL CHECK (head >= 1)
) STRICT;
CREATE INDEX streams_serial ON streams (serial) WHERE serial IS NOT NULL;
CREATE INDEX streams_tag ON streams (tag) WHERE tag IS NOT NULL;
CREATE INDEX streams_register ON streams (is_register) WHERE is_register = 1;
CREATE INDEX streams_open ON streams (copy) WHERE closed IS NULL AND is_register = 0;

-- Append-only. The check before an insert stops gaps and forks, and REPLACE and IGNORE with them, because it
-- speaks before either can act; with recursive_triggers on, the delete hidden in a REPLACE is stopped as well.
CREATE TRIGGER entries_next BEFORE INSERT ON entries BEGIN
    SELECT RAISE(ABORT, 'not the next number of this copy')
     WHERE NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entries WHERE copy = NEW.copy);
    SELECT RAISE(ABORT, 'previous hash is not that of the last entry')
     WHERE NEW.previous IS NOT coalesce(
        (SELECT hash FROM entries WHERE copy = NEW.copy AND number = NEW.number - 1), zeroblob(32));
    SELECT RAISE(ABORT, 'hash already stands in this copy')
     WHERE EXISTS (SELECT 1 FROM entries WHERE hash = NEW.hash AND copy = NEW.copy);
END;
CREATE TRIGGER entries_kept BEFORE UPDATE ON entries BEGIN
    SELECT RAISE(ABORT, 'an entry is never changed');
END;
CREATE TRIGGER entries_stay BEFORE DELETE ON entries BEGIN
    SELECT RAISE(ABORT, 'an entry is never removed');
END;

CREATE TRIGGER copies_new BEFORE INSERT ON copies BEGIN
    SELECT RAISE(ABORT, 'copy already stands')
     WHERE EXISTS (SELECT 1 FROM copies WHERE copy = NEW.copy);
    SELECT RAISE(ABORT, 'stream of this home already stands')
     WHERE NEW.origin = 'home' AND EXISTS (SELECT 1 FROM copies WHERE stream = NEW.stream AND origin = 'home');
END;
CREATE TRIGGER copies_kept BEFORE UPDATE ON copies BEGIN
    SELECT RAISE(ABORT, 'a copy is never changed');
END;
CREATE TRIGGER copies_stay BEFORE DELETE ON copies BEGIN
    SELECT RAISE(ABORT, 'a copy is never removed');
END;

CREATE TRIGGER texts_new BEFORE INSERT ON texts BEGIN
    SELECT RAISE(ABORT, 'text already stands')
     WHERE EXISTS (SELECT 1 FROM texts WHERE sha256 = NEW.sha256);
END;
CREATE TRIGGER texts_kept BEFORE UPDATE ON texts BEGIN
    SELECT RAISE(ABORT, 'a text is never changed');
END;
CREATE TRIGGER texts_stay BEFORE DELETE ON texts BEGIN
    SELECT RAISE(ABORT, 'a text is never removed');
END;
