//! A rebuild on the invented Tern Point site, of FV-3302 where no other procedure is given, and a technician who answers
//! what is asked.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::needless_pass_by_value,
    dead_code,
    unreachable_pub
)] // test code: a failure is what the test shows

use std::collections::BTreeMap;

use ed25519_dalek::SigningKey;
use reseat_measure::joint::Condition;
use reseat_measure::{Quantity, Unit, Window};
use reseat_procedure::model::{Asked, Computation, Gap, Instrument, Leads, Role};
use reseat_procedure::{Choices, Procedure};
use reseat_record::log::{Clock, Hash, Id, Sealed, Stamp};
use reseat_record::rebuild::{Ask, Command, Inner, Point, Rebuild, Start, Wants, must_sign};
use reseat_record::refusal::Refusal;

use reseat_record::register::{
    self, Calibration, InstrumentKind, InstrumentSaid, PlaceSaid, Register, Scale, UnitSaid,
    is_signed, with_site_signature,
};

pub const FALK: Id = Id::from_bytes([12; 10]);
pub const ODDE: Id = Id::from_bytes([15; 10]);
pub const SEFTON: Id = Id::from_bytes([11; 10]);
pub const VRANG: Id = Id::from_bytes([16; 10]);
pub const BREL: Id = Id::from_bytes([13; 10]);
pub const QUIST: Id = Id::from_bytes([14; 10]);
const REGISTER: Id = Id::from_bytes([1; 10]);
const HOME: Id = Id::from_bytes([2; 10]);
const STREAM: Id = Id::from_bytes([3; 10]);
pub const SERIAL: &str = "TP-0388";
const PROCEDURE: &[u8] = include_bytes!("../../../../procedures/FV-3302.json");

pub fn key(person: Id) -> SigningKey {
    SigningKey::from_bytes(&[person.bytes()[0]; 32])
}

#[derive(Clone)]
/// The site, a clock that moves on by a second an entry, and one rebuild under work.
pub struct Site {
    pub register: Register,
    pub rebuild: Option<Rebuild>,
    pub entries: Vec<Sealed>,
    pub seconds: i64,
    pub clock: Clock,
    /// Offset of the laptop's zone.
    pub offset: &'static str,
    /// What is written for a permit.
    pub permit: &'static str,
    pub performer: Id,
    /// Values the technician reads instead of the middle of the window, by thing or `J1/6`.
    pub readings: BTreeMap<String, Vec<String>>,
    pub keys_pressed: usize,
    /// Every command given, by whom and when, refused ones too.
    pub commands: Vec<(Command, Id, i64)>,
    /// The procedure followed, and the options chosen.
    pub bytes: &'static [u8],
    pub choices: Choices,
    /// What was read last, by thing.
    last_read: BTreeMap<String, f64>,
}

/// What the approver read: all there is, nothing found.
pub fn read_through() -> register::ReadThrough {
    register::ReadThrough {
        routes: 1,
        pages: 170,
        of: 170,
        seconds: 2400,
        findings: Vec::new(),
        reason: None,
    }
}

pub fn procedure() -> Procedure {
    reseat_procedure::read(PROCEDURE).unwrap_or_else(|findings| panic!("{findings:#?}"))
}

/// An instrument with a certificate of its own, calibrated and due as the site's others are.
pub fn instrument(
    id: &str,
    kind: InstrumentKind,
    scale: Scale,
    range: &str,
    resolution: &str,
    deviation: &str,
) -> InstrumentSaid {
    InstrumentSaid {
        id: id.into(),
        serial: format!("S-{id}"),
        kind,
        scale,
        range: Window::parse(range).unwrap(),
        usable: None,
        resolution: Quantity::parse(resolution).unwrap(),
        calibration: Calibration {
            certificate: format!("C-{id}"),
            calibrated: "2025-12-01".into(),
            due: "2026-12-01".into(),
            deviation: deviation.parse().unwrap(),
            uncertainty: None,
            coverage: None,
        },
        day_check: false,
    }
}

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
fn instrument_of(
    procedure: &Procedure,
    written: &Instrument,
) -> (InstrumentKind, String, String, String) {
    use InstrumentKind as Kind;
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
    pub fn new() -> Self {
        Self::following(PROCEDURE, Choices::default())
    }

    /// The site before these instruments are put on its register.
    pub fn without(instruments: &[&str]) -> Self {
        Self::furnished(PROCEDURE, Choices::default(), instruments)
    }

    /// The site with another procedure, before these instruments are put on its register.
    pub fn followed_without(bytes: &'static [u8], instruments: &[&str]) -> Self {
        Self::furnished(bytes, Choices::default(), instruments)
    }

    /// The site with another procedure and these options.
    pub fn following(bytes: &'static [u8], choices: Choices) -> Self {
        Self::furnished(bytes, choices, &[])
    }

    fn furnished(bytes: &'static [u8], choices: Choices, left_out: &[&str]) -> Self {
        let mut site = Self {
            register: Register::empty(REGISTER),
            rebuild: None,
            entries: Vec::new(),
            commands: Vec::new(),
            seconds: 0,
            clock: Clock::Trusted,
            offset: "+01:00",
            permit: "4711, 24 h",
            performer: FALK,
            readings: BTreeMap::new(),
            keys_pressed: 0,
            bytes,
            choices,
            last_read: BTreeMap::new(),
        };
        site.found();
        site.furnish(left_out);
        site
    }

    fn followed(&self) -> Procedure {
        reseat_procedure::read(self.bytes).unwrap_or_else(|findings| panic!("{findings:#?}"))
    }

    pub fn stamp(&self, by: Id) -> Stamp {
        let start = chrono::DateTime::parse_from_rfc3339("2026-03-12T06:00:00.000Z").unwrap();
        let now = start + chrono::Duration::seconds(self.seconds);
        Stamp {
            home: HOME,
            by: Some(by),
            utc: now
                .with_timezone(&chrono::Utc)
                .to_rfc3339_opts(chrono::SecondsFormat::Millis, true),
            offset: self.offset.into(),
            clock: self.clock,
            acted: None,
            demo: false,
        }
    }

    pub fn keep(&mut self, command: register::Command, by: Id) {
        let founding = matches!(command, register::Command::Found { .. });
        let mut entry = self.register.decide(command, &self.stamp(by)).unwrap();
        if founding {
            entry = with_site_signature(entry, &SigningKey::from_bytes(&[99; 32])).unwrap();
        }
        let sealed = if is_signed(&entry.kind) {
            entry.sign(&key(by)).unwrap()
        } else {
            entry.seal().unwrap()
        };
        self.register.apply(&sealed).unwrap();
        self.seconds += 1;
    }

    fn found(&mut self) {
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

    fn furnish(&mut self, left_out: &[&str]) {
        use InstrumentKind as Kind;
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
        let tern_point = [
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
        if self.bytes == PROCEDURE {
            let there = tern_point
                .into_iter()
                .filter(|(id, ..)| !left_out.contains(id));
            for (id, kind, scale, range, resolution, deviation) in there {
                self.add_instrument(id, kind, scale, range, resolution, deviation);
            }
        } else {
            let named = &procedure.instruments;
            for instrument in named.iter().filter(|one| !left_out.contains(&&*one.id)) {
                let (kind, scale, range, resolution) = instrument_of(&procedure, instrument);
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

    fn add_instrument(
        &mut self,
        id: &str,
        kind: InstrumentKind,
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

    pub fn start_with() -> Start {
        Start {
            work_order: "4471".into(),
            tag: "FV-3302".into(),
            serial: SERIAL.into(),
            mismatch: None,
            unit: SERIAL.into(),
            procedure: Hash::of(PROCEDURE),
            choices: Choices::default(),
            kit_lot: "24-119".into(),
            performer: FALK,
        }
    }

    pub fn start(&mut self) {
        let entry = Rebuild::start(
            &self.register,
            &self.followed(),
            Hash::of(self.bytes),
            Start {
                procedure: Hash::of(self.bytes),
                choices: self.choices.clone(),
                ..Self::start_with()
            },
            STREAM,
            &self.stamp(FALK),
        )
        .unwrap();
        let sealed = entry.sign(&key(FALK)).unwrap();
        self.rebuild = Some(Rebuild::begin(self.followed(), &sealed).unwrap());
        self.entries.push(sealed);
        self.seconds += 20;
    }

    pub fn rebuild(&self) -> &Rebuild {
        self.rebuild.as_ref().unwrap()
    }

    pub fn ask(&self) -> Ask {
        self.rebuild()
            .ask(&self.register, &self.stamp(self.performer))
    }

    pub fn does(&mut self, command: Command, by: Id) -> Result<(), Refusal> {
        self.commands.push((command.clone(), by, self.seconds));
        let entry = self
            .rebuild()
            .decide(&self.register, command, &self.stamp(by))?;
        let sealed = if must_sign(&entry.kind) {
            entry.sign(&key(by)).unwrap()
        } else {
            entry.seal().unwrap()
        };
        self.rebuild.as_mut().unwrap().apply(&sealed);
        self.entries.push(sealed);
        self.seconds += 20;
        Ok(())
    }

    /// A refused command's code; an entry is a failure of the test.
    pub fn refused(&self, command: Command, by: Id) -> &'static str {
        match self
            .rebuild()
            .decide(&self.register, command.clone(), &self.stamp(by))
        {
            Ok(entry) => panic!("{command:?} gave {} {:?}", entry.kind, entry.body),
            Err(refusal) => refusal.code(),
        }
    }

    /// Keeps an entry decided elsewhere.
    pub fn keeps(&mut self, entry: reseat_record::log::Entry, by: Id) {
        let sealed = if must_sign(&entry.kind) {
            entry.sign(&key(by)).unwrap()
        } else {
            entry.seal().unwrap()
        };
        self.rebuild.as_mut().unwrap().apply(&sealed);
        self.entries.push(sealed);
        self.seconds += 20;
    }

    /// Replaying the entries gives the live state, and what is worked out in them comes out alike.
    pub fn restarts_alike(&self) {
        let replayed = Rebuild::replay(self.followed(), &self.entries).unwrap();
        assert!(replayed == *self.rebuild(), "replay differs");
        let findings = reseat_record::rebuild::recheck(replayed.procedure(), &self.entries);
        assert!(findings.is_empty(), "{findings:?}");
    }

    /// The program ends and starts again; the person opens the rebuild for work.
    pub fn restarts(&mut self, by: Id) {
        let replayed = Rebuild::replay(self.followed(), &self.entries).unwrap();
        assert!(replayed == *self.rebuild(), "replay differs");
        self.rebuild = Some(replayed);
        let entry = self
            .rebuild()
            .take_up(&self.register, &self.stamp(by))
            .unwrap();
        self.performer = by;
        self.keeps(entry, by);
    }

    /// Pauses, lets minutes go by, and the person takes the work up again.
    pub fn pauses(&mut self, minutes: i64, by: Id) {
        let before = self.performer;
        self.does(Command::Pause { by_itself: false }, before)
            .unwrap();
        self.seconds += minutes * 60;
        self.resumes(by);
    }

    /// Takes the work up after a pause, a stop or a handover.
    pub fn resumes(&mut self, by: Id) {
        assert_eq!(self.ask().point, Point::Resume);
        self.performer = by;
        let command = self.ask().answer(&by.to_string()).unwrap();
        self.does(command, by).unwrap();
    }

    /// The last entry's kind.
    pub fn last_kind(&self) -> String {
        self.entries.last().unwrap().entry.kind.clone()
    }

    /// A member of the last entry's body.
    pub fn last(&self, member: &str) -> serde_json::Value {
        let body = &self.entries.last().unwrap().entry.body;
        body.get(member).cloned().unwrap_or_default()
    }

    /// Id of the step asked about; empty where it is none.
    pub fn due(&self) -> String {
        self.ask().step.map(|step| step.id).unwrap_or_default()
    }

    /// Chooses the answer with this label.
    pub fn picks(&mut self, label: &str) {
        let ask = self.ask();
        let (before, labels): (&str, Vec<&str>) = match &ask.wants {
            Wants::Choice(labels) => ("", labels.iter().map(String::as_str).collect()),
            Wants::Fastener { instead, .. } => ("0", instead.to_vec()),
            _ => panic!("no choice: {ask:#?}"),
        };
        let number = labels
            .iter()
            .position(|known| known.contains(label))
            .unwrap_or_else(|| panic!("{label} is not among {labels:?}"))
            + 1;
        self.types(&format!("{before}{number}")).unwrap();
    }

    /// Goes on as a careful technician until the test says stop.
    pub fn goes_on(&mut self, stop: impl Fn(&Ask) -> bool) {
        for _ in 0..3000 {
            if stop(&self.ask()) {
                return;
            }
            assert!(self.step(), "ended: {:#?}", self.ask());
        }
        panic!("never came there: {:#?}", self.ask());
    }

    /// Proposes a decision on the finding asked about, and a person decides it.
    pub fn decides(&mut self, decision: &str, by: Id) {
        self.picks(decision);
        let command = self.ask().answer(&by.to_string()).unwrap();
        self.does(command, by).unwrap();
    }

    /// A site with the rebuild under work up to this step.
    pub fn at(step: &str) -> Self {
        let mut site = Self::new();
        site.start();
        site.until(step);
        site
    }

    /// Answers with a text, as screens and line mode do.
    pub fn types(&mut self, text: &str) -> Result<(), Refusal> {
        let command = self.ask().answer(text)?;
        let by = self.performer;
        self.does(command, by)
    }

    /// Answers what is asked as a careful technician would; false when nothing more is asked.
    pub fn step(&mut self) -> bool {
        let ask = self.ask();
        let (text, by) = match &ask.wants {
            Wants::Nothing => return false,
            Wants::Act => (String::new(), self.performer),
            Wants::Wait { over, .. } => {
                if !over {
                    self.seconds += 600;
                    return true;
                }
                (String::new(), self.performer)
            }
            Wants::Choice(labels) => (self.choose(&ask, labels).to_string(), self.performer),
            Wants::Fastener { next, .. } => (next.to_string(), self.performer),
            Wants::Reading { unit, window, .. } => {
                (self.reads(&ask, *unit, window.as_ref()), self.performer)
            }
            Wants::Count => (self.counts(&ask).to_string(), self.performer),
            Wants::Text => (self.writes(&ask), self.performer),
            Wants::Person(among) | Wants::Signature { among, .. } => {
                let person = among
                    .iter()
                    .map(|(id, _)| *id)
                    .find(|id| self.suits(&ask, *id))
                    .unwrap_or_else(|| panic!("nobody for {ask:#?}"));
                (
                    person.to_string(),
                    if matches!(ask.wants, Wants::Signature { .. }) {
                        person
                    } else {
                        self.performer
                    },
                )
            }
        };
        let command = ask
            .answer(&text)
            .unwrap_or_else(|refusal| panic!("{} {text:?} {ask:#?}", refusal.sentence()));
        self.does(command, by)
            .unwrap_or_else(|refusal| panic!("{} for {text:?} at {ask:#?}", refusal.sentence()));
        true
    }

    /// Words: the serial, a permit good for a day, the verifier's own lock, any number.
    fn writes(&self, ask: &Ask) -> String {
        match (&ask.point, self.asked(ask)) {
            (_, Some(Asked::Nameplate)) => "0388".into(),
            (
                _,
                Some(Asked::Text {
                    permit: Some(_), ..
                }),
            )
            | (Point::Permit(_), _) => self.permit.into(),
            (Point::Worker(_), _) => "1 421".into(),
            _ => "417".into(),
        }
    }

    fn suits(&self, ask: &Ask, id: Id) -> bool {
        match ask.point {
            Point::Resume => id == self.performer,
            _ => true,
        }
    }

    fn asked(&self, ask: &Ask) -> Option<Asked> {
        let (Point::Asked(step, index, _) | Point::VerifyAsked(step, index)) = &ask.point else {
            return None;
        };
        let rebuild = self.rebuild();
        rebuild
            .procedure()
            .sections
            .iter()
            .flat_map(|section| &section.steps)
            .find(|written| written.id == *step)?
            .asks
            .get(*index as usize)
            .cloned()
    }

    fn choose(&self, ask: &Ask, labels: &[String]) -> usize {
        let named = |wanted: &str| labels.iter().position(|label| label == wanted).unwrap_or(0) + 1;
        match (&ask.point, self.asked(ask)) {
            (Point::Observed, _) => {
                let rebuild = self.rebuild();
                (1..=labels.len())
                    .find(|number| {
                        let mut trial = rebuild.clone();
                        let command = ask.answer(&number.to_string()).unwrap();
                        let entry = rebuild
                            .decide(&self.register, command, &self.stamp(self.performer))
                            .unwrap();
                        let agrees = entry.body["agrees"] == true;
                        trial.apply(&entry.seal().unwrap());
                        agrees
                    })
                    .unwrap()
            }
            (_, Some(Asked::Choice { answers, .. })) => {
                answers
                    .iter()
                    .position(|answer| answer.leads == Leads::On)
                    .unwrap()
                    + 1
            }
            (_, Some(Asked::Orientation { right, .. })) => right + 1,
            (_, Some(Asked::Condition { joint })) => {
                let rebuild = self.rebuild();
                let joint = rebuild.procedure().joint(&joint, &self.choices).unwrap();
                named(Condition::parse(&joint.condition).unwrap().name())
            }
            (_, Some(Asked::Vent { .. })) => named("flowed and stopped"),
            (Point::Gate(_) | Point::LookAgain, _) | (_, Some(Asked::Zero { .. })) => {
                named("nothing came")
            }
            _ => 1,
        }
    }

    fn counts(&self, ask: &Ask) -> u64 {
        match self.asked(ask) {
            Some(Asked::Count {
                expected: Some(expected),
                ..
            }) => u64::from(expected),
            Some(Asked::Count { .. }) => 7,
            Some(Asked::Dispositions) => self
                .rebuild()
                .procedure()
                .parts_on(&self.choices)
                .filter(|part| part.single_use)
                .map(|part| u64::from(part.count))
                .sum(),
            _ => 0,
        }
    }

    fn reads(&mut self, ask: &Ask, unit: Unit, window: Option<&Window>) -> String {
        let name = match (&ask.point, self.asked(ask)) {
            (Point::Asked(_, _, Inner::Fastener(fastener, ..)), Some(Asked::Tighten { joint })) => {
                format!("{joint}/{fastener}")
            }
            (Point::Asked(_, _, Inner::Beside), Some(Asked::Reading(measured))) => {
                format!("{}/beside", measured.id)
            }
            (_, Some(Asked::Reading(measured))) => measured.id,
            (Point::Asked(_, _, Inner::Setting(_)), _) => "setting".into(),
            _ => String::new(),
        };
        if let Some(queue) = self.readings.get_mut(&name)
            && !queue.is_empty()
        {
            return queue.remove(0);
        }
        match name.as_str() {
            "setting" => {
                let Some(Asked::Tighten { joint }) = self.asked(ask) else {
                    panic!("a setting without a joint: {ask:#?}")
                };
                let rebuild = self.rebuild();
                let joint = rebuild.procedure().joint(&joint, &self.choices).unwrap();
                let target = joint.passes.last().unwrap().to_f64_in(unit).unwrap();
                return format!("{target}");
            }
            "bush-bore" if self.bytes == PROCEDURE => return "16.100".into(),
            "stem-in-bush" if self.bytes == PROCEDURE => return "15.960".into(),
            "shell-end" if self.bytes == PROCEDURE => return "69.8".into(),
            "leak-1" | "leak-2" | "leak-3" if self.bytes == PROCEDURE => return "40".into(),
            _ => {}
        }
        let value = |quantity: Quantity| quantity.to_f64_in(unit).unwrap();
        let limits = window.map(|window| (window.low().map(value), window.high().map(value)));
        let fine = limits.is_none_or(|(_, high)| high.is_some_and(|high| high.abs() < 10.0));
        let decimals = if fine && self.bytes != PROCEDURE {
            5
        } else {
            2
        };
        let read = match limits {
            Some((Some(low), Some(high))) => f64::midpoint(low, high),
            Some((None, Some(high))) => (high / 2.0).max(0.0),
            Some((Some(low), None)) => low,
            _ if self.bytes == PROCEDURE => return "0.05".into(),
            _ => self.towards_computed(&name, ask, unit),
        };
        self.last_read.insert(name, read);
        let text = format!("{read:.decimals$}");
        if decimals == 2 {
            text
        } else {
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        }
    }

    /// A reading without limits that makes what is worked out from it come out within its own.
    fn towards_computed(&self, name: &str, ask: &Ask, unit: Unit) -> f64 {
        let Point::Asked(step, ..) = &ask.point else {
            return 1.0;
        };
        let rebuild = self.rebuild();
        let sections = &rebuild.procedure().sections;
        let written = sections
            .iter()
            .flat_map(|section| &section.steps)
            .find(|written| written.id == *step)
            .unwrap();
        for asked in &written.asks {
            let Asked::Computed {
                from, how, window, ..
            } = asked
            else {
                continue;
            };
            if !from.iter().any(|reading| reading == name) {
                continue;
            }
            let value = |quantity: Quantity| quantity.to_f64_in(unit).unwrap();
            let high = value(window.high().unwrap());
            let low = window.low().map(value);
            let wanted = low.map_or(0.0, |low| f64::midpoint(low, high));
            return match (
                how,
                self.last_read.get(&from[0]),
                self.last_read.get(from.last().unwrap()),
            ) {
                (Computation::Mean, ..) => high / 2.0,
                (_, Some(first), None) => first - wanted,
                (_, None, Some(second)) => second + wanted,
                _ => 1.0,
            };
        }
        1.0
    }

    /// Answers until the step of this id is due, or to the end.
    pub fn until(&mut self, step: &str) {
        for _ in 0..3000 {
            // The verifier's own lock belongs before the step: the technician has it entered on the way.
            let ask = self.ask();
            if ask.step.is_some_and(|at| at.id == step) && !matches!(ask.point, Point::Worker(_)) {
                return;
            }
            if !self.step() {
                assert!(step.is_empty(), "ended before {step}");
                return;
            }
        }
        panic!("never came to {step}: {:#?}", self.ask());
    }
}
