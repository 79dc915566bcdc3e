//! From the wire types to the model, the part of it about one step: what it asks and what it does.

use reseat_measure::Unit;

use crate::codes;
use crate::convert::{Convert, role};
use crate::convert_computed::Earlier;
use crate::model;
use crate::names::Kind;
use crate::nearest::offer;
use crate::wire;

impl<'w> Convert<'w> {
    pub(crate) fn step(
        &mut self,
        wire: &'w wire::Step,
        of_section: wire::EnergyState,
    ) -> Option<model::Step> {
        let mut here = Vec::new();
        let asks = self.each("asks", &wire.asks, |convert, asked| {
            convert.asked(asked, &mut here)
        });
        let does = self.each("does", &wire.does, Self::deed);
        let when = self.when(&wire.when);
        let warnings = wire
            .warnings
            .iter()
            .map(|warning| model::Warning {
                word: signal(warning.word),
                text: warning.text.clone(),
            })
            .collect();
        let verify = wire.verify.map(|verify| match verify {
            wire::Verify::Concurrent => model::Verify::Concurrent,
            wire::Verify::Independent => model::Verify::Independent,
        });
        Some(model::Step {
            id: wire.id.clone(),
            text: wire.text.clone(),
            energy: energy_state(wire.energy.unwrap_or(of_section)),
            warnings,
            safer: wire.safer,
            lets_in: wire.lets_in.clone(),
            verify,
            hold: wire.hold.map(role),
            not_applicable: wire.not_applicable,
            start_apart: wire.start_apart,
            asks: asks?,
            does: does?,
            when: when?,
        })
    }

    /// One answer wanted; `here` collects the readings of this step that a computed value may use.
    #[expect(
        clippy::too_many_lines,
        reason = "every answer a step may ask, in the order of the format"
    )]
    fn asked(
        &mut self,
        wire: &'w wire::Asked,
        here: &mut Vec<Earlier<'w>>,
    ) -> Option<model::Asked> {
        use model::Asked as To;
        use wire::Asked as From;
        Some(match wire {
            From::Done => To::Done,
            From::Nameplate => To::Nameplate,
            From::OwnLocksOff => To::OwnLocksOff,
            From::Dispositions => To::Dispositions,
            From::Decisions => To::Decisions,
            From::Balance => To::Balance,
            From::ToolsOut => To::ToolsOut,
            From::Sign => To::Sign,
            From::Choice { question, answers } => {
                self.at("choice", |convert| {
                    convert.not_empty("answers", answers, "answers")
                })?;
                To::Choice {
                    question: question.clone(),
                    answers: answers.iter().map(answer).collect(),
                }
            }
            From::Text { question, permit } => To::Text {
                question: question.clone(),
                permit: permit.clone(),
            },
            From::Person {
                question,
                role: held,
                another,
            } => To::Person {
                question: question.clone(),
                role: held.map(role),
                another: *another,
            },
            From::Count { question, expected } => To::Count {
                question: question.clone(),
                expected: *expected,
            },
            From::Reading(measured) => {
                let made = self.at("reading", |convert| convert.measured(measured));
                here.push(Earlier {
                    id: &measured.id,
                    kind: made.as_ref().map(|made| made.unit.dimension()),
                });
                To::Reading(made?)
            }
            From::Computed {
                id,
                label,
                from,
                how,
                window,
                seat,
            } => {
                let limits = (window.as_ref(), seat.as_ref());
                let made = self.at("computed", |convert| {
                    convert.computed(id, label, (from, how, limits), here)
                });
                let kind = match &made {
                    Some(To::Computed { window, .. }) => Some(window.unit().dimension()),
                    _ => None,
                };
                here.push(Earlier { id, kind });
                made?
            }
            From::Orientation {
                question,
                answers,
                right,
            } => self.at("orientation", |convert| {
                convert.orientation(question, answers, right)
            })?,
            From::Vent { side } => To::Vent {
                side: self.at("vent", |convert| convert.name("side", Kind::Side, side))?,
            },
            From::Zero { by_vent } => To::Zero {
                by_vent: self.at("zero", |convert| {
                    convert.name_list("by_vent", Kind::Side, by_vent)
                })?,
            },
            From::OwnLocks { lock_box } => To::OwnLocks {
                lock_box: lock_box.clone(),
            },
            From::Condition { joint } => To::Condition {
                joint: self.at("condition", |convert| {
                    convert.name("joint", Kind::Joint, joint)
                })?,
            },
            From::Tighten { joint } => To::Tighten {
                joint: self.at("tighten", |convert| {
                    convert.name("joint", Kind::Joint, joint)
                })?,
            },
            From::Recheck { joint, at } => self.at("recheck", |convert| {
                let joint = convert.name("joint", Kind::Joint, joint);
                let at = convert.quantity("at", at);
                Some(To::Recheck {
                    joint: joint?,
                    at: at?,
                })
            })?,
            From::Rest { minutes } => To::Rest {
                minutes: self.at("rest", |convert| {
                    convert.positive("minutes", *minutes, "number of minutes")
                })?,
            },
            From::Wait { minutes } => To::Wait {
                minutes: self.at("wait", |convert| {
                    convert.positive("minutes", *minutes, "number of minutes")
                })?,
            },
        })
    }

    fn measured(&mut self, wire: &'w wire::Measured) -> Option<model::Measured> {
        let claimed = self.claim_measured(&wire.id);
        let seat = self.optional_seat(wire.seat.as_ref());
        let window = match &wire.window {
            Some(text) => self.window("window", text).map(Some),
            None => Some(None),
        };
        let unit = match (&wire.unit, &wire.window) {
            (Some(_), Some(_)) => {
                let message = "The unit stands here and again in the window.".to_owned();
                self.at("unit", |convert| {
                    convert.report(
                        codes::BAD_UNIT,
                        message,
                        "Leave \u{201c}unit\u{201d} out; the window has it.",
                    );
                });
                None
            }
            (Some(unit), None) => self.unit("unit", unit),
            (None, Some(_)) => window.flatten().map(|window| window.unit()),
            (None, None) if wire.seat.is_some() => Some(Unit::MillilitrePerMinute),
            (None, None) => {
                let message = "This reading has neither a window nor a unit.".to_owned();
                self.report(codes::BAD_UNIT, message, "Write \u{201c}window\u{201d}; for a value only recorded write \u{201c}unit\u{201d}.");
                None
            }
        };
        let instruments = self.name_list("instruments", Kind::Instrument, &wire.instruments);
        let proves = self.optional_name("proves", Kind::Side, wire.proves.as_ref());
        let beside = match &wire.beside {
            Some(beside) => self
                .at("beside", |convert| {
                    convert.name("instrument", Kind::Instrument, &beside.instrument)
                })
                .map(|instrument| Some((beside.label.clone(), instrument))),
            None => Some(None),
        };
        claimed?;
        let (window, unit, seat) = (window?, unit?, seat?);
        let window = match &seat {
            Some(seat) if window.is_none() => Some(self.worked_out(seat, unit)?),
            _ => window,
        };
        Some(model::Measured {
            id: wire.id.clone(),
            label: wire.label.clone(),
            window,
            unit,
            instruments: instruments?,
            proves: proves?,
            beside: beside?,
            seat,
        })
    }

    fn orientation(
        &mut self,
        question: &str,
        answers: &[String],
        right: &str,
    ) -> Option<model::Asked> {
        if answers.len() < 2 {
            let message = "An orientation question needs at least two answers.".to_owned();
            self.at("answers", |convert| {
                convert.report(
                    codes::BAD_ANSWER,
                    message,
                    "Write what may be seen the right and the wrong way up.",
                );
            });
            return None;
        }
        let Some(right) = answers.iter().position(|answer| answer == right) else {
            let message = format!(
                "The right answer \u{201c}{}\u{201d} is none of the answers.",
                crate::shape::shown(right)
            );
            let remedy = offer(right, answers.iter().map(String::as_str));
            self.at("right", |convert| {
                convert.report(codes::BAD_ANSWER, message, &remedy);
            });
            return None;
        };
        Some(model::Asked::Orientation {
            question: question.to_owned(),
            answers: answers.to_vec(),
            right,
        })
    }

    #[expect(
        clippy::too_many_lines,
        reason = "every deed of a step, in the order of the format"
    )]
    fn deed(&mut self, wire: &'w wire::Deed) -> Option<model::Deed> {
        use model::Deed as To;
        use wire::Deed as From;
        let mut point = |member: &str, name: &str| self.name(member, Kind::Point, name);
        Some(match wire {
            From::Isolate(name) => To::Isolate {
                point: point("isolate", name)?,
            },
            From::Lock(name) => To::Lock {
                point: point("lock", name)?,
            },
            From::Unlock(name) => To::Unlock {
                point: point("unlock", name)?,
            },
            From::Restore(name) => To::Restore {
                point: point("restore", name)?,
            },
            From::Release(name) => To::Release {
                energy: self.name("release", Kind::Energy, name)?,
            },
            From::Prove(name) => To::Prove {
                side: self.name("prove", Kind::Side, name)?,
            },
            From::LetIn {
                chamber,
                pressure,
                gauge,
                open,
                shut,
            } => self.at("let_in", |convert| {
                let chamber = convert.name_of("chamber", &[Kind::Chamber, Kind::Energy], chamber);
                let pressure = convert.optional_quantity("pressure", pressure.as_ref());
                let gauge = convert.optional_name("gauge", Kind::Instrument, gauge.as_ref());
                let points = convert.positions(open, shut);
                Some(To::LetIn {
                    chamber: chamber?,
                    pressure: pressure?,
                    gauge: gauge?,
                    points: points?,
                })
            })?,
            From::LetOut(name) => To::LetOut {
                chamber: self.name_of("let_out", &[Kind::Chamber, Kind::Energy], name)?,
            },
            From::Slacken(name) => To::Slacken {
                joint: self.name("slacken", Kind::Joint, name)?,
            },
            From::Crack(name) => To::Crack {
                joint: self.name("crack", Kind::Joint, name)?,
            },
            From::Unfasten(name) => To::Unfasten {
                joint: self.name("unfasten", Kind::Joint, name)?,
            },
            From::Off(pieces) => {
                let (part, count) = self.pieces("off", pieces)?;
                To::Off { part, count }
            }
            From::On(pieces) => {
                let (part, count) = self.pieces("on", pieces)?;
                To::On { part, count }
            }
            From::CoverOn(name) => To::CoverOn {
                cover: self.name("cover_on", Kind::Cover, name)?,
            },
            From::CoverOff(name) => To::CoverOff {
                cover: self.name("cover_off", Kind::Cover, name)?,
            },
            From::Clean(parts) => To::Clean {
                parts: self.name_list("clean", Kind::Part, parts)?,
            },
            From::Inspect(parts) => To::Inspect {
                parts: self.name_list("inspect", Kind::Part, parts)?,
            },
            From::Lubricate {
                parts,
                joints,
                with,
            } => self.at("lubricate", |convert| {
                let parts = convert.name_list("parts", Kind::Part, parts);
                let joints = convert.name_list("joints", Kind::Joint, joints);
                let with = convert.name("with", Kind::Consumable, with);
                Some(To::Lubricate {
                    parts: parts?,
                    joints: joints?,
                    with: with?,
                })
            })?,
            From::HandStart(name) => To::HandStart {
                joint: self.name("hand_start", Kind::Joint, name)?,
            },
            From::Tighten(name) => To::Tighten {
                joint: self.name("tighten", Kind::Joint, name)?,
            },
            From::Recheck(name) => To::Recheck {
                joint: self.name("recheck", Kind::Joint, name)?,
            },
            From::Rest => To::Rest,
            From::Verify(parts) => To::Verify {
                parts: self.name_list("verify", Kind::Part, parts)?,
            },
            From::Test => To::Test,
            From::Run(name) => To::Run {
                test: self.name("run", Kind::Wanted, name)?,
            },
            From::Scrap => To::Scrap,
            From::ToolsClear => To::ToolsClear,
            From::PeopleClear => To::PeopleClear,
        })
    }

    fn pieces(&mut self, member: &str, pieces: &wire::Pieces) -> Option<(String, u32)> {
        self.at(member, |convert| {
            let part = convert.name("part", Kind::Part, &pieces.part);
            let count = convert.positive("count", pieces.count, "count");
            Some((part?, count?))
        })
    }
}

fn answer(wire: &wire::Answer) -> model::Answer {
    let leads = match wire.leads {
        wire::Leads::On => model::Leads::On,
        wire::Leads::Again => model::Leads::Again,
        wire::Leads::Finding => model::Leads::Finding,
    };
    model::Answer {
        label: wire.label.clone(),
        leads,
    }
}

fn signal(wire: wire::SignalWord) -> model::SignalWord {
    match wire {
        wire::SignalWord::Danger => model::SignalWord::Danger,
        wire::SignalWord::Warning => model::SignalWord::Warning,
        wire::SignalWord::Caution => model::SignalWord::Caution,
        wire::SignalWord::Notice => model::SignalWord::Notice,
    }
}

fn energy_state(wire: wire::EnergyState) -> model::EnergyState {
    match wire {
        wire::EnergyState::Running => model::EnergyState::Running,
        wire::EnergyState::Isolating => model::EnergyState::Isolating,
        wire::EnergyState::Zero => model::EnergyState::Zero,
        wire::EnergyState::Test => model::EnergyState::Test,
        wire::EnergyState::Returning => model::EnergyState::Returning,
    }
}
