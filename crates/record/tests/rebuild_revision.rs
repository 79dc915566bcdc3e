//! A procedure's revision against its approval: what cannot start, and a rebuild overtaken by a newer revision.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{BREL, FALK, ODDE, QUIST, SEFTON, Site, procedure};
use reseat_record::log::{Clock, Hash, Id};
use reseat_record::rebuild::{Command, Ended, Point, Rebuild, Start};
use reseat_record::register;

const BOUND: &[u8] = include_bytes!("../../../procedures/FV-3302.json");

/// Another text of the same procedure is approved.
fn approve(site: &mut Site, revision: &str, text: &[u8]) -> Hash {
    let sha256 = Hash::of(text);
    site.keep(
        register::Command::Approve {
            number: procedure().number,
            revision: revision.into(),
            sha256,
            author: BREL,
            walked_by: ODDE,
            walked_on: "2026-03-11".into(),
            read: rebuild_site::read_through(),
        },
        QUIST,
    );
    sha256
}

fn withdraw(site: &mut Site) {
    site.keep(
        register::Command::Supersede {
            number: procedure().number,
            revision: procedure().revision,
            sha256: Hash::of(BOUND),
            reason: "window of J2 wrong".into(),
        },
        QUIST,
    );
}

fn refused_start(site: &Site, text: &[u8]) -> &'static str {
    let start = Start {
        procedure: Hash::of(text),
        ..Site::start_with()
    };
    let stamp = site.stamp(FALK);
    let stream = Id::from_bytes([9; 10]);
    Rebuild::start(
        &site.register,
        &procedure(),
        Hash::of(text),
        start,
        stream,
        &stamp,
    )
    .map(|entry| entry.kind)
    .unwrap_err()
    .code()
}

fn signs(site: &mut Site, by: Id) {
    let command = site.ask().answer(&by.to_string()).unwrap();
    site.does(command, by).unwrap();
}

#[test]
fn unapproved_altered_superseded_and_withdrawn_revisions_do_not_start() {
    let site = Site::new();
    let altered = [BOUND, b" "].concat();
    assert_eq!(
        refused_start(&site, &altered),
        "not-approved",
        "one byte more is another text"
    );
    assert_eq!(refused_start(&site, b"never seen"), "not-approved");
    let mut overtaken = site.clone();
    approve(&mut overtaken, "next", b"the next text");
    assert_eq!(refused_start(&overtaken, BOUND), "superseded");
    let mut withdrawn = site;
    withdraw(&mut withdrawn);
    assert_eq!(refused_start(&withdrawn, BOUND), "superseded");
}

#[test]
fn a_newer_revision_stops_the_work_at_the_next_step_until_an_approver_signs_the_reason() {
    let mut site = Site::at("plug-on");
    let sha256 = approve(&mut site, "next", b"the next text");
    let ask = site.ask();
    assert_eq!(ask.point, Point::Revision(sha256));
    assert_eq!(ask.step.as_ref().unwrap().id, "plug-on");
    let told = ask.notice.join(" ");
    assert!(told.contains("Revision next of"), "{told}");
    let done = Command::Answer {
        point: Point::Act("plug-on".into()),
        given: reseat_record::rebuild::Given::Done,
    };
    assert_eq!(site.refused(done, FALK), "not-asked-now");
    let skip = Command::NotApplicable {
        reason: "none here".into(),
    };
    assert_eq!(site.refused(skip, FALK), "overtaken");
    assert_eq!(ask.answer("  ").unwrap_err().code(), "empty");
    site.types("only a drawing number changed").unwrap();
    assert_eq!(site.last_kind(), "revision_reason/1");
    assert_eq!(site.ask().point, Point::RevisionSigned(sha256));
    let by_the_lead = Command::Answer {
        point: Point::RevisionSigned(sha256),
        given: reseat_record::rebuild::Given::Person(SEFTON),
    };
    assert_eq!(site.refused(by_the_lead, SEFTON), "wrong-kind");
    signs(&mut site, QUIST);
    assert_eq!(site.last_kind(), "revision_kept/1");
    assert_eq!(site.last("reason"), "only a drawing number changed");
    assert_eq!(site.last("revision"), "next");
    assert!(matches!(site.ask().point, Point::Act(step) if step == "plug-on"));
    let line = site.rebuild().record_lines(&site.register).pop().unwrap();
    assert!(line.first_page, "{}", line.text);
    assert_eq!(line.by, "Yara Quist");
    assert!(line.text.contains("changed (approver)"), "{}", line.text);
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    let again = Rebuild::replay(procedure(), &site.entries).unwrap();
    assert!(again == *site.rebuild(), "replay says the same");
}

#[test]
fn a_reason_not_agreed_is_taken_back_and_a_pause_leaves_the_question_standing() {
    let mut site = Site::at("plug-on");
    let sha256 = approve(&mut site, "next", b"the next text");
    site.types("in a hurry").unwrap();
    site.does(
        Command::Strike {
            entry: None,
            reason: "that is no reason".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.last_kind(), "revision_reason_back/1");
    assert_eq!(site.ask().point, Point::Revision(sha256));
    site.pauses(5, FALK);
    site.goes_on(|ask| matches!(ask.point, Point::Revision(_)));
    site.does(
        Command::CloseIncomplete {
            reason: "starts anew on the next revision".into(),
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.rebuild().ended(), Some(Ended::Incomplete));
}

#[test]
fn a_step_that_was_begun_is_finished_first_and_what_makes_safer_waits_for_nobody() {
    let mut site = Site::at("tighten-j1");
    site.types("done").unwrap();
    approve(&mut site, "next", b"the next text");
    let mut other = site.clone();
    site.goes_on(|ask| {
        assert_ne!(ask.kind, "none");
        matches!(ask.point, Point::Revision(_))
    });
    assert_ne!(
        site.due(),
        "tighten-j1",
        "the joint was not left half tight"
    );
    other.until("tighten-j1");
    other
        .does(
            Command::Safer {
                step: None,
                words: "opened drain U".into(),
            },
            FALK,
        )
        .unwrap();
    let mut venting = Site::at("hold-70");
    venting.goes_on(|ask| ask.step.as_ref().is_some_and(|at| at.id != "hold-70"));
    let step = venting.due();
    approve(&mut venting, "next", b"the next text");
    let written = procedure();
    let safer = written
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|written| written.id == step)
        .unwrap()
        .safer;
    assert!(safer, "{step} vents");
    assert!(!matches!(venting.ask().point, Point::Revision(_)));
    venting.step();
    assert!(matches!(venting.ask().point, Point::Revision(_)));
}

#[test]
fn a_withdrawn_revision_stops_too_and_each_later_revision_is_asked_once() {
    let mut site = Site::at("plug-on");
    withdraw(&mut site);
    let told = site.ask().notice.join(" ");
    assert!(told.contains("is withdrawn on this site"), "{told}");
    site.types("J2 is done and was within the new window")
        .unwrap();
    signs(&mut site, QUIST);
    assert!(matches!(site.ask().point, Point::Act(_)));
    let first = approve(&mut site, "next", b"the next text");
    assert_eq!(site.ask().point, Point::Revision(first));
    site.types("first reason").unwrap();
    let second = approve(&mut site, "after that", b"the text after that");
    assert_eq!(
        site.ask().point,
        Point::Revision(second),
        "a reason for one text is none for another"
    );
    site.types("second reason").unwrap();
    signs(&mut site, QUIST);
    assert!(matches!(site.ask().point, Point::Act(_)));
    site.restarts(FALK);
    site.goes_on(|ask| {
        assert!(!matches!(ask.point, Point::Revision(_)), "asked once");
        ask.step.as_ref().is_some_and(|at| at.id == "plug-on") && matches!(ask.point, Point::Act(_))
    });
}

#[test]
fn another_procedures_revision_stops_nothing() {
    let mut site = Site::at("plug-on");
    site.keep(
        register::Command::Approve {
            number: "P-99".into(),
            revision: "A".into(),
            sha256: Hash::of(b"another procedure"),
            author: BREL,
            walked_by: ODDE,
            walked_on: "2026-03-11".into(),
            read: rebuild_site::read_through(),
        },
        QUIST,
    );
    assert!(matches!(site.ask().point, Point::Act(_)));
    assert_eq!(site.clock, Clock::Trusted);
}
