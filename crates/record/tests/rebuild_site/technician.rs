//! The technician: answers what is asked as a careful one would, or as a test says.

use reseat_measure::joint::Condition;
use reseat_measure::{Dimension, Loading, Quantity, Unit, Window};
use reseat_procedure::model::{Asked, Computation, Leads};
use reseat_record::log::Id;
use reseat_record::rebuild::{Ask, Inner, Point, Wants};
use reseat_record::refusal::Refusal;

use super::{PROCEDURE, Site};

impl Site {
    /// Answers with a text, as screens and line mode do.
    pub fn types(&mut self, text: &str) -> Result<(), Refusal> {
        let command = self.ask().answer(text)?;
        let by = self.performer;
        self.does(command, by)
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

    /// Proposes a decision on the finding asked about, and a person decides it.
    pub fn decides(&mut self, decision: &str, by: Id) {
        self.picks(decision);
        let command = self.ask().answer(&by.to_string()).unwrap();
        self.does(command, by).unwrap();
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
            (Point::Worker(_), _) => self.lock_in_hand(ask, "1 ", 421),
            (Point::LockBack(_), _) | (_, Some(Asked::OwnLocks { .. })) => {
                self.lock_in_hand(ask, "", 417)
            }
            _ => "417".into(),
        }
    }

    /// The number of a lock that hangs nowhere yet, from this one on.
    fn lock_in_hand(&self, ask: &Ask, before: &str, from: u32) -> String {
        let rebuild = self.rebuild();
        (from..from + 40)
            .map(|number| format!("{before}{number}"))
            .find(|text| {
                let command = ask.answer(text).unwrap();
                let decided = rebuild.decide(&self.register, command, &self.stamp(self.performer));
                !decided.is_err_and(|refusal| refusal.code() == "lock-number-taken")
            })
            .unwrap()
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
            (Point::Gate(_), _) | (_, Some(Asked::Vent { .. })) => named("flowed and stopped"),
            (Point::LookAgain, _) | (_, Some(Asked::Zero { .. })) => named("nothing came"),
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
            match how {
                Computation::Balance { loading, .. } => {
                    return screw_height(loading, window, from[0] == name, unit);
                }
                Computation::Leak { .. } => return steady(unit),
                _ => {}
            }
            let value = |quantity: Quantity| quantity.to_f64_in(unit).unwrap();
            let high = value(window.high().unwrap());
            let low = window.low().map(value);
            let wanted = low.map_or(0.0, |low| f64::midpoint(low, high));
            // Where tests begin anew both were read before: the one that is not read now stands from then.
            let first = from[0] == name;
            let other = self.last_read.get(if first {
                from.last().unwrap()
            } else {
                &from[0]
            });
            return match (how, other) {
                (Computation::Mean, _) => high / 2.0,
                (_, Some(other)) if first => other + wanted,
                (_, Some(other)) => other - wanted,
                (_, None) => 1.0,
            };
        }
        1.0
    }
}

/// Height of a setting screw: 30 mm where it touches its spring, and wound in until the spring carries the middle of the window.
fn screw_height(loading: &Loading, window: &Window, touching: bool, unit: Unit) -> f64 {
    let pascals = |limit: Option<Quantity>| limit.unwrap().to_f64_in(Unit::Pascal).unwrap();
    let middle = f64::midpoint(pascals(window.low()), pascals(window.high()));
    let area = loading.diaphragm().to_f64_in(Unit::SquareMetre).unwrap();
    let rate = loading.rate().to_f64_in(Unit::NewtonPerMetre).unwrap();
    let pressed_mm = if touching {
        0.0
    } else {
        middle * area / rate * 1_000.0
    };
    let height = Quantity::parse(&format!("{:.4} mm", 30.0 - pressed_mm)).unwrap();
    height.to_f64_in(unit).unwrap()
}

/// What is read beside a pressure that does not move: 10 °C, 5 min.
fn steady(unit: Unit) -> f64 {
    let read = match unit.dimension() {
        Dimension::Temperature => "10 °C",
        Dimension::Time => "5 min",
        _ => return 1.0,
    };
    Quantity::parse(read).unwrap().to_f64_in(unit).unwrap()
}
