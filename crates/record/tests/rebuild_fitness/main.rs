//! Instruments at a joint, a measurement, a zero check and a test: who may be used, who not and why, said by the ask and by
//! the refusal alike; wrenches held by other rebuilds; the day's check; one that fell.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod day_check;
mod fell;
mod offered;
mod reasons;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;

use rebuild_site::{FALK, SEFTON, Site};
use reseat_measure::Window;
use reseat_record::rebuild::{Wants, for_register};
use reseat_record::refusal::{Against, Refusal, Work};
use reseat_record::register::{self, InstrumentKind, InstrumentSaid, Scale};

fn said(
    id: &str,
    kind: InstrumentKind,
    range: &str,
    resolution: &str,
    deviation: &str,
) -> InstrumentSaid {
    let shown = Window::parse(range).unwrap();
    let scale = Scale {
        unit: shown.unit(),
        reference: shown.reference(),
    };
    rebuild_site::instrument(id, kind, scale, range, resolution, deviation)
}

/// The site with the instrument of this name replaced by another of the same name.
fn with(said: InstrumentSaid) -> Site {
    let mut site = Site::without(&[&said.id]);
    site.keep(register::Command::AddInstrument(said), SEFTON);
    site.start();
    site
}

fn wrench() -> InstrumentSaid {
    said(
        "TW-19",
        InstrumentKind::DialWrench,
        "40..200 N·m",
        "1 N·m",
        "4 % of reading",
    )
}

fn codes(against: &[Against]) -> Vec<&'static str> {
    against.iter().map(Against::code).collect()
}

/// At the point due: the ask does not offer it and says why, and answering with it is refused for the same reason.
#[track_caller]
fn refused_here(site: &Site, id: &str, answer: &str, code: &str) {
    let ask = site.ask();
    assert!(ask.offered.fit.is_empty(), "{:#?}", ask.offered);
    let unfit = ask.offered.unfit.iter().find(|not| not.id == id).unwrap();
    assert!(codes(&unfit.against).contains(&code), "{unfit:?}");
    let told = ask.offered.lines();
    for reason in &unfit.against {
        assert!(told.iter().any(|line| line.contains(&reason.reason())));
        assert!(
            ask.detail
                .iter()
                .any(|line| line.contains(&reason.reason()))
        );
    }
    assert!(
        ask.notice
            .iter()
            .any(|line| line.contains("No instrument may be used"))
    );
    let digits = answer.starts_with(|first: char| first.is_ascii_digit());
    let answer = if ask.wants == Wants::Act && digits {
        ""
    } else {
        answer
    };
    let command = ask.answer(answer).unwrap();
    let by = site.performer;
    let refusal = site
        .rebuild()
        .decide(&site.register, command, &site.stamp(by))
        .unwrap_err();
    let Refusal::Work(Work::InstrumentUnfit {
        instrument,
        against,
    }) = &refusal
    else {
        panic!("{refusal:?}");
    };
    assert_eq!(instrument, id);
    assert_eq!(
        against, &unfit.against,
        "the ask and the refusal say the same"
    );
    for reason in against {
        assert!(refusal.sentence().contains(&reason.reason()));
    }
    assert_eq!(refusal.code(), against[0].code());
    assert!(!refusal.remedy().is_empty());
}

const TWO_WRENCHES: &str = include_str!("../../../../procedures/FV-3302.json");

/// FV-3302 with a second wrench named at J1, of this kind and deviation on the register.
fn two_wrenches(kind: InstrumentKind, deviation: &str) -> Site {
    let text = TWO_WRENCHES
        .replacen(r#""wrenches": ["TW-19"]"#, r#""wrenches": ["TW-19", "TW-20"]"#, 1)
        .replacen(
            r#"{"id": "PG-7","#,
            r#"{"id": "TW-20", "label": "dial wrench 40–200 N·m", "range": "40..200 N·m"}, {"id": "PG-7","#,
            1,
        );
    let bytes: &'static [u8] = Box::leak(text.into_boxed_str().into_boxed_bytes());
    let mut site = Site::followed_without(bytes, &["TW-20"]);
    let added = said("TW-20", kind, "40..200 N·m", "1 N·m", deviation);
    site.keep(register::Command::AddInstrument(added), SEFTON);
    site.start();
    site.until("tighten-j1");
    site
}

/// What the register is told with the last entry is kept in it, as the program does.
fn tell(site: &mut Site) {
    let entry = &site.entries.last().unwrap().entry;
    let command = for_register(&site.register, site.rebuild(), entry).unwrap();
    site.keep(command, FALK);
}
