//! Reading: streams in order, heads, texts, and whether another program has written meanwhile.

use reseat_record::log::{Hash, Head, Id, SHORTEST_BEGINNING, Sealed};
use rusqlite::{Connection, OptionalExtension, Params, params};

use crate::append::{find_own, integer};
use crate::fault::StorageFault;
use crate::open::History;

/// The origin of a stream of this home, as stored.
pub(crate) const OWN: &str = "home";

/// What stands before the words of any other origin, as stored.
const BROUGHT: &str = "copy: ";

/// Where a copy of a stream came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// Written in this home.
    Home,
    /// Brought in, with the words kept at that time.
    Brought(String),
}

impl Origin {
    pub(crate) fn from_stored(text: String) -> Self {
        match text.strip_prefix(BROUGHT) {
            Some(words) => Self::Brought(words.to_owned()),
            None if text == OWN => Self::Home,
            None => Self::Brought(text),
        }
    }

    pub(crate) fn stored(&self) -> String {
        match self {
            Self::Home => OWN.to_owned(),
            Self::Brought(words) => format!("{BROUGHT}{words}"),
        }
    }
}

/// One copy of one stream. A stream that was brought in although it is held already is another copy, so that a fork
/// shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copy {
    /// Number of the copy in this home, rising in the order they came.
    pub number: i64,
    /// The stream.
    pub stream: Id,
    /// Where it came from.
    pub origin: Origin,
}

/// What the beginning of an identifier stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    /// Exactly one stream begins so.
    One(Id),
    /// None does.
    None,
    /// More than one does, in their order.
    Many(Vec<Id>),
    /// Fewer than four characters, which name nothing.
    TooShort,
}

/// An entry that rests on an instrument, with what lists say of its rebuild.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Used<'a> {
    /// The stored bytes.
    pub bytes: &'a [u8],
    /// Number of the entry.
    pub number: u64,
    /// Identifier of the rebuild, as text.
    pub stream: &'a str,
    /// Tag of the place; empty where the index has no row of the rebuild.
    pub tag: &'a str,
    /// Serial of the unit; empty likewise.
    pub serial: &'a str,
    /// Hash of the entry, as it stands beside the bytes.
    pub hash: Hash,
}

impl History {
    /// The stored bytes of every entry of a stream of this home, in order; empty for a stream not held.
    pub fn entries(&self, stream: &Id) -> Result<Vec<Vec<u8>>, StorageFault> {
        self.entries_after(stream, 0)
    }

    /// Every reading and setting in rebuilds of this home that rests on this instrument, by its name on the register, in
    /// order of stream and number.
    ///
    /// # Errors
    /// Storage faults.
    pub fn each_use(
        &self,
        instrument: &str,
        mut each: impl FnMut(Used<'_>),
    ) -> Result<(), StorageFault> {
        let connection = self.connection()?;
        let mut wanted = connection.prepare_cached(
            "SELECT e.bytes, e.number, c.stream, s.tag, s.serial, e.hash
               FROM uses u JOIN copies c ON c.copy = u.copy AND c.origin = ?2
               JOIN entries e ON e.copy = u.copy AND e.number = u.number
               LEFT JOIN streams s ON s.copy = u.copy
              WHERE u.instrument = ?1 ORDER BY u.copy, u.number",
        )?;
        let mut rows = wanted.query(params![instrument, OWN])?;
        while let Some(row) = rows.next()? {
            let text = |column| -> Result<&str, StorageFault> {
                let value = row.get_ref(column)?.as_str_or_null();
                Ok(value.map_err(rusqlite::Error::from)?.unwrap_or_default())
            };
            each(Used {
                bytes: row.get_ref(0)?.as_blob().map_err(rusqlite::Error::from)?,
                number: stored_number(row.get(1)?)?,
                stream: text(2)?,
                tag: text(3)?,
                serial: text(4)?,
                hash: Hash(row.get(5)?),
            });
        }
        Ok(())
    }

    /// How many entries in rebuilds of this home rest on this instrument.
    ///
    /// # Errors
    /// Storage faults.
    pub fn count_uses(&self, instrument: &str) -> Result<u64, StorageFault> {
        let count = self
            .connection()?
            .prepare_cached(
                "SELECT count(*) FROM uses u JOIN copies c ON c.copy = u.copy AND c.origin = ?2 WHERE u.instrument = ?1",
            )?
            .query_row(params![instrument, OWN], |row| row.get(0))?;
        stored_number(count)
    }

    /// As [`History::entries`], only those after `number`: to catch up after [`History::moved`].
    pub fn entries_after(&self, stream: &Id, number: u64) -> Result<Vec<Vec<u8>>, StorageFault> {
        let connection = self.connection()?;
        let mut entries = Vec::new();
        if let Some(copy) = find_own(connection, stream)? {
            each_of(connection, copy, number, |bytes| {
                entries.push(bytes.to_vec());
            })?;
        }
        Ok(entries)
    }

    /// The stored bytes of every entry of one copy, in order.
    pub fn entries_of(&self, copy: &Copy) -> Result<Vec<Vec<u8>>, StorageFault> {
        let mut entries = Vec::new();
        each_of(self.connection()?, copy.number, 0, |bytes| {
            entries.push(bytes.to_vec());
        })?;
        Ok(entries)
    }

    /// The stored bytes of one entry of a stream of this home.
    pub fn entry(&self, stream: &Id, number: u64) -> Result<Option<Vec<u8>>, StorageFault> {
        let connection = self.connection()?;
        let Some(copy) = find_own(connection, stream)? else {
            return Ok(None);
        };
        let mut find = connection
            .prepare_cached("SELECT bytes FROM entries WHERE copy = ?1 AND number = ?2")?;
        Ok(find
            .query_row(params![copy, integer(number)?], |row| row.get(0))
            .optional()?)
    }

    /// The head of a stream of this home; number 0 and [`Hash::ZERO`] for one not held.
    pub fn head(&self, stream: &Id) -> Result<Head, StorageFault> {
        let connection = self.connection()?;
        match find_own(connection, stream)? {
            Some(copy) => head_of(connection, copy, *stream),
            None => Ok(Head::empty(*stream)),
        }
    }

    /// All copies of all streams, in the order they came.
    pub fn copies(&self) -> Result<Vec<Copy>, StorageFault> {
        self.copies_where("ORDER BY c.copy", [])
    }

    /// The copies of one stream, the own one first.
    pub fn copies_of(&self, stream: &Id) -> Result<Vec<Copy>, StorageFault> {
        self.copies_where(
            "WHERE c.stream = ?1 ORDER BY c.origin <> 'home', c.copy",
            [stream.to_string()],
        )
    }

    /// The streams whose identifier begins with `beginning`, read forgivingly.
    pub fn find(&self, beginning: &str) -> Result<Found, StorageFault> {
        if beginning
            .chars()
            .filter(|letter| !matches!(letter, '-' | ' '))
            .count()
            < SHORTEST_BEGINNING
        {
            return Ok(Found::TooShort);
        }
        let mut list = self
            .connection()?
            .prepare_cached("SELECT DISTINCT stream FROM copies ORDER BY stream")?;
        let mut rows = list.query([])?;
        let mut matching = Vec::new();
        while let Some(row) = rows.next()? {
            let id = stored_id(row.get_ref(0)?.as_str().map_err(rusqlite::Error::from)?)?;
            if id.begins_with(beginning) {
                matching.push(id);
            }
        }
        Ok(match matching.as_slice() {
            [] => Found::None,
            [one] => Found::One(*one),
            _ => Found::Many(matching),
        })
    }

    /// A text or picture by the SHA-256 of its bytes, which are checked against it.
    pub fn text(&self, hash: &Hash) -> Result<Option<Vec<u8>>, StorageFault> {
        let mut find = self
            .connection()?
            .prepare_cached("SELECT bytes FROM texts WHERE sha256 = ?1")?;
        let bytes: Option<Vec<u8>> = find.query_row([hash.0], |row| row.get(0)).optional()?;
        match bytes {
            Some(bytes) if Hash::of(&bytes) != *hash => {
                Err(StorageFault::TextHash { named: *hash })
            }
            other => Ok(other),
        }
    }

    /// Whether another program has written since this was last asked. The first answer, and the first after the
    /// history had to be opened again, is `true`: nothing is known of what came before.
    pub fn moved(&mut self) -> Result<bool, StorageFault> {
        let now: i64 = self
            .connection()?
            .pragma_query_value(None, "data_version", |row| row.get(0))?;
        Ok(self.version_seen.replace(now) != Some(now))
    }

    /// Numbers of the entries of a copy whose columns say other than their bytes. The bytes are the truth and are
    /// what is verified; a difference means that someone has been in the file with other tools.
    pub fn disagreements(&self, copy: &Copy) -> Result<Vec<u64>, StorageFault> {
        let mut list = self
            .connection()?
            .prepare_cached("SELECT number, previous, hash, kind, bytes FROM entries WHERE copy = ?1 ORDER BY number")?;
        let mut rows = list.query([copy.number])?;
        let mut differing = Vec::new();
        while let Some(row) = rows.next()? {
            let number = stored_number(row.get(0)?)?;
            let agrees = Sealed::read(row.get_ref(4)?.as_blob().map_err(rusqlite::Error::from)?)
                .is_ok_and(|sealed| {
                    row.get_ref(1).is_ok_and(|value| {
                        value.as_blob() == Ok(sealed.entry.previous.0.as_slice())
                    }) && row
                        .get_ref(2)
                        .is_ok_and(|value| value.as_blob() == Ok(sealed.hash.0.as_slice()))
                        && row
                            .get_ref(3)
                            .is_ok_and(|value| value.as_str() == Ok(sealed.entry.kind.as_str()))
                        && sealed.entry.number == number
                        && sealed.entry.stream == copy.stream
                });
            if !agrees {
                differing.push(number);
            }
        }
        Ok(differing)
    }

    pub(crate) fn copies_where<P: Params>(
        &self,
        rest: &str,
        params: P,
    ) -> Result<Vec<Copy>, StorageFault> {
        let statement = ["SELECT c.copy, c.stream, c.origin FROM copies c ", rest].concat();
        let mut list = self.connection()?.prepare_cached(&statement)?;
        let mut rows = list.query(params)?;
        let mut copies = Vec::new();
        while let Some(row) = rows.next()? {
            copies.push(Copy {
                number: row.get(0)?,
                stream: stored_id(&row.get::<_, String>(1)?)?,
                origin: Origin::from_stored(row.get(2)?),
            });
        }
        Ok(copies)
    }
}

/// The head of one copy.
pub(crate) fn head_of(
    connection: &Connection,
    copy: i64,
    stream: Id,
) -> Result<Head, StorageFault> {
    let last: Option<(i64, [u8; 32])> = connection
        .prepare_cached(
            "SELECT number, hash FROM entries WHERE copy = ?1 ORDER BY number DESC LIMIT 1",
        )?
        .query_row([copy], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    match last {
        None => Ok(Head::empty(stream)),
        Some((number, hash)) => Ok(Head {
            stream,
            number: stored_number(number)?,
            hash: Hash(hash),
        }),
    }
}

/// Hands the bytes of each entry of a copy after `number` to `take`, in order.
pub(crate) fn each_of(
    connection: &Connection,
    copy: i64,
    number: u64,
    mut take: impl FnMut(&[u8]),
) -> Result<(), StorageFault> {
    let mut list = connection.prepare_cached(
        "SELECT bytes FROM entries WHERE copy = ?1 AND number > ?2 ORDER BY number",
    )?;
    let mut rows = list.query(params![copy, integer(number)?])?;
    while let Some(row) = rows.next()? {
        take(row.get_ref(0)?.as_blob().map_err(rusqlite::Error::from)?);
    }
    Ok(())
}

pub(crate) fn stored_id(text: &str) -> Result<Id, StorageFault> {
    Id::parse(text).map_err(|_| StorageFault::Damaged {
        what: format!("{text:?} stands where an identifier should"),
    })
}

pub(crate) fn stored_number(number: i64) -> Result<u64, StorageFault> {
    u64::try_from(number).map_err(|_| StorageFault::Damaged {
        what: format!("{number} stands where a number of an entry should"),
    })
}
