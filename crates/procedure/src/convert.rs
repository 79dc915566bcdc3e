//! From the wire types to the model: quantities and windows read, every name found, all findings at once.

use std::collections::BTreeSet;

use reseat_measure::{Quantity, QuantityError, Unit, Window};

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model;
use crate::names::{Kind, Names, twice, unknown};
use crate::read::MOST_FINDINGS;
use crate::source::escaped;
use crate::wire;

/// Turns a well-shaped text into a procedure, or says what does not hold together.
pub(crate) fn procedure(wire: &wire::Procedure) -> Result<model::Procedure, Vec<Finding>> {
    let mut findings = Vec::new();
    let names = Names::collect(wire, &mut findings);
    let mut convert = Convert {
        names,
        findings,
        pointer: String::new(),
        measured: BTreeSet::new(),
        steps: BTreeSet::new(),
    };
    let made = convert.procedure(wire);
    match made {
        Some(procedure) if convert.findings.is_empty() => Ok(procedure),
        _ => Err(convert.findings),
    }
}

pub(crate) struct Convert<'w> {
    pub(crate) names: Names<'w>,
    findings: Vec<Finding>,
    pointer: String,
    /// Names of readings and computed values met so far.
    pub(crate) measured: BTreeSet<String>,
    steps: BTreeSet<String>,
}

impl<'w> Convert<'w> {
    /// Works below a member or an element.
    pub(crate) fn at<T>(&mut self, segment: &str, work: impl FnOnce(&mut Self) -> T) -> T {
        let length = self.pointer.len();
        self.pointer.push('/');
        self.pointer.push_str(&escaped(segment));
        let made = work(self);
        self.pointer.truncate(length);
        made
    }

    /// Works through a list, every element, whatever becomes of its neighbours.
    pub(crate) fn each<W, T>(
        &mut self,
        member: &str,
        items: &'w [W],
        mut work: impl FnMut(&mut Self, &'w W) -> Option<T>,
    ) -> Option<Vec<T>> {
        self.at(member, |convert| {
            let made: Vec<Option<T>> = items
                .iter()
                .enumerate()
                .map(|(index, item)| convert.at(&index.to_string(), |convert| work(convert, item)))
                .collect();
            made.into_iter().collect()
        })
    }

    pub(crate) fn report(&mut self, code: &'static str, message: String, remedy: &str) {
        self.findings.push(Finding::new(
            code,
            Severity::Error,
            self.pointer.clone(),
            message,
            remedy,
        ));
    }

    pub(crate) fn quantity(&mut self, member: &str, text: &str) -> Option<Quantity> {
        self.measure(
            member,
            text,
            codes::BAD_QUANTITY,
            "Write it as number, one space and unit, such as \"40 N·m\" or \"70 bar g\".",
            Quantity::parse,
        )
    }

    pub(crate) fn window(&mut self, member: &str, text: &str) -> Option<Window> {
        self.measure(member, text, codes::BAD_WINDOW, "Write it as low, two dots, high, one space and unit, such as \"115..130 N·m\" or \"..0.05 mm\".", Window::parse)
    }

    pub(crate) fn unit(&mut self, member: &str, text: &str) -> Option<Unit> {
        self.measure(
            member,
            text,
            codes::BAD_UNIT,
            "Write a unit of the table, such as \"mm\", \"bar\" or \"N·m\".",
            Unit::parse,
        )
    }

    fn measure<T>(
        &mut self,
        member: &str,
        text: &str,
        code: &'static str,
        remedy: &str,
        parse: impl FnOnce(&str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        match parse(text) {
            Ok(value) => Some(value),
            Err(error) => {
                // Most errors name the text themselves.
                let (said, shown) = (error.to_string(), crate::shape::shown(text));
                let message = if said.contains(&*shown) {
                    said
                } else {
                    format!("\u{201c}{shown}\u{201d}: {said}")
                };
                let end = if message.ends_with('?') { "" } else { "." };
                let message = message + end;
                self.at(member, |convert| convert.report(code, message, remedy));
                None
            }
        }
    }

    /// A name of one of these kinds.
    pub(crate) fn name_of(&mut self, member: &str, kinds: &[Kind], name: &str) -> Option<String> {
        if kinds.iter().any(|kind| self.names.has(*kind, name)) {
            return Some(name.to_owned());
        }
        if self.findings.len() >= MOST_FINDINGS {
            return None;
        }
        let words = kinds
            .iter()
            .map(|kind| kind.words())
            .collect::<Vec<_>>()
            .join(" or ");
        let known: Vec<&str> = kinds
            .iter()
            .flat_map(|kind| self.names.all(*kind))
            .copied()
            .collect();
        let finding = self.at(member, |convert| {
            unknown(&words, name, convert.pointer.clone(), &known)
        });
        self.findings.push(finding);
        None
    }

    pub(crate) fn name(&mut self, member: &str, kind: Kind, name: &str) -> Option<String> {
        self.name_of(member, &[kind], name)
    }

    #[allow(
        clippy::option_option,
        reason = "outer: could it be read; inner: was it written"
    )]
    pub(crate) fn optional_name(
        &mut self,
        member: &str,
        kind: Kind,
        name: Option<&String>,
    ) -> Option<Option<String>> {
        match name {
            Some(name) => self.name(member, kind, name).map(Some),
            None => Some(None),
        }
    }

    pub(crate) fn name_list(
        &mut self,
        member: &str,
        kind: Kind,
        list: &'w [String],
    ) -> Option<Vec<String>> {
        self.each(member, list, |convert, name| convert.name_here(kind, name))
    }

    /// A name that is the value at the present place.
    pub(crate) fn name_here(&mut self, kind: Kind, name: &str) -> Option<String> {
        if self.names.has(kind, name) {
            return Some(name.to_owned());
        }
        if self.findings.len() >= MOST_FINDINGS {
            return None;
        }
        self.findings.push(unknown(
            kind.words(),
            name,
            self.pointer.clone(),
            self.names.all(kind),
        ));
        None
    }

    pub(crate) fn not_empty<T>(&mut self, member: &str, list: &[T], what: &str) -> Option<()> {
        if list.is_empty() {
            self.at(member, |convert| {
                convert.report(
                    codes::EMPTY_LIST,
                    format!("There are no {what}."),
                    "Write at least one.",
                );
            });
            return None;
        }
        Some(())
    }

    pub(crate) fn positive(&mut self, member: &str, number: u32, what: &str) -> Option<u32> {
        if number == 0 {
            self.at(member, |convert| {
                convert.report(
                    codes::BAD_NUMBER,
                    format!("The {what} is 0."),
                    "Write 1 or more, or leave it out.",
                );
            });
            return None;
        }
        Some(number)
    }

    /// A name for a reading, a computed value or a step, once only.
    pub(crate) fn claim_measured(&mut self, id: &str) -> Option<()> {
        if self.measured.insert(id.to_owned()) {
            return Some(());
        }
        let finding = self.at("id", |convert| {
            twice("measured value", id, convert.pointer.clone())
        });
        self.findings.push(finding);
        None
    }

    pub(crate) fn when(&mut self, when: &wire::When) -> Option<model::When> {
        self.at("when", |convert| {
            let mut made = Vec::new();
            let mut sound = true;
            for (option, values) in when {
                sound &= convert.name(option, Kind::Option, option).is_some();
                sound &= convert
                    .not_empty(option, values, "values of this option")
                    .is_some();
                if convert.names.has(Kind::Option, option) {
                    for (index, value) in values.iter().enumerate() {
                        if !convert.names.values(option).contains(&value.as_str()) {
                            let pointer =
                                format!("{}/{}/{index}", convert.pointer, escaped(option));
                            let known = convert.names.values(option).to_vec();
                            convert.findings.push(unknown(
                                &format!("value of option \u{201c}{option}\u{201d}"),
                                value,
                                pointer,
                                &known,
                            ));
                            sound = false;
                        }
                    }
                }
                made.push((option.clone(), values.iter().cloned().collect()));
            }
            sound.then_some(model::When(made))
        })
    }

    fn procedure(&mut self, wire: &'w wire::Procedure) -> Option<model::Procedure> {
        let options = self.each("options", &wire.options, Self::option);
        let energies = self.each("energies", &wire.energies, Self::energy);
        let points = self.each("points", &wire.points, Self::point);
        let chambers = self.each("chambers", &wire.chambers, Self::chamber);
        let tests = self.each("tests", &wire.tests, Self::wanted);
        let zero = self.each("zero", &wire.zero, Self::zero_side);
        let parts = self.each("parts", &wire.parts, Self::part);
        let joints = self.each("joints", &wire.joints, Self::joint);
        let covers = wire
            .covers
            .iter()
            .map(|item| model::Cover {
                id: item.id.clone(),
                label: item.label.clone(),
            })
            .collect();
        let instruments = self.each("instruments", &wire.instruments, Self::instrument);
        let consumables = wire
            .consumables
            .iter()
            .map(|item| model::Consumable {
                id: item.id.clone(),
                label: item.label.clone(),
                never_on: item.never_on.clone(),
            })
            .collect();
        let some_sections = self.not_empty("sections", &wire.sections, "sections");
        let sections = self.each("sections", &wire.sections, Self::section);
        some_sections?;
        Some(model::Procedure {
            format: wire.format,
            number: wire.number.clone(),
            revision: wire.revision.clone(),
            title: wire.title.clone(),
            author: wire.author.clone(),
            models: wire.models.clone(),
            options: options?,
            energies: energies?,
            points: points?,
            chambers: chambers?,
            tests: tests?,
            zero: zero?,
            zero_release: role(wire.zero_release),
            parts: parts?,
            joints: joints?,
            covers,
            instruments: instruments?,
            consumables,
            kit: model::Kit {
                number: wire.kit.number.clone(),
            },
            sections: sections?,
        })
    }

    #[allow(
        clippy::option_option,
        reason = "outer: could it be read; inner: was it written"
    )]
    pub(crate) fn optional_quantity(
        &mut self,
        member: &str,
        text: Option<&String>,
    ) -> Option<Option<Quantity>> {
        match text {
            Some(text) => self.quantity(member, text).map(Some),
            None => Some(None),
        }
    }

    fn instrument(&mut self, wire: &wire::Instrument) -> Option<model::Instrument> {
        let range = match &wire.range {
            Some(text) => self.window("range", text).map(Some),
            None => Some(None),
        };
        let error = self.optional_quantity("error", wire.error.as_ref());
        Some(model::Instrument {
            id: wire.id.clone(),
            label: wire.label.clone(),
            range: range?,
            error: error?,
        })
    }

    fn option(&mut self, wire: &wire::Choice) -> Option<model::Choice> {
        self.not_empty("values", &wire.values, "values")?;
        let mut seen = BTreeSet::new();
        for (index, value) in wire.values.iter().enumerate() {
            if !seen.insert(&value.id) {
                let pointer = format!("{}/values/{index}/id", self.pointer);
                self.findings
                    .push(twice("value of this option", &value.id, pointer));
            }
        }
        let values = wire
            .values
            .iter()
            .map(|value| (value.id.clone(), value.label.clone()))
            .collect();
        Some(model::Choice {
            id: wire.id.clone(),
            question: wire.question.clone(),
            values,
        })
    }

    fn energy(&mut self, wire: &'w wire::Energy) -> Option<model::Energy> {
        let kind = match wire.kind {
            wire::EnergyKind::Process => model::EnergyKind::Process,
            wire::EnergyKind::Air => model::EnergyKind::Air,
            wire::EnergyKind::Electric => model::EnergyKind::Electric,
            wire::EnergyKind::Heat => model::EnergyKind::Heat,
            wire::EnergyKind::Gravity => model::EnergyKind::Gravity,
            wire::EnergyKind::Chemical => model::EnergyKind::Chemical,
            wire::EnergyKind::Spring => model::EnergyKind::Spring,
            wire::EnergyKind::Trapped => model::EnergyKind::Trapped,
        };
        let when = self.when(&wire.when);
        Some(model::Energy {
            id: wire.id.clone(),
            label: wire.label.clone(),
            kind,
            size: wire.size.clone(),
            method: wire.method.clone(),
            when: when?,
        })
    }

    fn point(&mut self, wire: &'w wire::Point) -> Option<model::Point> {
        let kind = match wire.kind {
            wire::PointKind::Isolating => model::PointKind::Isolating,
            wire::PointKind::Drain => model::PointKind::Drain,
        };
        let energy = self.name("energy", Kind::Energy, &wire.energy);
        let drains = self.name_list("drains", Kind::Chamber, &wire.drains);
        let when = self.when(&wire.when);
        Some(model::Point {
            id: wire.id.clone(),
            label: wire.label.clone(),
            energy: energy?,
            kind,
            position: wire.position.clone(),
            lock: wire.lock.clone(),
            drains: drains?,
            when: when?,
        })
    }

    fn zero_side(&mut self, wire: &'w wire::ZeroSide) -> Option<model::ZeroSide> {
        let energy = self.name("energy", Kind::Energy, &wire.energy);
        let instrument = self.name("instrument", Kind::Instrument, &wire.instrument);
        let window = self.window("window", &wire.window);
        let vent = self.optional_name("vent", Kind::Point, wire.vent.as_ref());
        let when = self.when(&wire.when);
        Some(model::ZeroSide {
            id: wire.id.clone(),
            label: wire.label.clone(),
            energy: energy?,
            instrument: instrument?,
            window: window?,
            vent: vent?,
            when: when?,
        })
    }

    fn part(&mut self, wire: &'w wire::Part) -> Option<model::Part> {
        let count = self.positive("count", wire.count, "count");
        let under = self.over(&wire.under);
        let lubricant = self.optional_name("lubricant", Kind::Consumable, wire.lubricant.as_ref());
        let spared_by = self.name_list("spared_by", Kind::Cover, &wire.spared_by);
        let when = self.when(&wire.when);
        Some(model::Part {
            id: wire.id.clone(),
            label: wire.label.clone(),
            count: count?,
            single_use: wire.single_use,
            from_kit: wire.from_kit,
            elastomer: wire.elastomer.clone(),
            oriented: wire.oriented,
            long_tool: wire.long_tool,
            after_test: wire.after_test,
            to_verify: wire.to_verify,
            inspections: wire.inspections,
            lubricant: lubricant?,
            under: under?,
            spared_by: spared_by?,
            when: when?,
        })
    }

    /// What lies over a part or a joint: parts and covers.
    pub(crate) fn over(&mut self, names: &'w [String]) -> Option<Vec<String>> {
        self.each("under", names, |convert, name| {
            if convert.names.has(Kind::Cover, name) {
                Some(name.clone())
            } else {
                convert.name_here(Kind::Part, name)
            }
        })
    }

    fn chamber(&mut self, wire: &'w wire::Chamber) -> Option<model::Chamber> {
        let limit = self.optional_quantity("limit", wire.limit.as_ref());
        let test = self.optional_quantity("test", wire.test.as_ref());
        let fill_through =
            self.optional_name("fill_through", Kind::Point, wire.fill_through.as_ref());
        Some(model::Chamber {
            id: wire.id.clone(),
            label: wire.label.clone(),
            limit: limit?,
            test: test?,
            fill_through: fill_through?,
        })
    }

    fn wanted(&mut self, wire: &'w wire::Wanted) -> Option<model::Wanted> {
        let needs = self.each("needs", &wire.needs, |convert, name| {
            if convert.names.has(Kind::Energy, name) {
                Some(name.clone())
            } else {
                convert.name_here(Kind::Chamber, name)
            }
        });
        let at = self.at("at", |convert| {
            let mut made = Vec::new();
            for (chamber, text) in &wire.at {
                let named = convert.name(chamber, Kind::Chamber, chamber);
                let pressure = convert.quantity(chamber, text);
                made.push(named.zip(pressure));
            }
            made.into_iter().collect::<Option<Vec<_>>>()
        });
        let points = self.positions(&wire.open, &wire.shut);
        let when = self.when(&wire.when);
        Some(model::Wanted {
            id: wire.id.clone(),
            label: wire.label.clone(),
            needs: needs?,
            at: at?,
            points: points?,
            when: when?,
        })
    }

    pub(crate) fn positions(
        &mut self,
        open: &'w [String],
        shut: &'w [String],
    ) -> Option<model::Positions> {
        let open = self.name_list("open", Kind::Point, open);
        let shut = self.name_list("shut", Kind::Point, shut);
        Some(model::Positions {
            open: open?,
            shut: shut?,
        })
    }

    fn section(&mut self, wire: &'w wire::Section) -> Option<model::Section> {
        let some = self.not_empty("steps", &wire.steps, "steps in this section");
        let steps = self.each("steps", &wire.steps, |convert, step| {
            if !convert.steps.insert(step.id.clone()) {
                let pointer = format!("{}/id", convert.pointer);
                convert.findings.push(twice("step", &step.id, pointer));
            }
            convert.step(step, wire.energy)
        });
        some?;
        Some(model::Section {
            id: wire.id.clone(),
            title: wire.title.clone(),
            ppe: wire.ppe.clone(),
            steps: steps?,
        })
    }
}

pub(crate) fn role(wire: wire::Role) -> model::Role {
    match wire {
        wire::Role::Performer => model::Role::Performer,
        wire::Role::Verifier => model::Role::Verifier,
        wire::Role::Releaser => model::Role::Releaser,
        wire::Role::Operations => model::Role::Operations,
        wire::Role::Author => model::Role::Author,
        wire::Role::Approver => model::Role::Approver,
        wire::Role::Lead => model::Role::Lead,
    }
}
