//! The register of the site: people, the place and its unit, instruments, the approved procedure.

use ed25519_dalek::SigningKey;
use reseat_measure::Unit;
use reseat_procedure::Procedure;
use reseat_procedure::model::{Asked, Gap, Instrument, Role};
use reseat_record::log::Hash;
use reseat_record::register::{self, InstrumentKind as Kind, PlaceSaid, Scale, UnitSaid};

use super::{
    BREL, FALK, ODDE, PROCEDURE, QUIST, SEFTON, SERIAL, Site, VRANG, instrument, key, read_through,
};

/// An instrument of the site: name, kind, scale, range, resolution, deviation.
type Row = (
    &'static str,
    Kind,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

/// Instruments that FV-3302 names.
const TERN_POINT: [Row; 14] = [
    (
        "TW-11",
        Kind::ClickWrench,
        "N·m",
        "6..30 N·m",
        "0.5 N·m",
        "4 % of reading",
    ),
    (
        "TW-17",
        Kind::ElectronicWrench,
        "N·m",
        "10..100 N·m",
        "0.1 N·m",
        "4 % of reading",
    ),
    (
        "TW-19",
        Kind::DialWrench,
        "N·m",
        "40..200 N·m",
        "1 N·m",
        "4 % of reading",
    ),
    (
        "PG-7",
        Kind::PressureGauge,
        "bar g",
        "-1..10 bar g",
        "0.1 bar",
        "0.1 bar",
    ),
    (
        "PG-10",
        Kind::PressureGauge,
        "bar g",
        "-1..10 bar g",
        "0.01 bar",
        "0.01 bar",
    ),
    (
        "PG-12",
        Kind::PressureGauge,
        "bar g",
        "-1..160 bar g",
        "0.1 bar",
        "0.16 bar",
    ),
    (
        "PG-13",
        Kind::PressureGauge,
        "bar g",
        "-1..4 bar g",
        "0.001 bar",
        "0.004 bar",
    ),
    (
        "DG-1",
        Kind::DepthGauge,
        "mm",
        "-50..300 mm",
        "0.01 mm",
        "0.02 mm",
    ),
    (
        "MI-1",
        Kind::Micrometer,
        "mm",
        "0..25 mm",
        "0.001 mm",
        "0.003 mm",
    ),
    (
        "BG-1",
        Kind::BoreGauge,
        "mm",
        "10..30 mm",
        "0.001 mm",
        "0.003 mm",
    ),
    (
        "RC-1",
        Kind::DialIndicator,
        "mm",
        "0..1 mm",
        "0.001 mm",
        "0.002 mm",
    ),
    (
        "LS-1",
        Kind::LoupeScale,
        "mm",
        "0..10 mm",
        "0.01 mm",
        "0.01 mm",
    ),
    (
        "FG-1",
        Kind::FeelerGauge,
        "mm",
        "0..2 mm",
        "0.01 mm",
        "0.01 mm",
    ),
    (
        "MC-1",
        Kind::MeasuringCylinder,
        "mL/min",
        "0..250 mL/min",
        "1 mL/min",
        "2 mL/min",
    ),
];

/// The unit in which a procedure reads an instrument.
fn read_in(procedure: &Procedure, id: &str) -> Option<Unit> {
    let by_step = procedure
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .flat_map(|step| &step.asks)
        .find_map(|asked| match asked {
            Asked::Reading(measured) if measured.instruments.iter().any(|name| name == id) => {
                Some(measured.unit)
            }
            _ => None,
        });
    let by_gap = || {
        procedure.joints.iter().find_map(|joint| match &joint.gap {
            Some(Gap::Spread { limit, instrument }) if instrument == id => Some(limit.unit()),
            Some(Gap::Closed { feeler, instrument }) if instrument == id => Some(feeler.unit()),
            _ => None,
        })
    };
    by_step.or_else(by_gap)
}

/// Kind, scale, range and resolution of an instrument as its procedure uses it.
fn instrument_of(procedure: &Procedure, written: &Instrument) -> (Kind, String, String, String) {
    let kind = match (
        written.id.split('-').next(),
        written.label.split(' ').next(),
    ) {
        (Some("TW"), Some("click")) => Kind::ClickWrench,
        (Some("TW"), Some("dial")) => Kind::DialWrench,
        (Some("TW"), _) => Kind::ElectronicWrench,
        (Some("PG"), _) => Kind::PressureGauge,
        (Some("CA"), _) => Kind::Caliper,
        (Some("DG"), _) => Kind::DepthGauge,
        (Some("MI"), _) => Kind::Micrometer,
        (Some("BG"), _) => Kind::BoreGauge,
        (Some("RC"), _) => Kind::DialIndicator,
        (Some("LS"), _) => Kind::LoupeScale,
        (Some("FG" | "GB"), _) => Kind::FeelerGauge,
        (Some("MC"), _) => Kind::MeasuringCylinder,
        (Some("FM"), _) => Kind::FlowMeter,
        (Some("CM" | "OM"), _) => Kind::GasMonitor,
        _ => Kind::Thermometer,
    };
    let range = written.range.map(|range| range.to_string());
    let wrench_or_gauge = kind.is_wrench() || kind == Kind::PressureGauge;
    if let (true, Some(range)) = (wrench_or_gauge, range) {
        let (numbers, scale) = range.split_once(' ').unwrap();
        let numbers = if kind == Kind::PressureGauge {
            format!("-1{}", &numbers[1..])
        } else {
            numbers.to_owned()
        };
        let resolution = format!("0.01 {}", scale.trim_end_matches(" g"));
        return (
            kind,
            scale.to_owned(),
            format!("{numbers} {scale}"),
            resolution,
        );
    }
    let unit = read_in(procedure, &written.id)
        .or_else(|| written.error.map(|error| error.unit()))
        .or_else(|| written.range.map(|range| range.unit()))
        .unwrap_or(Unit::Millimetre)
        .symbol();
    let least = if kind == Kind::MeasuringCylinder || kind == Kind::GasMonitor {
        "0"
    } else {
        "-100"
    };
    (
        kind,
        unit.to_owned(),
        format!("{least}..1000 {unit}"),
        format!("0.0001 {unit}"),
    )
}

impl Site {
    pub(super) fn found(&mut self) {
        let found = register::Command::Found {
            site: "Tern Point".into(),
            rule: "29 CFR 1910.147".into(),
            site_key: SigningKey::from_bytes(&[99; 32]).verifying_key().to_bytes(),
            lead: SEFTON,
            lead_name: "Mbali Sefton".into(),
            lead_key: key(SEFTON).verifying_key().to_bytes(),
        };
        self.keep(found, SEFTON);
        self.keep(
            register::Command::GiveRoles {
                person: SEFTON,
                roles: [Role::Lead, Role::Releaser, Role::Verifier].into(),
            },
            SEFTON,
        );
        for (person, name, roles) in [
            (FALK, "Ines Falk", &[Role::Performer, Role::Verifier][..]),
            (ODDE, "Rurik Odde", &[Role::Performer, Role::Verifier]),
            (VRANG, "Piet Vrang", &[Role::Operations]),
            (BREL, "Tomas Brel", &[Role::Author]),
            (QUIST, "Yara Quist", &[Role::Approver]),
        ] {
            self.keep(
                register::Command::Enrol {
                    person,
                    name: name.into(),
                    roles: roles.iter().copied().collect(),
                    key: key(person).verifying_key().to_bytes(),
                },
                SEFTON,
            );
        }
    }

    pub(super) fn furnish(&mut self, left_out: &[&str]) {
        let procedure = self.followed();
        let place = PlaceSaid {
            tag: "FV-3302".into(),
            name: "brine reject control valve".into(),
            points: Vec::new(),
            redundant_with: None,
        };
        self.keep(register::Command::AddPlace(place), SEFTON);
        let unit = UnitSaid {
            serial: SERIAL.into(),
            model: procedure.models[0].clone(),
            name: "brine reject control valve".into(),
        };
        self.keep(register::Command::AddUnit(unit), SEFTON);
        self.keep(
            register::Command::Fit {
                tag: "FV-3302".into(),
                serial: SERIAL.into(),
            },
            SEFTON,
        );
        self.equip(&procedure, left_out);
        self.keep(
            register::Command::Approve {
                number: procedure.number.clone(),
                revision: procedure.revision.clone(),
                sha256: Hash::of(self.bytes),
                author: BREL,
                walked_by: ODDE,
                walked_on: "2026-03-01".into(),
                read: read_through(),
            },
            QUIST,
        );
    }

    /// Puts the instruments of the procedure on the register, but for these.
    fn equip(&mut self, procedure: &Procedure, left_out: &[&str]) {
        if self.bytes == PROCEDURE {
            let there = TERN_POINT
                .into_iter()
                .filter(|(id, ..)| !left_out.contains(id));
            for (id, kind, scale, range, resolution, deviation) in there {
                self.add_instrument(id, kind, scale, range, resolution, deviation);
            }
        } else {
            let named = &procedure.instruments;
            for instrument in named.iter().filter(|one| !left_out.contains(&&*one.id)) {
                let (kind, scale, range, resolution) = instrument_of(procedure, instrument);
                // As wrong as its procedure says (a cylinder and watch per minute); a wrench by ISO 6789, feelers by a mark.
                let unit = reseat_measure::parse_scale(&scale).unwrap().0;
                let deviation = match instrument.error {
                    _ if kind.is_wrench() => "4 % of reading".to_owned(),
                    Some(error) if error.dimension() == unit.dimension() => error.to_string(),
                    Some(error) => format!("{} {}", error.decimal(), unit.symbol()),
                    None => resolution.clone(),
                };
                self.add_instrument(
                    &instrument.id,
                    kind,
                    &scale,
                    &range,
                    &resolution,
                    &deviation,
                );
            }
        }
    }

    fn add_instrument(
        &mut self,
        id: &str,
        kind: Kind,
        scale: &str,
        range: &str,
        resolution: &str,
        deviation: &str,
    ) {
        let (unit, reference) = reseat_measure::parse_scale(scale).unwrap();
        let scale = Scale { unit, reference };
        let said = instrument(id, kind, scale, range, resolution, deviation);
        self.keep(register::Command::AddInstrument(said), SEFTON);
    }
}
