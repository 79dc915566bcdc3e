//! Tern Point, an invented desalination plant: its people, places, units and instruments.

use reseat_procedure::model::Role;
use reseat_record::register::InstrumentKind as Kind;

/// Name of the site.
pub(super) const SITE: &str = "Tern Point";
/// The lockout rule it follows.
pub(super) const RULE: &str = "29 CFR 1910.147";
/// Its folder's name, and the name `--site` takes.
pub(super) const SLUG: &str = "tern-point";
/// The shipped procedure approved there.
pub(super) const PROCEDURE: &str = "FV-3302.json";
/// Tag and serial of the unit that was rebuilt.
pub(super) const REBUILT: (&str, &str) = ("FV-3302", "TP-0388");

/// A person with what the demo tells of him. The passphrases stand in the open: nothing of a demo can pass for real.
pub(super) struct PersonSaid {
    pub(super) name: &'static str,
    pub(super) roles: &'static [Role],
    pub(super) passphrase: &'static str,
    pub(super) pin: &'static str,
}

/// The lead, who founds the site.
pub(super) const LEAD: PersonSaid = PersonSaid {
    name: "Mbali Sefton",
    roles: &[Role::Lead, Role::Releaser, Role::Verifier],
    passphrase: "tern lead hand",
    pin: "240600",
};

/// Everybody else.
pub(super) const PEOPLE: [PersonSaid; 5] = [
    PersonSaid {
        name: "Ines Falk",
        roles: &[Role::Performer, Role::Verifier],
        passphrase: "tern day shift",
        pin: "240601",
    },
    PersonSaid {
        name: "Rurik Odde",
        roles: &[Role::Performer, Role::Verifier],
        passphrase: "tern late shift",
        pin: "240602",
    },
    PersonSaid {
        name: "Piet Vrang",
        roles: &[Role::Operations],
        passphrase: "tern control room",
        pin: "240603",
    },
    PersonSaid {
        name: "Tomas Brel",
        roles: &[Role::Author],
        passphrase: "tern writes it",
        pin: "240604",
    },
    PersonSaid {
        name: "Yara Quist",
        roles: &[Role::Approver],
        passphrase: "tern approves it",
        pin: "240605",
    },
];

/// Places with the unit in each: tag, serial, name, model.
pub(super) const UNITS: [(&str, &str, &str, &str); 3] = [
    (
        "PCV-2107",
        "TP-0417",
        "permeate flush regulator",
        "DN25 regulator, 10 to 3.5 bar",
    ),
    (
        "FV-3302",
        "TP-0388",
        "brine reject control valve",
        "DN50 globe, Kv 25, air-to-shut",
    ),
    (
        "PSV-2115",
        "TP-0502",
        "relief valve",
        "DN20 relief valve, air, 6.0 bar",
    ),
];

/// An instrument: name, kind, scale, range, resolution, deviation, days from the demo's first day to its due date.
pub(super) type InstrumentRow = (
    &'static str,
    Kind,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    i64,
);

/// Wrenches and gauges. Indicating gauges and the depth gauge read a little below zero, where their zero is looked at.
pub(super) const INSTRUMENTS: [InstrumentRow; 18] = [
    (
        "TW-11",
        Kind::ClickWrench,
        "N·m",
        "6..30 N·m",
        "0.5 N·m",
        "4 % of reading",
        170,
    ),
    (
        "TW-14",
        Kind::ClickWrench,
        "N·m",
        "20..100 N·m",
        "1 N·m",
        "4 % of reading",
        125,
    ),
    (
        "TW-16",
        Kind::ElectronicWrench,
        "N·m",
        "3..30 N·m",
        "0.1 N·m",
        "4 % of reading",
        240,
    ),
    (
        "TW-17",
        Kind::ElectronicWrench,
        "N·m",
        "10..100 N·m",
        "0.1 N·m",
        "4 % of reading",
        240,
    ),
    (
        "TW-19",
        Kind::DialWrench,
        "N·m",
        "40..200 N·m",
        "1 N·m",
        "4 % of reading",
        37,
    ),
    (
        "PG-7",
        Kind::PressureGauge,
        "bar g",
        "-1..10 bar g",
        "0.1 bar",
        "0.1 bar",
        200,
    ),
    (
        "PG-9",
        Kind::PressureGauge,
        "bar g",
        "-1..25 bar g",
        "0.05 bar",
        "0.05 bar",
        200,
    ),
    (
        "PG-10",
        Kind::PressureGauge,
        "bar g",
        "-1..10 bar g",
        "0.01 bar",
        "0.01 bar",
        200,
    ),
    (
        "PG-12",
        Kind::PressureGauge,
        "bar g",
        "-1..160 bar g",
        "0.1 bar",
        "0.16 bar",
        200,
    ),
    (
        "PG-13",
        Kind::PressureGauge,
        "bar g",
        "-1..4 bar g",
        "0.001 bar",
        "0.004 bar",
        200,
    ),
    (
        "DG-1",
        Kind::DepthGauge,
        "mm",
        "-50..300 mm",
        "0.01 mm",
        "0.02 mm",
        200,
    ),
    (
        "CA-1",
        Kind::Caliper,
        "mm",
        "0..150 mm",
        "0.01 mm",
        "0.03 mm",
        200,
    ),
    (
        "MI-1",
        Kind::Micrometer,
        "mm",
        "0..25 mm",
        "0.001 mm",
        "0.003 mm",
        200,
    ),
    (
        "BG-1",
        Kind::BoreGauge,
        "mm",
        "10..30 mm",
        "0.001 mm",
        "0.003 mm",
        200,
    ),
    (
        "RC-1",
        Kind::DialIndicator,
        "mm",
        "0..1 mm",
        "0.001 mm",
        "0.002 mm",
        200,
    ),
    (
        "LS-1",
        Kind::LoupeScale,
        "mm",
        "0..10 mm",
        "0.01 mm",
        "0.01 mm",
        200,
    ),
    (
        "FG-1",
        Kind::FeelerGauge,
        "mm",
        "0..2 mm",
        "0.01 mm",
        "0.01 mm",
        200,
    ),
    (
        "MC-1",
        Kind::MeasuringCylinder,
        "mL/min",
        "0..250 mL/min",
        "1 mL/min",
        "2 mL/min",
        200,
    ),
];

/// Ordinary values of things without a window, and what is written where words are asked.
pub const ORDINARY: [(&str, &str); 10] = [
    ("permit", "PTW 3302, 24 h"),
    ("kit-count", "V-rings 2418, gaskets 2407, bush 2399"),
    ("found-leak", "no tapping between the valve and V-3303"),
    (
        "open-item",
        "gland and J1 to be looked at after 1 h at 64 bar",
    ),
    ("gland-drops", "1"),
    ("count-threads", "11"),
    ("found-signal", "1.2"),
    ("bush-bore", "16.1"),
    ("shell-end", "69.8"),
    ("verify-coupling", "11"),
];
