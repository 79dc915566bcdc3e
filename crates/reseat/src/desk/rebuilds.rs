//! Rebuilds at the desk: started, taken up, looked at, and carried on one entry at a time.

use reseat_history::{Hold, RebuildRow};
use reseat_record::log::{Hash, Id, Sealed};
use reseat_record::rebuild::body::Beside;
use reseat_record::rebuild::{Command, Rebuild, Start, for_register, must_sign};
use reseat_record::register;

use super::founding::new_id;
use super::{Desk, Fault};

/// A rebuild under work. No other session works on it for as long as this value lives.
#[derive(Debug)]
pub struct Open {
    /// The rebuild as it stands.
    pub rebuild: Rebuild,
    /// The time answers are entered as of, while entries are late.
    pub(super) late: Option<String>,
    _hold: Hold,
}

impl Open {
    /// Whether answers are entered late.
    pub fn is_late(&self) -> bool {
        self.late.is_some()
    }

    /// Its record.
    pub fn stream(&self) -> Id {
        self.rebuild.head().stream
    }
}

impl Desk {
    /// Starts a rebuild, signed by its performer, whose PIN was checked.
    ///
    /// # Errors
    /// [`Fault::OpenAlready`]; refusals; keys and storage.
    pub fn start(&mut self, start: Start) -> Result<Open, Fault> {
        let performer = start.performer;
        self.start_signed(start, &performer)
    }

    /// Starts a rebuild, signed by somebody else than the performer: the lead who records why the nameplate differs.
    ///
    /// # Errors
    /// As [`Desk::start`].
    pub fn start_signed(&mut self, start: Start, signer: &Id) -> Result<Open, Fault> {
        if !self.history.is_writable() {
            return Err(Fault::ReadOnly);
        }
        self.catch_up()?;
        self.end_shifts();
        let open = self
            .past(&start.unit)?
            .into_iter()
            .find(|row| row.closed.is_none());
        if let Some(row) = open {
            return Err(Fault::OpenAlready {
                serial: start.unit,
                record: row.stream,
            });
        }
        let sha256 = start.procedure;
        let procedure = self.procedure(&sha256)?;
        let (stream, stamp) = (new_id()?, self.stamp(Some(*signer)));
        self.bookings.doubt();
        self.know_bookings(&stream)?;
        let beside = self.open_beside(&start.unit)?;
        let entry = Rebuild::start_beside(
            &self.register,
            &procedure,
            sha256,
            start,
            beside,
            stream,
            &stamp,
        )?;
        let sealed = entry
            .sign(self.keys.key(signer)?)
            .map_err(|damage| Fault::broken(stream, 1, &damage))?;
        let rebuild = Rebuild::begin(procedure, &sealed)
            .map_err(|damage| Fault::broken(stream, 1, &damage))?;
        let hold = Hold::try_take(&self.home, &stream)?.ok_or(Fault::HeldElsewhere)?;
        self.history
            .append(&sealed, Some(&row_of(&rebuild, sealed.entry.demo, 1)), &[])?;
        self.written(&sealed);
        Ok(Open {
            rebuild,
            late: None,
            _hold: hold,
        })
    }

    /// What whoever starts on a unit is told first: in what state the last work on it left it, if that was not brought to its end,
    /// and whether its stand-in is being rebuilt too.
    ///
    /// # Errors
    /// Storage faults.
    pub fn before_start(&self, serial: &str) -> Result<Vec<String>, Fault> {
        let mut told = Vec::new();
        let last = self.past(serial)?.into_iter().next();
        if let Some(row) = last.filter(|row| row.state.starts_with("INCOMPLETE")) {
            told.push(format!(
                "The last work on this unit was closed {}. Read its record and look at the unit first.",
                row.state
            ));
        }
        if let Some(beside) = self.open_beside(serial)? {
            told.push(format!(
                "Its stand-in {} is being rebuilt too. Another person verifies each joint and zero check.",
                beside.tag
            ));
        }
        Ok(told)
    }

    /// The open rebuild of the unit that stands in for this one, by either place's word on the register.
    ///
    /// # Errors
    /// Storage faults.
    pub fn open_beside(&self, serial: &str) -> Result<Option<Beside>, Fault> {
        let here = self
            .register
            .places()
            .find(|place| place.holds.as_deref() == Some(serial));
        let Some(here) = here else { return Ok(None) };
        let pairs = |place: &register::Place| {
            here.redundant_with.as_deref() == Some(place.tag.as_str())
                || place.redundant_with.as_deref() == Some(here.tag.as_str())
        };
        for place in self.register.places().filter(|place| pairs(place)) {
            let Some(other) = &place.holds else { continue };
            let open = self.past(other)?.into_iter();
            if let Some(row) = open.into_iter().find(|row| row.closed.is_none()) {
                return Ok(Some(Beside {
                    tag: place.tag.clone(),
                    record: row.stream,
                }));
            }
        }
        Ok(None)
    }

    /// Takes up a rebuild for work: the hold on it, and an entry signed by the person whose PIN was checked.
    ///
    /// # Errors
    /// [`Fault::HeldElsewhere`] where another session works on it; refusals; keys and storage; a chain that does not hold.
    pub fn take_up(&mut self, stream: &Id, by: &Id) -> Result<Open, Fault> {
        if !self.history.is_writable() {
            return Err(Fault::ReadOnly);
        }
        // Held before it is read, so that nothing is added between reading and taking up.
        let hold = Hold::try_take(&self.home, stream)?.ok_or(Fault::HeldElsewhere)?;
        self.catch_up()?;
        self.end_shifts();
        self.bookings.doubt();
        self.know_bookings(stream)?;
        let rebuild = self.look(stream)?;
        let entry = rebuild.take_up(&self.register, &self.stamp(Some(*by)))?;
        let number = entry.number;
        let sealed = entry
            .sign(self.keys.key(by)?)
            .map_err(|damage| Fault::broken(*stream, number, &damage))?;
        let mut open = Open {
            rebuild,
            late: None,
            _hold: hold,
        };
        self.write(&mut open, &sealed)?;
        Ok(open)
    }

    /// The rebuild as its entries say, for looking: nothing is written and nothing held.
    ///
    /// # Errors
    /// [`Fault::NoRebuild`], [`Fault::NoProcedure`]; a chain that does not hold; storage faults.
    pub fn look(&self, stream: &Id) -> Result<Rebuild, Fault> {
        let entries = self.sealed_entries(stream)?;
        let sha256 = bound_text(*stream, &entries)?;
        let procedure = self.procedure(&sha256)?;
        Rebuild::replay(procedure, &entries).map_err(|damage| Fault::broken(*stream, 1, &damage))
    }

    /// One command: decided, signed by `signer` where its kind asks for it (his PIN was checked), put on disk, applied.
    /// Without a signer the person who acts signs.
    ///
    /// # Errors
    /// Refusals; a key that is not open or a PIN that was not typed; storage faults. The rebuild is then as it was.
    pub fn act(
        &mut self,
        open: &mut Open,
        command: Command,
        by: &Id,
        signer: Option<&Id>,
    ) -> Result<(), Fault> {
        if !self.history.is_writable() {
            return Err(Fault::ReadOnly);
        }
        self.catch_up()?;
        self.know_bookings(&open.stream())?;
        self.end_shifts();
        let by = signer.unwrap_or(by);
        let clock = clock_of(&command);
        let stamp = self.stamp_of(open, &command, *by);
        let entry = open.rebuild.decide(&self.register, command, &stamp)?;
        let (stream, number) = (entry.stream, entry.number);
        let sealed = if must_sign(&entry.kind) {
            entry.sign(self.keys.key(by)?)
        } else {
            // Who proved himself for an act that is not signed used his PIN for it and for nothing else.
            if let Some(person) = signer {
                self.keys.key(person)?;
                self.keys.spend(person);
            }
            entry.seal()
        }
        .map_err(|damage| Fault::broken(stream, number, &damage))?;
        // The clock belongs to the home: what a rebuild is told of it goes into the register as well, first.
        match clock {
            Some(ClockSaid::RunOn(minutes)) => self.run_on(u64::from(minutes) * 60, by)?,
            Some(ClockSaid::Given(utc)) => self.give_clock_utc(&utc, by)?,
            None => {}
        }
        // An instrument that fell or failed its check is out of service for every rebuild of this home.
        if let Some(told) = for_register(&self.register, &open.rebuild, &sealed.entry) {
            self.change(told, by)?;
        }
        self.write(open, &sealed)
    }

    /// Writes an entry of a rebuild and applies it.
    ///
    /// The index row says how the rebuild stands after the entry. For a signed entry (an ending is one) that is worked out
    /// beforehand on a copy; else the row as it stood goes with the entry and is put right after it, where it changed.
    fn write(&mut self, open: &mut Open, sealed: &Sealed) -> Result<(), Fault> {
        let demo = sealed.entry.demo;
        let number = sealed.entry.number;
        let row = if sealed.entry.signature.is_some() {
            let mut after = open.rebuild.clone();
            after.apply(sealed);
            row_of(&after, demo, number)
        } else {
            row_of(&open.rebuild, demo, number)
        };
        self.history.append(sealed, Some(&row), &[])?;
        let had = open.rebuild.who().map(|who| who.id);
        open.rebuild.apply(sealed);
        self.written(sealed);
        self.forget_outgoing(had, &open.rebuild, &sealed.entry.kind);
        if open.rebuild.is_paused() {
            open.late = None;
        }
        let stands = row_of(&open.rebuild, demo, number);
        if stands != row {
            // The entry stands on disk whatever comes of this; the next one brings the row again, and rows are no evidence.
            let _ = self.history.put_index(&stands);
        }
        Ok(())
    }

    /// A handover, in two parts or by somebody else taking up, seals the key of the person who had the work.
    fn forget_outgoing(&mut self, had: Option<Id>, now: &Rebuild, kind: &str) {
        let has = now.who().map(|who| who.id);
        if let Some(had) = had.filter(|had| kind == "handed_over/1" || Some(*had) != has) {
            self.forget_key(&had);
        }
    }

    /// The entries of a stream, each following on the one before, the last one's signature checked.
    pub(crate) fn sealed_entries(&self, stream: &Id) -> Result<Vec<Sealed>, Fault> {
        let stored = self.history.entries(stream)?;
        if stored.is_empty() {
            return Err(Fault::NoRebuild {
                typed: stream.to_string(),
            });
        }
        let mut head = reseat_record::log::Head::empty(*stream);
        let mut entries = Vec::with_capacity(stored.len());
        for (number, bytes) in (1..).zip(&stored) {
            let damaged = |damage| Fault::broken(*stream, number, &damage);
            let sealed = Sealed::read(bytes).map_err(damaged)?;
            sealed.follows(&head).map_err(damaged)?;
            head = sealed.head();
            entries.push(sealed);
        }
        if let Some(last) = entries.last() {
            last.check_signature()
                .map_err(|damage| Fault::broken(*stream, last.entry.number, &damage))?;
        }
        Ok(entries)
    }

    pub(super) fn give_clock_utc(&mut self, utc: &str, by: &Id) -> Result<(), Fault> {
        let mut stamp = self.stamp(Some(*by));
        stamp.clock = reseat_record::log::Clock::Given;
        utc.clone_into(&mut stamp.utc);
        let machine = Some(self.clock.machine_utc());
        let command = register::Command::GiveClock {
            given: utc.to_owned(),
            machine,
        };
        self.change_with(&command, &stamp, &[])?;
        self.clock.give(utc);
        Ok(())
    }
}

/// What a command says of the clock.
enum ClockSaid {
    RunOn(u32),
    Given(String),
}

fn clock_of(command: &Command) -> Option<ClockSaid> {
    match command {
        Command::RunOn { minutes } => Some(ClockSaid::RunOn(*minutes)),
        Command::GiveClock { utc } => Some(ClockSaid::Given(utc.clone())),
        _ => None,
    }
}

fn bound_text(stream: Id, entries: &[Sealed]) -> Result<Hash, Fault> {
    entries
        .first()
        .and_then(Rebuild::bound_text)
        .ok_or_else(|| Fault::NoRebuild {
            typed: stream.to_string(),
        })
}

/// The index row of a rebuild as it stands.
pub(super) fn row_of(rebuild: &Rebuild, demo: bool, head: u64) -> RebuildRow {
    let summary = rebuild.summary();
    RebuildRow {
        stream: rebuild.head().stream,
        is_register: false,
        serial: Some(summary.serial),
        tag: Some(summary.tag).filter(|tag| !tag.is_empty()),
        started: summary.started,
        closed: summary.closed,
        by: Some(summary.by),
        outcome: summary.outcome,
        state: summary.state,
        demo,
        head,
    }
}
