//! Sample sights of acts: isolating, a lock off, a part with a right way up, a rest, the count of parts, what is open.

use super::{LOCKED, ask, people, strip, texts, warn, work};
use reseat::screen::sight::WorkSight;
use reseat_procedure::model::SignalWord;
use reseat_record::rebuild::ask::GroupLine;
use reseat_record::rebuild::view::{OpenItem, Tone};
use reseat_record::rebuild::{Bench, Point, Wants};
use std::time::Duration;

pub(crate) fn isolating() -> WorkSight {
    let mut ask = ask(
        31,
        "Hang lock and tag on AV-3302.",
        Wants::Text,
        "lock number on AV-3302",
        Bench::Isolation,
    );
    ask.warnings = warn(
        SignalWord::Warning,
        "Pressure can be trapped on either side of the plug.",
    );
    work(
        ask,
        strip(
            "Make safe",
            "NOT LOCKED: 1 of 3 on, zero not proved",
            Tone::Watch,
        ),
    )
}

pub(crate) fn lock_off() -> WorkSight {
    let wants = Wants::Choice(texts(&[
        "vent, cap, back off, lower: whatever makes it safer",
        "put lock 418 or another back on HV-3304",
        "hand over, or leave it with a tag",
    ]));
    let mut ask = ask(106, "", wants, "which?", Bench::Isolation);
    ask.step = None;
    ask.point = Point::LockBack("HV-3304".into());
    ask.notice =
        texts(&["Hands off. Lock 418 on HV-3304 is recorded off by its owner, Falk, 15:38."]);
    ask.detail = texts(&["What is open now:"]);
    work(
        ask,
        strip(
            "Reassemble",
            "LOCKED 3 of 4: lock 418 recorded OFF 15:38",
            Tone::Stop,
        ),
    )
}

pub(crate) fn orientation() -> WorkSight {
    let wants = Wants::Choice(texts(&["sharp edge", "chamfered edge", "cannot tell"]));
    let mut ask = ask(
        102,
        "Fit the seat ring, sharp edge down.",
        wants,
        "edge",
        Bench::Steps,
    );
    ask.blank = true;
    ask.detail = texts(&["Which edge touches the depth gauge first?"]);
    ask.warnings = warn(
        SignalWord::Notice,
        "A scratch on the seating edge leaks. Set the ring down on cloth only.",
    );
    work(
        ask,
        strip(
            "Reassemble",
            "LOCKED 4 of 4, yours on, ZERO READ 13:41 (21 min)",
            Tone::Held,
        ),
    )
}

pub(crate) fn plain_act() -> WorkSight {
    let mut ask = ask(
        103,
        "Fit the cage, its window to the outlet.",
        Wants::Act,
        "the cage is in",
        Bench::Steps,
    );
    ask.group = [
        (103, "Fit the cage, its window to the outlet."),
        (104, "Lay the bonnet gasket in its groove."),
        (105, "Wipe both flange faces with lint-free cloth."),
    ]
    .into_iter()
    .map(|(number, text)| GroupLine {
        number,
        text: text.into(),
    })
    .collect();
    work(ask, strip("Reassemble", LOCKED, Tone::Held))
}

pub(crate) fn waiting(over: bool) -> WorkSight {
    let wants = Wants::Wait {
        until: Some("2026-03-12T18:46:00.000Z".into()),
        over,
    };
    let ask = ask(
        120,
        "Let the gasket rest for 4 h before the re-check.",
        wants,
        "rest until 19:46",
        Bench::Steps,
    );
    WorkSight {
        wait_left: (!over).then_some(Duration::from_secs(40)),
        ..work(ask, strip("Rest", LOCKED, Tone::Watch))
    }
}

pub(crate) fn open_items() -> WorkSight {
    let wants = Wants::Signature {
        meaning: "performed",
        among: people()[..2].to_vec(),
    };
    let mut ask = ask(
        168,
        "Sign the record.",
        wants,
        "who signs as performer?",
        Bench::Open,
    );
    ask.kind = "signature";
    let item = |text: &str, remedy: &str| OpenItem {
        text: text.into(),
        remedy: remedy.into(),
    };
    WorkSight {
        open: vec![
            item(
                "Finding 2: scratch on the seat ring, not decided.",
                "Sefton or another releaser decides it.",
            ),
            item(
                "Step 104 is NOT VERIFIED.",
                "A verifier looks and signs, or a finding is written.",
            ),
            item(
                "Lock 418 is not recorded off.",
                "Its owner takes it off and says so.",
            ),
        ],
        ..work(
            ask,
            strip("Sign", "TOGETHER, NOT TESTED  3 of 4 locks on", Tone::Watch),
        )
    }
}

pub(crate) fn balance() -> WorkSight {
    let ask = ask(
        100,
        "Count the parts before the joint hides them.",
        Wants::Count,
        "parts on the bench",
        Bench::Parts,
    );
    work(ask, strip("Reassemble", LOCKED, Tone::Held))
}

pub(crate) fn hostile() -> WorkSight {
    let mut sight = plain_act();
    sight.ask.prompt = "a\u{202e}b \u{1b}[2J c\u{200b}d".into();
    sight.ask.detail = texts(&["\u{2066}x\u{9b}31m"]);
    sight.strip.name = "\u{202e}evlav".into();
    sight
}
