//! The demo: an invented site with people, units, instruments, two years of past rebuilds, and one left in the middle.
//!
//! Nothing of it is written by hand. The site is founded and furnished as any other; the rebuilds are worked through by a
//! [`robot`] that answers every question they ask, under a clock moved by hand. Every entry 1 says that it is a demo's.

pub mod chance;
mod past;
pub mod rehearsal;
pub mod robot;
mod tern_point;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use reseat_measure::{Quantity, Window, parse_scale};
use reseat_procedure::Reading;
use reseat_record::log::Id;
use reseat_record::register::{
    Calibration, Command, InstrumentSaid, PlacePoint, PlaceSaid, PointKind, Scale, UnitSaid,
};
use zeroize::Zeroizing;

use crate::desk::{
    Approving, Desk, Enrolment, Fault, Founding, HomeFault, PagesRead, SetTime, SystemTime, Time,
    Wall,
};
pub use tern_point::ORDINARY;
use tern_point::{INSTRUMENTS, LEAD, PEOPLE, PROCEDURE, PersonSaid, RULE, SITE, UNITS};

/// Sites a demo can be made of, by the name the command line takes.
pub const SITES: [&str; 1] = [tern_point::SLUG];

/// A person of a demo, with what opens his key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DemoPerson {
    /// Name.
    pub name: &'static str,
    /// Roles, in words.
    pub roles: String,
    /// Passphrase.
    pub passphrase: &'static str,
    /// PIN.
    pub pin: &'static str,
}

/// The people of a demo site, the lead first.
pub fn people() -> Vec<DemoPerson> {
    let told = |said: &PersonSaid| DemoPerson {
        name: said.name,
        roles: said
            .roles
            .iter()
            .map(|role| role.word())
            .collect::<Vec<_>>()
            .join(", "),
        passphrase: said.passphrase,
        pin: said.pin,
    };
    std::iter::once(&LEAD).chain(&PEOPLE).map(told).collect()
}

/// Whether a demo stands in this folder, to be taken up again.
///
/// # Errors
/// [`HomeFault::NotADemo`] where something else stands there; storage faults.
pub fn stands(root: &Path) -> Result<bool, Fault> {
    if Desk::is_founded(root)? {
        let demo = Desk::is_demo_home(root)?;
        return if demo {
            Ok(true)
        } else {
            Err(HomeFault::NotADemo {
                path: root.to_path_buf(),
            }
            .into())
        };
    }
    let empty = match fs::read_dir(root) {
        Ok(mut entries) => entries.next().is_none(),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => true,
        Err(error) => return Err(folder_fault(root, &error)),
    };
    if empty {
        Ok(false)
    } else {
        Err(HomeFault::NotADemo {
            path: root.to_path_buf(),
        }
        .into())
    }
}

/// Takes a demo away. Only what a home is made of is removed, and only where a demo stands.
///
/// # Errors
/// As [`stands`]; a folder that cannot be changed.
pub fn clear(root: &Path) -> Result<(), Fault> {
    if !stands(root)? {
        return Ok(());
    }
    let failed = |error: std::io::Error| folder_fault(root, &error);
    for name in ["history.db-wal", "history.db-shm", "history.db"] {
        match fs::remove_file(root.join(name)) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(failed(error));
            }
            _ => {}
        }
    }
    match fs::remove_dir_all(root.join("locks")) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(failed(error)),
        _ => Ok(()),
    }
}

/// Makes the demo in a folder that is empty or not there, as of now.
///
/// It is made beside its place and moved there when it is whole, so that one cut short is never taken for a demo.
///
/// # Errors
/// A folder that cannot be made; storage faults.
pub fn make(root: &Path, now: Wall) -> Result<(), Fault> {
    let beside = beside(root)?;
    let made = making(&beside, now);
    if let Err(fault) = made {
        // What is left of it is of no use to anyone; the fault that matters is the first.
        let _ = fs::remove_dir_all(&beside);
        return Err(fault);
    }
    fs::rename(&beside, root).map_err(|error| folder_fault(root, &error))
}

fn beside(root: &Path) -> Result<PathBuf, Fault> {
    let parent = root.parent().ok_or_else(|| HomeFault::NotADemo {
        path: root.to_path_buf(),
    })?;
    fs::create_dir_all(parent).map_err(|error| folder_fault(parent, &error))?;
    let name = root.file_name().unwrap_or_default().to_string_lossy();
    Ok(parent.join(format!(".{name}-making-{}", std::process::id())))
}

fn folder_fault(path: &Path, error: &std::io::Error) -> Fault {
    HomeFault::Folder {
        path: path.to_path_buf(),
        why: error.to_string(),
    }
    .into()
}

fn making(root: &Path, now: Wall) -> Result<(), Fault> {
    let mut maker = Maker::found(root, now)?;
    maker.furnish()?;
    past::work(&mut maker)?;
    maker.desk.settle()
}

/// The time now, for a demo's making: the machine's, with UTC where its zone cannot be read.
pub fn now(time: &dyn Time) -> Wall {
    let wall = time.wall();
    Wall {
        offset_minutes: wall.offset_minutes.or(Some(0)),
        ..wall
    }
}

/// A demo that is being made: the open home, its clock in the maker's hand, and everybody's PIN.
struct Maker {
    desk: Desk,
    time: SetTime,
    now: Wall,
    pins: BTreeMap<Id, String>,
    lead: Id,
}

/// Days before the demo's first day on which the site was founded.
const FOUNDED_DAYS: i64 = 735;
const DAY_MS: i64 = 86_400_000;

impl Maker {
    fn found(root: &Path, now: Wall) -> Result<Self, Fault> {
        let time = SetTime::standing(Wall {
            utc_ms: morning(now, FOUNDED_DAYS),
            ..now
        });
        let founding = Founding {
            site: SITE.into(),
            rule: RULE.into(),
            lead_name: LEAD.name.into(),
            passphrase: Zeroizing::new(LEAD.passphrase.into()),
            pin: Zeroizing::new(LEAD.pin.into()),
        };
        let (desk, _words) = Desk::found_demo(root, &founding, Box::new(time.clone()))?;
        let lead = desk.register().people().next().map(|person| person.id);
        let lead = lead.ok_or_else(|| Fault::NotFounded {
            root: root.to_path_buf(),
        })?;
        Ok(Self {
            desk,
            time,
            now,
            pins: BTreeMap::from([(lead, LEAD.pin.to_owned())]),
            lead,
        })
    }

    /// One change of the register, with the PIN before it and half a minute after it.
    fn change(&mut self, command: Command, by: Id) -> Result<(), Fault> {
        self.pin(by)?;
        self.desk.change(command, &by)?;
        self.time.pass(Duration::from_secs(30));
        Ok(())
    }

    fn pin(&mut self, by: Id) -> Result<(), Fault> {
        let pin = self.pins.get(&by).cloned().unwrap_or_default();
        self.desk.check_pin(&by, &pin)
    }

    /// Moves the clock on to an instant, everybody staying, and has the lead agree with it or give it.
    fn go_to(&mut self, utc_ms: i64) -> Result<(), Fault> {
        let ahead = utc_ms - self.time.wall().utc_ms;
        self.time
            .pass(Duration::from_millis(u64::try_from(ahead).unwrap_or(0)));
        self.desk.stay();
        let Some(doubt) = self.desk.clock().doubt() else {
            return Ok(());
        };
        if doubt.agreeing_is_enough() {
            return self.desk.agree_clock(&self.lead);
        }
        let typed = self.desk.clock().local_text();
        self.desk.give_clock(&typed, &self.lead)
    }

    fn person(&self, name: &str) -> Result<Id, Fault> {
        let person = self
            .desk
            .register()
            .person_named(name)
            .map(|person| person.id);
        person.ok_or_else(|| reseat_record::refusal::Refusal::NoPerson {}.into())
    }

    fn furnish(&mut self) -> Result<(), Fault> {
        self.desk.agree_clock(&self.lead)?;
        let roles = LEAD.roles.iter().copied().collect();
        self.change(
            Command::GiveRoles {
                person: self.lead,
                roles,
            },
            self.lead,
        )?;
        for said in &PEOPLE {
            self.pin(self.lead)?;
            let enrolment = Enrolment {
                name: said.name.into(),
                roles: said.roles.iter().copied().collect(),
                passphrase: Zeroizing::new(said.passphrase.into()),
                pin: Zeroizing::new(said.pin.into()),
            };
            let id = self.desk.enrol(&enrolment, &self.lead)?;
            self.desk.unseal(&id, said.passphrase)?;
            self.pins.insert(id, said.pin.to_owned());
            self.time.pass(Duration::from_mins(3));
        }
        for (tag, serial, name, model) in UNITS {
            let place = PlaceSaid {
                tag: tag.into(),
                name: name.into(),
                points: own_points(tag),
                redundant_with: None,
            };
            self.change(Command::AddPlace(place), self.lead)?;
            let unit = UnitSaid {
                serial: serial.into(),
                model: model.into(),
                name: name.into(),
            };
            self.change(Command::AddUnit(unit), self.lead)?;
            self.change(
                Command::Fit {
                    tag: tag.into(),
                    serial: serial.into(),
                },
                self.lead,
            )?;
        }
        for row in INSTRUMENTS {
            let said = self.instrument(&row)?;
            self.change(Command::AddInstrument(said), self.lead)?;
        }
        self.approve()
    }

    fn instrument(&self, row: &tern_point::InstrumentRow) -> Result<InstrumentSaid, Fault> {
        let (id, kind, scale, range, resolution, deviation, _) = *row;
        let unwritten = |what: &str| Fault::Procedure {
            why: format!("The demo's {id} has no {what}."),
        };
        let (unit, reference) = parse_scale(scale).map_err(|_| unwritten("scale"))?;
        Ok(InstrumentSaid {
            id: id.into(),
            serial: format!("TPD-{id}"),
            kind,
            scale: Scale { unit, reference },
            range: Window::parse(range).map_err(|_| unwritten("range"))?,
            usable: None,
            resolution: Quantity::parse(resolution).map_err(|_| unwritten("resolution"))?,
            calibration: Calibration {
                certificate: format!("{id}/{}", &self.desk.clock().day()[..7]),
                calibrated: self.day(-20),
                due: self.day(345),
                deviation: deviation.parse().map_err(|_| unwritten("deviation"))?,
                uncertainty: None,
                coverage: None,
            },
            day_check: false,
        })
    }

    fn approve(&mut self) -> Result<(), Fault> {
        let [author, approver, walked_by] = [
            self.person("Tomas Brel")?,
            self.person("Yara Quist")?,
            self.person("Rurik Odde")?,
        ];
        let bytes = procedure()?.to_vec();
        let approving = Approving {
            read: read_whole(&bytes)?,
            bytes,
            author,
            walked_by,
            walked_on: self.day(-2),
        };
        self.pin(approver)?;
        self.desk.approve(&approving, &approver)?;
        Ok(())
    }

    /// The local day, this many days from the one it is.
    fn day(&self, days: i64) -> String {
        let wall = self.time.wall();
        let other = SetTime::standing(Wall {
            utc_ms: wall.utc_ms + days * DAY_MS,
            ..wall
        });
        crate::desk::HomeClock::start(Box::new(other)).day()
    }
}

/// Exact bytes of the procedure the demo's rebuilds run on.
fn procedure() -> Result<&'static [u8], Fault> {
    let shipped = reseat_procedure::builtin()
        .iter()
        .find(|(name, _)| *name == PROCEDURE);
    shipped
        .map(|(_, bytes)| *bytes)
        .ok_or_else(|| Fault::NoProcedure {
            what: PROCEDURE.to_owned(),
        })
}

/// Five past six in the morning, local, this many days before today.
fn morning(now: Wall, days_ago: i64) -> i64 {
    let offset_ms = i64::from(now.offset_minutes.unwrap_or(0)) * 60_000;
    let local_midnight = (now.utc_ms + offset_ms).div_euclid(DAY_MS) * DAY_MS;
    local_midnight - days_ago * DAY_MS + 6 * 3_600_000 + 5 * 60_000 - offset_ms
}

/// The machine's clock, for a demo's making.
pub fn machine_now() -> Wall {
    now(&SystemTime::new())
}

/// The invented approver's reading of the whole text, at some fifteen seconds a page.
fn read_whole(bytes: &[u8]) -> Result<PagesRead, Fault> {
    let mut reading = Reading::of(bytes).map_err(|findings| Fault::Procedure {
        why: findings
            .first()
            .map(|first| first.message.clone())
            .unwrap_or_default(),
    })?;
    for route in 0..reading.routes().len() {
        for page in reading.pages(route) {
            reading.see(&page);
        }
    }
    let seconds = 15 * reading.read_of().0 as u64;
    Ok(PagesRead::of(&reading, seconds, None))
}

/// The place's own isolating and drain points, as the procedure shipped for it names them.
fn own_points(tag: &str) -> Vec<PlacePoint> {
    let name = format!("{tag}.json");
    let procedure = reseat_procedure::builtin()
        .iter()
        .find(|(shipped, _)| *shipped == name)
        .and_then(|(_, bytes)| reseat_procedure::read(bytes).ok());
    let Some(procedure) = procedure else {
        return Vec::new();
    };
    procedure
        .points
        .iter()
        .map(|point| PlacePoint {
            label: point.label.clone(),
            energy: procedure
                .energies
                .iter()
                .find(|energy| energy.id == point.energy)
                .map_or_else(|| point.energy.clone(), |energy| energy.label.clone()),
            kind: match point.kind {
                reseat_procedure::model::PointKind::Isolating => PointKind::Isolating,
                reseat_procedure::model::PointKind::Drain => PointKind::Drain,
            },
            position: point.position.clone(),
        })
        .collect()
}
