//! Random commands against the small model of lockout in `lockout/mod.rs`, which shares nothing with the engine: no entry the
//! engine gives is work with the hands inside the unit while the model says that a lock is off, zero is stale or energy is in.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

#[path = "../lockout/mod.rs"]
mod lockout;
mod places;
mod reached;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;
mod rules;

use std::cell::RefCell;

use lockout::Model;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use reached::Reached;
use rebuild_site::{FALK, ODDE, SEFTON, Site};
use reseat_record::log::{Clock, Id};
use reseat_record::rebuild::{
    AbsentOwner, Clearing, Command, Given, Inner, Point, Rebuild, StopKind, Wants, recheck,
};

#[derive(Debug, Clone)]
enum Deed {
    Steps(usize),
    Pause(i64, bool),
    Restart(bool),
    Stop(usize),
    /// To a person, or to nobody; taken up by the same person.
    HandOver(bool, bool),
    /// Minutes ago, and how many acts.
    EntersLate(i64, usize),
    OutgoingOff,
    LockOff(usize),
    Late(i64),
    Clock(bool),
    Zone(usize),
    Worker(usize, bool),
    Given(Given),
    Reopen(usize),
    Find,
    Safer,
    Deviate,
    Strike,
    HandMade(usize, usize),
    Odd(String),
}

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    let deed = prop_oneof![
        6 => (1_usize..40).prop_map(Deed::Steps),
        1 => (0_i64..90, any::<bool>()).prop_map(|(minutes, same)| Deed::Pause(minutes, same)),
        // Short enough for a look again.
        4 => (0_i64..9).prop_map(|minutes| Deed::Pause(minutes, true)),
        1 => any::<bool>().prop_map(Deed::Restart),
        1 => (0_usize..5).prop_map(Deed::Stop),
        2 => any::<(bool, bool)>().prop_map(|(to, same)| Deed::HandOver(to, same)),
        3 => (0_i64..90, 1_usize..6).prop_map(|(ago, acts)| Deed::EntersLate(ago, acts)),
        1 => Just(Deed::OutgoingOff),
        2 => (0_usize..7).prop_map(Deed::LockOff),
        1 => (1_i64..400).prop_map(Deed::Late),
        1 => any::<bool>().prop_map(Deed::Clock),
        1 => (0_usize..4).prop_map(Deed::Zone),
        2 => (0_usize..3, any::<bool>()).prop_map(|(who, on)| Deed::Worker(who, on)),
        2 => prop_oneof![
            Just(Given::Done),
            (1_u32..3).prop_map(Given::Choice),
            Just(Given::Count(0)),
            Just(Given::Text("4712 18:00".into())),
            Just(Given::Text("1 423".into())),
        ].prop_map(Deed::Given),
        3 => (0_usize..4).prop_map(Deed::Reopen),
        1 => Just(Deed::Find),
        1 => Just(Deed::Safer),
        1 => Just(Deed::Deviate),
        1 => Just(Deed::Strike),
        4 => (0_usize..200, 0_usize..6).prop_map(|(step, given)| Deed::HandMade(step, given)),
        2 => "[0-9]{1,3}".prop_map(Deed::Odd),
    ];
    proptest::collection::vec(deed, 5..40)
}

/// A site whose entries the model reads as they come.
struct Watched {
    site: Site,
    model: Model,
    seen: usize,
    /// Entries written late.
    late: usize,
}

impl Watched {
    fn at(place: usize) -> Self {
        let site = places::site(place);
        let started = site.rebuild().started();
        let model = Model::new(
            &serde_json::from_slice(site.bytes).unwrap(),
            &FALK.to_string(),
            started.zero_minutes.into(),
            started.look_again_minutes.into(),
        );
        let mut watched = Self {
            site,
            model,
            seen: 1,
            late: 0,
        };
        watched.watches();
        watched
    }

    fn watches(&mut self) {
        while self.seen < self.site.entries.len() {
            let entry = &self.site.entries[self.seen].entry;
            let by = entry.by.map(|id| id.to_string()).unwrap_or_default();
            let clock = format!("{:?}", entry.clock).to_lowercase();
            let late = entry.acted.is_some();
            let why = self
                .model
                .reads(&entry.kind, &entry.body, &by, &entry.utc, &clock, late);
            if let Some(why) = why {
                panic!(
                    "entry {} {} {:?}: {why}",
                    self.seen + 1,
                    entry.kind,
                    entry.body
                );
            }
            self.seen += 1;
        }
    }

    fn tries(&mut self, command: Command, by: Id) {
        let _ = self.site.does(command, by);
        self.watches();
    }

    fn steps(&mut self) {
        // A record with something open cannot be signed, by the performer or after him; the technician stops there.
        let ask = self.site.ask();
        let last = ask.step.is_some_and(|at| at.number == at.of);
        let signing = last && matches!(ask.wants, Wants::Signature { .. });
        if self.site.rebuild().ended().is_none() && !signing {
            self.site.step();
            self.watches();
        }
    }

    fn resumes(&mut self, same: bool) {
        if self.site.ask().point == Point::Resume {
            let by = match (same, self.site.performer == FALK) {
                (true, _) => self.site.performer,
                (false, true) => ODDE,
                (false, false) => FALK,
            };
            self.site.resumes(by);
            self.watches();
        }
    }

    fn does(&mut self, deed: &Deed) {
        let by = self.site.performer;
        match deed {
            Deed::Steps(count) => (0..*count).for_each(|_| self.steps()),
            Deed::Pause(minutes, same) => {
                self.tries(Command::Pause { by_itself: false }, by);
                self.site.seconds += minutes * 60;
                self.resumes(*same);
            }
            Deed::Restart(same) => {
                if self.site.rebuild().ended().is_none() {
                    let next = if *same { by } else { ODDE };
                    self.site.restarts(next);
                    self.watches();
                }
            }
            Deed::Stop(kind) => {
                self.tries(
                    Command::Stop {
                        kind: StopKind::ALL[*kind],
                    },
                    by,
                );
                self.site.seconds += 60;
                self.resumes(true);
            }
            Deed::HandOver(to, same) => {
                self.tries(
                    Command::HandOver {
                        words: "as it lies".into(),
                        to: to.then_some(if by == ODDE { FALK } else { ODDE }),
                        left: (!to).then(|| "isolated and locked, vented, openings covered".into()),
                    },
                    by,
                );
                self.resumes(*same);
            }
            Deed::EntersLate(ago, acts) => {
                for _ in 0..*acts {
                    self.enters_late(*ago);
                }
            }
            Deed::OutgoingOff => {
                let other = if by == ODDE { FALK } else { ODDE };
                let own = Command::LockOff {
                    point: "own".into(),
                    absent_owner: None,
                };
                self.tries(own, other);
            }
            Deed::LockOff(point) => {
                let mut points: Vec<String> = self
                    .site
                    .rebuild()
                    .procedure()
                    .points
                    .iter()
                    .map(|known| known.id.clone())
                    .collect();
                points.push("own".into());
                let point = &points[*point % points.len()];
                let facts = AbsentOwner {
                    not_on_site: "log".into(),
                    attempts: "phoned".into(),
                    told: "gate".into(),
                };
                let absent_owner = (point != "own").then_some(facts);
                self.tries(
                    Command::LockOff {
                        point: point.clone(),
                        absent_owner,
                    },
                    by,
                );
            }
            Deed::Late(minutes) => self.site.seconds += minutes * 60,
            Deed::Clock(doubted) => {
                self.site.clock = if *doubted {
                    Clock::Doubted
                } else {
                    Clock::Trusted
                }
            }
            Deed::Zone(zone) => self.site.offset = ["+01:00", "-11:00", "+14:00", "+00:00"][*zone],
            Deed::Worker(who, on) => {
                let owner = [FALK, ODDE, SEFTON][*who];
                // A number of his own, so that it hangs nowhere else.
                let number = on.then(|| (423 + who).to_string());
                self.tries(Command::OwnLock { owner, number }, owner);
            }
            Deed::Given(given) => {
                let point = self.site.ask().point;
                self.tries(
                    Command::Answer {
                        point,
                        given: given.clone(),
                    },
                    by,
                );
            }
            Deed::Reopen(joint) => {
                let joints = &self.site.rebuild().procedure().joints;
                let joint = joints[*joint % joints.len()].id.clone();
                let reason = "again".into();
                self.tries(Command::Reopen { joint, reason }, by);
            }
            Deed::Find => self.tries(
                Command::Find {
                    words: "a scratch".into(),
                },
                by,
            ),
            Deed::Safer => self.tries(
                Command::Safer {
                    step: None,
                    words: "opened drain U".into(),
                },
                by,
            ),
            Deed::Deviate => self.tries(
                Command::Deviate {
                    text: "wipe it".into(),
                    reason: "wet".into(),
                },
                SEFTON,
            ),
            Deed::Strike => self.tries(
                Command::Strike {
                    entry: None,
                    reason: "typed wrong".into(),
                    seen_by: None,
                },
                by,
            ),
            Deed::HandMade(step, given) => self.hand_made(*step, *given),
            Deed::Odd(text) => {
                if let Ok(command) = self.site.ask().answer(text) {
                    self.tries(command, by);
                }
            }
        }
    }

    /// Answers what is asked as of some minutes ago, with the first text that is taken.
    fn enters_late(&mut self, minutes: i64) {
        let mut stamp = self.site.stamp(self.site.performer);
        let now = chrono::DateTime::parse_from_rfc3339(&stamp.utc).unwrap();
        let then = now.with_timezone(&chrono::Utc) - chrono::Duration::minutes(minutes);
        stamp.acted = Some(then.to_rfc3339_opts(chrono::SecondsFormat::Millis, true));
        let ask = self.site.rebuild().ask(&self.site.register, &stamp);
        let next = match &ask.wants {
            Wants::Fastener { next, .. } => next.to_string(),
            Wants::Signature { among, .. } => {
                let Some((id, _)) = among.first() else {
                    return;
                };
                stamp.by = Some(*id);
                id.to_string()
            }
            _ => String::new(),
        };
        for text in [next.as_str(), "1", "0", "122"] {
            let entry = ask.answer(text).and_then(|command| {
                self.site
                    .rebuild()
                    .decide(&self.site.register, command, &stamp)
            });
            if let Ok(entry) = entry {
                self.late += 1;
                let by = stamp.by.unwrap();
                self.site.keeps(entry, by);
                self.watches();
                return;
            }
        }
    }

    /// Points nobody asked about: every way an answer can name a step.
    fn hand_made(&mut self, step: usize, given: usize) {
        let rebuild = self.site.rebuild();
        let steps: Vec<String> = rebuild
            .procedure()
            .sections
            .iter()
            .flat_map(|section| &section.steps)
            .map(|step| step.id.clone())
            .collect();
        let step = steps[step % steps.len()].clone();
        let given = [
            Given::Done,
            Given::Choice(1),
            Given::Fastener(1),
            Given::Reading("122".into()),
            Given::Count(0),
            Given::Text("x".into()),
        ][given]
            .clone();
        for point in [
            Point::Act(step.clone()),
            Point::Worker(step.clone()),
            Point::Clear(Clearing::Tools),
            Point::Clear(Clearing::People),
            Point::Clear(Clearing::OwnLocks),
            Point::Permit("permit".into()),
            Point::PermitSeen("permit".into()),
            Point::Begin(step.clone()),
            Point::Asked(step.clone(), 0, Inner::Whole),
            Point::Asked(step.clone(), 0, Inner::Line(0)),
            Point::Asked(step, 0, Inner::Fastener(1, 1, 1)),
        ] {
            self.tries(
                Command::Answer {
                    point,
                    given: given.clone(),
                },
                self.site.performer,
            );
        }
    }
}

#[test]
fn no_command_reaches_hands_on_work_that_the_model_forbids() {
    let reached = RefCell::new(Reached::default());
    let config = ProptestConfig {
        cases: 120,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let walk = TestRunner::new(config).run(&(0..places::COUNT, deeds()), |(place, deeds)| {
        let mut watched = Watched::at(place);
        let (began, before) = (watched.seen, watched.model.clone());
        for deed in &deeds {
            watched.does(deed);
        }
        let procedure = reseat_procedure::read(watched.site.bytes).unwrap();
        let mut reached = reached.borrow_mut();
        for sealed in &watched.site.entries[began..] {
            reached.entry(&procedure.number, &sealed.entry);
        }
        reached.model(&procedure.number, &before, &watched.model);
        let replayed = Rebuild::replay(procedure, &watched.site.entries).unwrap();
        prop_assert!(replayed == *watched.site.rebuild(), "replay differs");
        // What the program decided, verify finds nothing wrong with.
        let findings = recheck(replayed.procedure(), &watched.site.entries);
        prop_assert!(findings.is_empty(), "{findings:?}");
        Ok(())
    });
    walk.unwrap_or_else(|found| panic!("{found}"));
    reached.borrow().holds();
}
