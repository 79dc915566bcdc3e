//! The desk: one home, open. History, register, opened keys and clock, and the one way anything is written.
//!
//! Whatever is to be written is decided by the pure crates, signed here where its kind asks for it, put on disk, and only
//! then applied. The desk holds no rule of the work and draws nothing; screens and commands hold no key and write nothing.

mod approval;
mod bookings;
mod clock;
mod fault;
mod folder;
mod founding;
mod keyring;
mod late;
mod people;
mod rebuilds;
mod recall;
mod rehearse;
mod reindex;
mod rows;
mod seal;
mod tag_end;
mod words;

use std::path::Path;

use reseat_history::{History, Home, RebuildRow};
use reseat_record::log::{Clock, Damage, Entry, Hash, Id, Sealed, Stamp};
use reseat_record::register::{self, Register};

pub use approval::{Approving, PagesRead, procedure_hash};
pub use clock::{Doubt, HomeClock, SetTime, SystemTime, Time, Wall};
pub use fault::{ClockFault, Fault, HomeFault, KeyFault, SET_CLOCK};
pub use folder::Surroundings;
pub use founding::Founding;
pub use keyring::WRONG_PINS;
pub use late::{Row, RowEntered};
pub use people::Enrolment;
pub use rebuilds::Open;
pub use recall::{RecallLine, RecallSheet};
pub use rows::UnitRow;
pub use seal::{check_passphrase, check_pin_form};
pub use tag_end::ends_tag;
pub use words::{SiteWords, WORDS, WordsFault};

use keyring::KeyRing;

/// How often a decision is made anew because another program wrote in between.
const TRIES: u32 = 5;

/// One home, open.
#[derive(Debug)]
pub struct Desk {
    home: Home,
    history: History,
    register: Register,
    keys: KeyRing,
    clock: HomeClock,
    /// The home's identifier, which every entry carries.
    id: Id,
    bookings: bookings::Bookings,
}

impl Desk {
    /// Whether a site was founded in this home. A folder that is not there is a home where none was.
    ///
    /// # Errors
    /// Storage faults other than the absence of a history.
    pub fn is_founded(root: &Path) -> Result<bool, Fault> {
        use reseat_history::StorageFault;
        let home = match Home::look(root) {
            Ok(home) => home,
            Err(StorageFault::NoHistory { .. }) => return Ok(false),
            Err(fault) => return Err(fault.into()),
        };
        let history = History::open_read_only(&home)?;
        Ok(history.register()?.is_some() || !history.copies()?.is_empty())
    }

    /// Whether a home could be made in this folder; nothing is made.
    ///
    /// # Errors
    /// A folder that cannot be written, a relative path, a network file system.
    pub fn could_be_founded(root: &Path) -> Result<(), Fault> {
        Ok(Home::could_be_made(root)?)
    }

    /// Whether a founded home is a demo's, as its entry 1 says.
    ///
    /// # Errors
    /// Storage faults; an entry 1 that cannot be read.
    pub fn is_demo_home(root: &Path) -> Result<bool, Fault> {
        let history = History::open_read_only(&Home::look(root)?)?;
        let Some(stream) = history.register()? else {
            return Ok(false);
        };
        let Some(bytes) = history.entry(&stream, 1)? else {
            return Ok(false);
        };
        let first = Sealed::read(&bytes).map_err(|damage| Fault::broken(stream, 1, &damage))?;
        Ok(first.entry.demo)
    }

    /// Opens a founded home for work.
    ///
    /// # Errors
    /// [`Fault::NotFounded`]; storage faults; a register whose chain does not hold; a demo clock set in a real home.
    pub fn open(root: &Path, time: Box<dyn Time>) -> Result<Self, Fault> {
        if !Self::is_founded(root)? {
            return Err(Fault::NotFounded {
                root: root.to_path_buf(),
            });
        }
        let home = Home::open(root)?;
        let history = History::open(&home)?;
        Self::with(home, history, time)
    }

    /// Opens a founded home for reading only: nothing is made, nothing written.
    ///
    /// # Errors
    /// As [`Desk::open`].
    pub fn read(root: &Path, time: Box<dyn Time>) -> Result<Self, Fault> {
        if !Self::is_founded(root)? {
            return Err(Fault::NotFounded {
                root: root.to_path_buf(),
            });
        }
        let home = Home::look(root)?;
        let history = History::open_read_only(&home)?;
        Self::with(home, history, time)
    }

    fn with(home: Home, mut history: History, time: Box<dyn Time>) -> Result<Self, Fault> {
        let root = home.root().to_path_buf();
        let Some(stream) = history.register()? else {
            // Entries without an index row: whoever founded here anew would begin a second register beside the first.
            return Err(if history.copies()?.is_empty() {
                Fault::NotFounded { root }
            } else {
                Fault::IndexLost
            });
        };
        let mut register = Register::empty(stream);
        fold(&mut register, &history)?;
        let id = register.home().ok_or(Fault::NotFounded { root })?;
        let mut clock = HomeClock::start(time);
        if clock.is_set() && !register.is_demo() {
            return Err(ClockFault::SetInRealHome.into());
        }
        clock.remember(
            register.floor(),
            register.agreed_day(),
            register.ran_on_seconds(),
        );
        if let Some(utc) = latest_trusted(&history)? {
            clock.raise_floor(&utc);
        }
        history.moved()?;
        Ok(Self {
            home,
            history,
            register,
            keys: KeyRing::default(),
            clock,
            id,
            bookings: bookings::Bookings::default(),
        })
    }

    /// The register as it stands.
    pub fn register(&self) -> &Register {
        &self.register
    }

    /// The history, for reading.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// The home folder.
    pub fn root(&self) -> &Path {
        self.home.root()
    }

    /// The clock.
    pub fn clock(&self) -> &HomeClock {
        &self.clock
    }

    /// Whether this is a demo home.
    pub fn demo(&self) -> bool {
        self.register.is_demo()
    }

    /// What every entry written now carries.
    pub fn stamp(&self, by: Option<Id>) -> Stamp {
        Stamp {
            home: self.id,
            by,
            utc: self.clock.utc(),
            offset: self.clock.offset(),
            clock: self.clock.word(),
            acted: None,
            demo: self.demo(),
        }
    }

    /// Reads what another program wrote into the register since. Whether anything came.
    ///
    /// # Errors
    /// Storage faults; a chain that does not hold.
    pub fn catch_up(&mut self) -> Result<bool, Fault> {
        if !self.history.moved()? {
            return Ok(false);
        }
        self.bookings.doubt();
        let before = self.register.head();
        fold(&mut self.register, &self.history)?;
        let moved = self.register.head() != before;
        if moved {
            let register = &self.register;
            self.clock.remember(
                register.floor(),
                register.agreed_day(),
                register.ran_on_seconds(),
            );
        }
        Ok(moved)
    }

    /// Writes one change of the register: decided, signed where its kind asks for it (the PIN was checked), put on disk,
    /// applied.
    ///
    /// # Errors
    /// The refusal; a key that is not open or a PIN that was not typed; storage faults.
    #[expect(
        clippy::needless_pass_by_value,
        reason = "a command is made for one change and has no use after it"
    )]
    pub fn change(&mut self, command: register::Command, by: &Id) -> Result<Sealed, Fault> {
        let stamp = self.stamp(Some(*by));
        self.change_as(&command, &stamp)
    }

    /// A person agrees that the clock is right; good for today.
    ///
    /// # Errors
    /// [`ClockFault::MustBeGiven`] where agreeing is not enough; as [`Desk::change`].
    pub fn agree_clock(&mut self, by: &Id) -> Result<(), Fault> {
        if let Some(doubt) = self
            .clock
            .doubt()
            .filter(|doubt| !doubt.agreeing_is_enough())
        {
            return Err(ClockFault::MustBeGiven {
                why: doubt.sentence(),
            }
            .into());
        }
        let day = self.clock.day();
        let mut stamp = self.stamp(Some(*by));
        stamp.clock = Clock::Trusted;
        self.change_as(&register::Command::AgreeClock { day: day.clone() }, &stamp)?;
        self.clock.agreed(&day);
        Ok(())
    }

    /// A person gives date and time (local, `2026-03-12 13:55`): the new floor of the clock.
    ///
    /// # Errors
    /// [`ClockFault::NoLocalTime`]; as [`Desk::change`].
    pub fn give_clock(&mut self, typed: &str, by: &Id) -> Result<(), Fault> {
        let utc = self.clock.read_local(typed)?;
        self.give_clock_utc(&utc, by)
    }

    /// Lets the clock of a demo home run on.
    ///
    /// # Errors
    /// [`ClockFault::NoRunOn`] in a real home; as [`Desk::change`].
    pub fn run_on(&mut self, seconds: u64, by: &Id) -> Result<(), Fault> {
        if !self.demo() {
            return Err(ClockFault::NoRunOn.into());
        }
        self.change(register::Command::RunOn { seconds }, by)?;
        self.clock.run_on(seconds);
        Ok(())
    }

    /// Copies what stands in the log beside the history into it; asked for at the end of a job.
    ///
    /// # Errors
    /// Storage faults. Entries are safe without it.
    pub fn settle(&mut self) -> Result<(), Fault> {
        Ok(self.history.settle()?)
    }

    fn change_as(&mut self, command: &register::Command, stamp: &Stamp) -> Result<Sealed, Fault> {
        self.change_with(command, stamp, &[])
    }

    /// As [`Desk::change`], with texts that the entry names kept in the same transaction.
    fn change_with(
        &mut self,
        command: &register::Command,
        stamp: &Stamp,
        texts: &[(Hash, &[u8])],
    ) -> Result<Sealed, Fault> {
        self.write_register(command, stamp, texts, |entry, keys| match stamp.by {
            Some(by) if register::is_signed(&entry.kind) => Ok(entry.clone().sign(keys.key(&by)?)),
            _ => Ok(entry.clone().seal()),
        })
    }

    /// Decides, seals as told, writes and applies; decides anew where another program wrote in between.
    fn write_register(
        &mut self,
        command: &register::Command,
        stamp: &Stamp,
        texts: &[(Hash, &[u8])],
        seal: impl Fn(&Entry, &KeyRing) -> Result<Result<Sealed, Damage>, KeyFault>,
    ) -> Result<Sealed, Fault> {
        if !self.history.is_writable() {
            return Err(Fault::ReadOnly);
        }
        let mut tries = 0;
        loop {
            self.catch_up()?;
            self.end_shifts();
            let entry = self.register.decide(command.clone(), stamp)?;
            let (stream, number) = (entry.stream, entry.number);
            let sealed = seal(&entry, &self.keys)?
                .map_err(|damage| Fault::broken(stream, number, &damage))?;
            let row = rows::register_row(&self.register, &sealed);
            match self.history.append(&sealed, Some(&row), texts) {
                Err(reseat_history::StorageFault::NotNext { .. }) if tries < TRIES => tries += 1,
                Err(fault) => return Err(fault.into()),
                Ok(()) => {
                    self.applied(&sealed)?;
                    return Ok(sealed);
                }
            }
        }
    }

    /// What was written into the register becomes its state.
    fn applied(&mut self, sealed: &Sealed) -> Result<(), Fault> {
        let entry = &sealed.entry;
        self.register
            .apply(sealed)
            .map_err(|damage| Fault::broken(entry.stream, entry.number, &damage))?;
        self.written(sealed);
        Ok(())
    }

    /// The PIN is used up, and a trusted time raises the floor.
    fn written(&mut self, sealed: &Sealed) {
        let entry = &sealed.entry;
        if let (Some(by), Some(_)) = (&entry.by, &entry.signature) {
            self.keys.spend(by);
        }
        if entry.clock == Clock::Trusted {
            self.clock.raise_floor(&entry.utc);
        }
    }
}

/// Folds what the history holds beyond the register's head into it.
///
/// Each entry is held by the hash in the one after it. The last is held by nothing yet, so its signature is checked, and
/// the hash that was stored beside it.
fn fold(register: &mut Register, history: &History) -> Result<(), Fault> {
    let head = register.head();
    let mut last = None;
    for (number, bytes) in
        (head.number + 1..).zip(history.entries_after(&head.stream, head.number)?)
    {
        let damaged = |damage: Damage| Fault::broken(head.stream, number, &damage);
        let sealed = Sealed::read(&bytes).map_err(damaged)?;
        register.apply(&sealed).map_err(damaged)?;
        last = Some(sealed);
    }
    if let Some(sealed) = last {
        let number = sealed.entry.number;
        sealed
            .check_signature()
            .map_err(|damage| Fault::broken(head.stream, number, &damage))?;
        let stored = history.head(&head.stream)?;
        // Another program may have written between the two reads: what it wrote is folded too, and held in its turn.
        if stored.number > number {
            return fold(register, history);
        }
        if stored != sealed.head() {
            let reason = "the hash stored beside it is another".to_owned();
            return Err(Fault::Broken {
                stream: head.stream,
                number,
                reason,
            });
        }
    }
    Ok(())
}

/// The latest trusted time among the rebuilds of this home.
///
/// Open ones are asked for their last trusted entry, closed ones stand in the index with the time they were closed.
fn latest_trusted(history: &History) -> Result<Option<String>, Fault> {
    let mut latest: Option<String> = None;
    let mut raise = |utc: String| {
        if latest.as_ref().is_none_or(|known| *known < utc) {
            latest = Some(utc);
        }
    };
    for listed in history.open_rebuilds()? {
        if let Some(utc) = last_trusted_entry(history, &listed.row)? {
            raise(utc);
        }
    }
    for listed in history.closed_last(LAST_CLOSED)? {
        if let Some(utc) = last_trusted_entry(history, &listed.row)? {
            raise(utc);
            break;
        }
    }
    Ok(latest)
}

/// How many closed rebuilds are looked through for one that ended on a trusted clock.
const LAST_CLOSED: u32 = 20;

fn last_trusted_entry(history: &History, row: &RebuildRow) -> Result<Option<String>, Fault> {
    for number in (1..=row.head).rev() {
        let Some(bytes) = history.entry(&row.stream, number)? else {
            continue;
        };
        let Ok(sealed) = Sealed::read(&bytes) else {
            continue;
        };
        if sealed.entry.clock == Clock::Trusted {
            return Ok(Some(sealed.entry.utc.clone()));
        }
    }
    Ok(None)
}
