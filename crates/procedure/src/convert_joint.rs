//! From the wire types to the model, the part of it about one joint.

use crate::codes;
use crate::convert::Convert;
use crate::model;
use crate::names::Kind;
use crate::shape::shown;
use crate::wire;

impl<'w> Convert<'w> {
    pub(crate) fn joint(&mut self, wire: &'w wire::Joint) -> Option<model::Joint> {
        let fasteners = self.positive("fasteners", wire.fasteners, "number of fasteners");
        let lubricant = self.optional_name("lubricant", Kind::Consumable, wire.lubricant.as_ref());
        let some_wrenches = self.not_empty("wrenches", &wire.wrenches, "wrenches");
        let wrenches = self.name_list("wrenches", Kind::Instrument, &wire.wrenches);
        let some_passes = self.not_empty("passes", &wire.passes, "passes");
        let passes = self.at("passes", |convert| {
            let read: Vec<_> = wire
                .passes
                .iter()
                .enumerate()
                .map(|(index, pass)| convert.quantity(&index.to_string(), pass))
                .collect();
            read.into_iter().collect::<Option<Vec<_>>>()
        });
        let window = self.window("window", &wire.window);
        let rounds = self.rounds(wire.rounds);
        let gap = match &wire.gap {
            Some(gap) => self.at("gap", |convert| convert.gap(gap)).map(Some),
            None => Some(None),
        };
        let prevailing = match &wire.prevailing {
            Some(text) => self.window("prevailing", text).map(Some),
            None => Some(None),
        };
        let rule = match &wire.rule {
            Some(text) => self.rule("rule", text).map(Some),
            None => Some(None),
        };
        let clamp_needed = self.optional_quantity("clamp_needed", wire.clamp_needed.as_ref());
        let clamps = self.name_list("clamps", Kind::Part, &wire.clamps);
        let under = self.over(&wire.under);
        let boundary = self.optional_name("boundary", Kind::Chamber, wire.boundary.as_ref());
        let when = self.when(&wire.when);
        some_wrenches.and(some_passes)?;
        Some(model::Joint {
            id: wire.id.clone(),
            label: wire.label.clone(),
            fasteners_named: wire.fasteners_named.clone(),
            fasteners: fasteners?,
            thread: wire.thread.clone(),
            grade: wire.grade.clone(),
            condition: wire.condition.clone(),
            lubricant: lubricant?,
            pattern: pattern(wire.pattern),
            wrenches: wrenches?,
            passes: passes?,
            window: window?,
            rounds: rounds?,
            gap: gap?,
            prevailing: prevailing?,
            prevailing_read: wire.prevailing_read.clone(),
            rule: rule?,
            numbering: wire.numbering.clone(),
            clamps: clamps?,
            under: under?,
            boundary: boundary?,
            recheck_after: wire.recheck_after,
            setting: wire.setting,
            after_test: wire.after_test,
            crack: wire.crack,
            governed_by: wire.governed_by.clone(),
            clamp_needed: clamp_needed?,
            reason_above_75: wire.reason_above_75.clone(),
            when: when?,
        })
    }

    fn rule(&mut self, member: &str, text: &str) -> Option<reseat_measure::rule::Rule> {
        if let Ok(rule) = text.parse() {
            return Some(rule);
        }
        let message = format!("\u{201c}{}\u{201d} is no decision rule.", shown(text));
        self.at(member, |convert| {
            convert.report(
                codes::UNKNOWN_WORD,
                message,
                "Write simple, guarded, four, or probability with a number, such as probability 0.95.",
            );
        });
        None
    }

    fn rounds(&mut self, wire: Option<wire::Rounds>) -> Option<model::Rounds> {
        self.at("rounds", |convert| match wire {
            None => Some(model::Rounds::None),
            Some(wire::Rounds::UpTo(most)) => convert
                .positive("up_to", most, "number of rounds")
                .map(model::Rounds::UpTo),
            Some(wire::Rounds::Exactly(rounds)) => convert
                .positive("exactly", rounds, "number of rounds")
                .map(model::Rounds::Exactly),
        })
    }

    fn gap(&mut self, wire: &wire::Gap) -> Option<model::Gap> {
        match wire {
            wire::Gap::Spread { limit, instrument } => self.at("spread", |convert| {
                let limit = convert.quantity("limit", limit);
                let instrument = convert.name("instrument", Kind::Instrument, instrument);
                Some(model::Gap::Spread {
                    limit: limit?,
                    instrument: instrument?,
                })
            }),
            wire::Gap::Closed { feeler, instrument } => self.at("closed", |convert| {
                let feeler = convert.quantity("feeler", feeler);
                let instrument = convert.name("instrument", Kind::Instrument, instrument);
                Some(model::Gap::Closed {
                    feeler: feeler?,
                    instrument: instrument?,
                })
            }),
        }
    }
}

fn pattern(wire: wire::Pattern) -> model::Pattern {
    match wire {
        wire::Pattern::Cross => model::Pattern::Cross,
        wire::Pattern::Circular => model::Pattern::Circular,
        wire::Pattern::Straight => model::Pattern::Straight,
        wire::Pattern::Single => model::Pattern::Single,
        wire::Pattern::FlatByFlat => model::Pattern::FlatByFlat,
    }
}
