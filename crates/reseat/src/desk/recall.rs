//! An instrument found out: the list of what rests on it, shown before it is signed, and the one entry that signs it.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use reseat_procedure::Procedure;
use reseat_record::log::{Hash, Id, Sealed};
use reseat_record::rebuild::Rebuild;
use reseat_record::recall::{Looked, Recall, Since, Touched, named, not_ahead};
use reseat_record::refusal::Refusal;
use reseat_record::register::{BenchPoint, Command, Instrument};

use super::{Desk, Fault};

/// A reading in question, with what lists say of its rebuild.
#[derive(Debug, Clone, PartialEq)]
pub struct RecallLine {
    /// Tag of the place; empty where the index has no row of the rebuild.
    pub tag: String,
    /// Serial of the unit; empty likewise.
    pub serial: String,
    /// The reading, judged again.
    pub touched: Touched,
}

impl RecallLine {
    /// How it stands, for a list: `still WITHIN`, `cannot say: outside the bench points`.
    #[must_use]
    pub fn stands(&self) -> String {
        match self.touched.why {
            Some(why) => format!("{}: {why}", self.touched.stands),
            None => self.touched.stands.to_string(),
        }
    }
}

/// Everything that rests on an instrument since its last good check.
#[derive(Debug, Clone, PartialEq)]
pub struct RecallSheet {
    /// Name of the instrument.
    pub instrument: String,
    /// Since when.
    pub since: Since,
    /// What the bench found, from the lowest true value to the highest.
    pub found: Vec<BenchPoint>,
    /// Each reading, in order of rebuild and number; none as long as the bench found nothing.
    pub lines: Vec<RecallLine>,
    /// Record and number of entries that rest on it and cannot be read.
    pub unread: Vec<(String, u64)>,
    /// How many entries of this home rest on the instrument, older ones too. Entries are only added, so another count means
    /// another list.
    resting: u64,
}

impl Desk {
    /// An instrument on the register.
    ///
    /// # Errors
    /// [`Refusal::NoInstrument`].
    pub fn instrument(&self, id: &str) -> Result<&Instrument, Fault> {
        let known = self.register.instrument(id);
        known.ok_or_else(|| Refusal::NoInstrument { id: id.to_owned() }.into())
    }

    /// Lists every reading of an instrument since its last good check over all rebuilds of this home, each judged again with
    /// the error that the bench found taken out. Writes nothing.
    ///
    /// # Errors
    /// The refusal of a day (one that has not come, too) or of bench points; storage faults.
    pub fn recall_sheet(
        &self,
        instrument: &str,
        since: Option<&str>,
        found: Vec<BenchPoint>,
    ) -> Result<RecallSheet, Fault> {
        let instrument = self.instrument(instrument)?;
        let since = Since::of(instrument, since, &self.clock.offset())?;
        not_ahead(Since::FIELD, &since.day, &self.stamp(None))?;
        let mut sheet = RecallSheet {
            instrument: instrument.id.clone(),
            since,
            found,
            lines: Vec::new(),
            unread: Vec::new(),
            resting: 0,
        };
        if sheet.found.is_empty() {
            return Ok(sheet);
        }
        let mut recall = Recall::new(instrument, &sheet.since, &sheet.found)?;
        let (lines, unread, resting) = (&mut sheet.lines, &mut sheet.unread, &mut sheet.resting);
        self.history.each_use(&instrument.id, |used| {
            *resting += 1;
            match recall.look(used.bytes, used.hash) {
                Looked::Touched(touched) => lines.push(RecallLine {
                    tag: used.tag.to_owned(),
                    serial: used.serial.to_owned(),
                    touched: *touched,
                }),
                Looked::Unread => unread.push((used.stream.to_owned(), used.number)),
                Looked::Not => {}
            }
        })?;
        self.work_out_again(&recall, &mut sheet.lines)?;
        Ok(sheet)
    }

    /// Values worked out from readings, each from its rebuild's procedure and entries; one whose rebuild cannot be read back
    /// stays as it is.
    fn work_out_again(&self, recall: &Recall, lines: &mut [RecallLine]) -> Result<(), Fault> {
        let mut texts: BTreeMap<Hash, Option<Procedure>> = BTreeMap::new();
        for of_one in lines.chunk_by_mut(|a, b| a.touched.stream == b.touched.stream) {
            let mut resting = of_one
                .iter_mut()
                .filter(|line| line.touched.rests)
                .peekable();
            let Some(stream) = resting.peek().map(|line| line.touched.stream) else {
                continue;
            };
            let stored = self.history.entries(&stream)?;
            let read = stored.iter().map(|bytes| Sealed::read(bytes).ok());
            let Some(entries) = read.collect::<Option<Vec<Sealed>>>() else {
                continue;
            };
            let Some(hash) = entries.first().and_then(Rebuild::bound_text) else {
                continue;
            };
            let procedure = match texts.entry(hash) {
                Entry::Occupied(known) => known.into_mut(),
                Entry::Vacant(first) => {
                    let text = self.history.text(&hash)?;
                    first.insert(text.and_then(|text| reseat_procedure::read(&text).ok()))
                }
            };
            if let Some(procedure) = procedure {
                resting.for_each(|line| recall.work_out(&mut line.touched, procedure, &entries));
            }
        }
        Ok(())
    }

    /// Puts every reading of the list in doubt by one signed entry of the register.
    ///
    /// # Errors
    /// [`Refusal::RecallMoved`] where the list is not what stands now; as [`Desk::change`].
    pub fn recall(&mut self, sheet: &RecallSheet, reason: &str, by: &Id) -> Result<Sealed, Fault> {
        if self.history.count_uses(&sheet.instrument)? != sheet.resting {
            return Err(Refusal::RecallMoved {}.into());
        }
        let command = Command::Recall {
            instrument: sheet.instrument.clone(),
            since: sheet.since.fact,
            from: Some(sheet.since.from.clone()),
            found: sheet.found.clone(),
            rebuilds: named(sheet.lines.iter().map(|line| &line.touched)),
            reason: reason.to_owned(),
        };
        self.change(command, by)
    }
}
