//! A small invented site to act on, with the keys of its people.

#![allow(
    dead_code,
    unreachable_pub,
    clippy::needless_pass_by_value,
    clippy::unwrap_used,
    clippy::panic
)] // test code: each test file uses a part of it

use std::collections::BTreeMap;

use ed25519_dalek::SigningKey;
use reseat_measure::{Decimal, Quantity, Unit, Window};
use reseat_procedure::model::Role;
use reseat_record::log::{Clock, Hash, Id, Sealed, Stamp};
use reseat_record::refusal::Refusal;
use reseat_record::register::{
    Calibration, Command, Coverage, InstrumentKind, InstrumentSaid, PlacePoint, PlaceSaid,
    PointKind, ReadThrough, Register, Scale, UnitSaid, is_signed, with_site_signature,
};

pub const STREAM: Id = Id::from_bytes([1; 10]);
pub const HOME: Id = Id::from_bytes([2; 10]);
pub const SEFTON: Id = Id::from_bytes([11; 10]);
pub const FALK: Id = Id::from_bytes([12; 10]);
pub const BREL: Id = Id::from_bytes([13; 10]);
pub const QUIST: Id = Id::from_bytes([14; 10]);
pub const ODDE: Id = Id::from_bytes([15; 10]);

pub fn key(number: u8) -> SigningKey {
    SigningKey::from_bytes(&[number; 32])
}

pub fn public(number: u8) -> [u8; 32] {
    key(number).verifying_key().to_bytes()
}

pub fn site_key() -> SigningKey {
    key(99)
}

/// A register with its entries and the keys that people hold now.
pub struct Bench {
    pub register: Register,
    pub entries: Vec<Sealed>,
    pub keys: BTreeMap<Id, SigningKey>,
    pub demo: bool,
}

impl Bench {
    pub fn new() -> Self {
        Self {
            register: Register::empty(STREAM),
            entries: Vec::new(),
            keys: BTreeMap::new(),
            demo: false,
        }
    }

    pub fn demo() -> Self {
        Self {
            demo: true,
            ..Self::new()
        }
    }

    pub fn stamp(&self, by: Option<Id>) -> Stamp {
        let second = self.entries.len() % 60;
        let minute = self.entries.len() / 60;
        Stamp {
            home: HOME,
            by,
            utc: format!("2026-03-12T12:{minute:02}:{second:02}.000Z"),
            offset: "+01:00".into(),
            clock: Clock::Trusted,
            acted: None,
            demo: self.demo,
        }
    }

    /// Decides, seals and applies, as the program does.
    pub fn does(&mut self, command: Command, by: Option<Id>) -> Result<Sealed, Refusal> {
        let founding = matches!(command, Command::Found { .. });
        let mut entry = self.register.decide(command.clone(), &self.stamp(by))?;
        if founding {
            entry = with_site_signature(entry, &site_key()).unwrap();
        }
        let sealed = if is_signed(&entry.kind) {
            let key = entry.by.map_or_else(site_key, |by| {
                self.keys
                    .get(&by)
                    .cloned()
                    .unwrap_or_else(|| key(by.bytes()[0]))
            });
            entry.sign(&key).unwrap()
        } else {
            entry.seal().unwrap()
        };
        self.register.apply(&sealed).unwrap();
        self.entries.push(sealed.clone());
        match command {
            Command::Enrol {
                person,
                key: public,
                ..
            }
            | Command::ChangeKey {
                person,
                key: public,
                ..
            }
            | Command::TakeOnAgain {
                person,
                key: public,
                ..
            } => {
                let held = (0..=255)
                    .map(key)
                    .find(|key| key.verifying_key().to_bytes() == public)
                    .unwrap();
                self.keys.insert(person, held);
            }
            _ => {}
        }
        Ok(sealed)
    }

    pub fn refuses(&self, command: Command, by: Option<Id>) -> &'static str {
        self.register
            .decide(command, &self.stamp(by))
            .expect_err("refused")
            .code()
    }

    /// Founded by Sefton.
    pub fn founded() -> Self {
        let mut bench = Self::new();
        bench.does(found(), Some(SEFTON)).unwrap();
        bench
    }

    /// With people, a place holding a unit, a spare unit, an instrument and an approved procedure.
    pub fn whole() -> Self {
        let mut bench = Self::founded();
        let lead = Some(SEFTON);
        for command in [
            enrol(FALK, "Ines Falk", &[Role::Performer, Role::Verifier]),
            enrol(BREL, "Tomas Brel", &[Role::Author]),
            enrol(QUIST, "Yara Quist", &[Role::Approver, Role::Author]),
            Command::AddPlace(place("FV-3302")),
            Command::AddPlace(place("FV-3303")),
            Command::AddUnit(unit("TP-33-0417")),
            Command::AddUnit(unit("TP-33-0418")),
            Command::Fit {
                tag: "FV-3302".into(),
                serial: "TP-33-0417".into(),
            },
            Command::AddInstrument(wrench("TW-19", "88-2041")),
        ] {
            bench.does(command, lead).unwrap();
        }
        bench.does(approve("A"), Some(QUIST)).unwrap();
        bench
    }
}

pub fn found() -> Command {
    Command::Found {
        site: "Tern Point".into(),
        rule: "29 CFR 1910.147".into(),
        site_key: site_key().verifying_key().to_bytes(),
        lead: SEFTON,
        lead_name: "Mbali Sefton".into(),
        lead_key: public(SEFTON.bytes()[0]),
    }
}

/// Enrols a person whose key is made of the first byte of the identifier.
pub fn enrol(person: Id, name: &str, roles: &[Role]) -> Command {
    Command::Enrol {
        person,
        name: name.into(),
        roles: roles.iter().copied().collect(),
        key: public(person.bytes()[0]),
    }
}

pub fn place(tag: &str) -> PlaceSaid {
    PlaceSaid {
        tag: tag.into(),
        name: "brine reject control valve".into(),
        points: vec![PlacePoint {
            label: "V-3301".into(),
            energy: "brine, upstream".into(),
            kind: PointKind::Isolating,
            position: "shut".into(),
        }],
        redundant_with: None,
    }
}

pub fn unit(serial: &str) -> UnitSaid {
    UnitSaid {
        serial: serial.into(),
        model: "CV-50".into(),
        name: "brine reject control valve".into(),
    }
}

pub fn calibration() -> Calibration {
    Calibration {
        certificate: "C-1001".into(),
        calibrated: "2025-09-01".into(),
        due: "2026-09-01".into(),
        deviation: "4 % of reading".parse().unwrap(),
        uncertainty: Some(Quantity::parse("1.2 %").unwrap()),
        coverage: Some(Coverage(Decimal::parse("2").unwrap())),
    }
}

pub fn wrench(id: &str, serial: &str) -> InstrumentSaid {
    InstrumentSaid {
        id: id.into(),
        serial: serial.into(),
        kind: InstrumentKind::DialWrench,
        scale: Scale {
            unit: Unit::parse("N·m").unwrap(),
            reference: None,
        },
        range: Window::parse("40..200 N·m").unwrap(),
        usable: None,
        resolution: Quantity::parse("1 N·m").unwrap(),
        calibration: calibration(),
        day_check: false,
    }
}

pub fn approve(revision: &str) -> Command {
    Command::Approve {
        number: "P-33-A".into(),
        revision: revision.into(),
        sha256: Hash::of(revision.as_bytes()),
        author: BREL,
        walked_by: FALK,
        walked_on: "2026-03-01".into(),
        read: read_through(),
    }
}

/// What the approver read: all there is, nothing found.
pub fn read_through() -> ReadThrough {
    ReadThrough {
        routes: 1,
        pages: 170,
        of: 170,
        seconds: 2400,
        findings: Vec::new(),
        reason: None,
    }
}
