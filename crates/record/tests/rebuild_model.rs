//! Random commands against the small model of lockout in `lockout/mod.rs`, which shares nothing with the engine: no entry the
//! engine gives is work with the hands inside the unit while the model says that a lock is off, zero is stale or energy is in.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod lockout;
mod rebuild_site;

use std::sync::OnceLock;

use lockout::Model;
use proptest::prelude::*;
use rebuild_site::{FALK, ODDE, SEFTON, Site, procedure};
use reseat_record::log::{Clock, Id};
use reseat_record::rebuild::{AbsentOwner, Command, Given, Inner, Point, Rebuild, StopKind, Wants};

const PROCEDURE: &str = include_str!("../../../procedures/FV-3302.json");

#[derive(Debug, Clone)]
enum Deed {
    Steps(usize),
    Pause(i64, bool),
    Restart(bool),
    Stop(usize),
    HandOver(bool),
    LockOff(usize),
    Late(i64),
    Clock(bool),
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
        1 => any::<bool>().prop_map(Deed::Restart),
        1 => (0_usize..5).prop_map(Deed::Stop),
        1 => any::<bool>().prop_map(Deed::HandOver),
        2 => (0_usize..7).prop_map(Deed::LockOff),
        1 => (1_i64..400).prop_map(Deed::Late),
        1 => any::<bool>().prop_map(Deed::Clock),
        2 => (0_usize..4).prop_map(Deed::Reopen),
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
}

impl Watched {
    fn at(place: usize) -> Self {
        static PLACES: OnceLock<Vec<Site>> = OnceLock::new();
        let places = PLACES.get_or_init(|| {
            [
                "permit",
                "lock-a5",
                "mark-bonnet",
                "tighten-j1",
                "recheck-j1",
                "stroke-five",
                "hold-70",
                "unlock-a4",
            ]
            .into_iter()
            .map(Site::at)
            .collect()
        });
        let site = places[place % places.len()].clone();
        let started = site.rebuild().started();
        let model = Model::new(
            &serde_json::from_str(PROCEDURE).unwrap(),
            &FALK.to_string(),
            started.zero_minutes.into(),
            started.look_again_minutes.into(),
        );
        let mut watched = Self {
            site,
            model,
            seen: 1,
        };
        watched.watches();
        watched
    }

    fn watches(&mut self) {
        while self.seen < self.site.entries.len() {
            let entry = &self.site.entries[self.seen].entry;
            let by = entry.by.map(|id| id.to_string()).unwrap_or_default();
            let clock = format!("{:?}", entry.clock).to_lowercase();
            if let Some(why) = self
                .model
                .objects(&entry.kind, &entry.body, &entry.utc, &clock)
            {
                panic!(
                    "entry {} {} {:?}: {why}",
                    self.seen + 1,
                    entry.kind,
                    entry.body
                );
            }
            self.model
                .takes(&entry.kind, &entry.body, &by, &entry.utc, &clock);
            self.seen += 1;
        }
    }

    fn tries(&mut self, command: Command, by: Id) {
        let _ = self.site.does(command, by);
        self.watches();
    }

    fn steps(&mut self) {
        // A record with something open cannot be signed; the technician stops there.
        let signing = matches!(
            self.site.ask().wants,
            Wants::Signature {
                meaning: "performed",
                ..
            }
        );
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
            Deed::HandOver(same) => {
                self.tries(
                    Command::HandOver {
                        words: "as it lies".into(),
                        to: (!*same).then_some(if by == ODDE { FALK } else { ODDE }),
                        left: same.then(|| "isolated and locked, vented, openings covered".into()),
                    },
                    by,
                );
                self.resumes(*same);
            }
            Deed::LockOff(point) => {
                let points = [
                    "P-31 breaker",
                    "V-3301",
                    "V-3303",
                    "IA-3302",
                    "drain U",
                    "drain D",
                    "own",
                ];
                let facts = AbsentOwner {
                    not_on_site: "log".into(),
                    attempts: "phoned".into(),
                    told: "gate".into(),
                };
                let absent_owner = (*point < 6).then_some(facts);
                self.tries(
                    Command::LockOff {
                        point: points[*point].into(),
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
            Deed::Reopen(joint) => {
                self.tries(
                    Command::Reopen {
                        joint: format!("J{}", joint + 1),
                        reason: "again".into(),
                    },
                    by,
                );
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

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_command_reaches_hands_on_work_that_the_model_forbids(place in 0_usize..8, deeds in deeds()) {
        let mut watched = Watched::at(place);
        for deed in &deeds {
            watched.does(deed);
        }
        let replayed = Rebuild::replay(procedure(), &watched.site.entries).unwrap();
        prop_assert!(replayed == *watched.site.rebuild(), "replay differs");
    }
}

#[test]
fn the_model_follows_a_whole_rebuild_and_objects_to_nothing() {
    let mut watched = Watched::at(0);
    watched.site.until("");
    watched.watches();
    assert!(watched.site.rebuild().ended().is_some());
}

#[test]
fn the_model_objects_to_work_that_the_engine_would_refuse() {
    // The model can fail: an act at a zero step right after a lock came off is objected to.
    let mut watched = Watched::at(2);
    let entry = {
        let command = watched.site.ask().answer("").unwrap();
        watched
            .site
            .rebuild()
            .decide(&watched.site.register, command, &watched.site.stamp(FALK))
            .unwrap()
    };
    assert!(
        watched
            .model
            .objects(&entry.kind, &entry.body, &entry.utc, "trusted")
            .is_none()
    );
    watched.tries(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    );
    assert!(
        watched
            .model
            .objects(&entry.kind, &entry.body, &entry.utc, "trusted")
            .is_some()
    );
}
