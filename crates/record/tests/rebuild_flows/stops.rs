//! STOP, waiting and closing incomplete; words that are refused, or meant for another question.

use crate::rebuild_site::{FALK, ODDE, SEFTON, Site};
use crate::signed;
use reseat_record::rebuild::{Command, Ended, Point, StopKind};

#[test]
fn words_meant_for_another_question_complete_no_act() {
    let site = Site::at("mark-bonnet");
    let ask = site.ask();
    assert!(ask.answer("done").is_ok() && ask.answer("").is_ok());
    for words in ["no", "1", "not yet"] {
        assert_eq!(ask.answer(words).unwrap_err().code(), "wrong-kind");
    }
}

#[test]
fn waiting_for_a_part_and_closing_incomplete_say_what_remains() {
    let mut site = Site::at("seat-gasket-on");
    site.does(
        Command::WaitForPart {
            part: "seat gasket".into(),
        },
        FALK,
    )
    .unwrap();
    assert!(
        site.rebuild()
            .summary()
            .state
            .starts_with("WAITING FOR PART (seat gasket), APART")
    );
    site.seconds += 86_400;
    site.resumes(FALK);
    assert!(matches!(site.ask().point, Point::Gate(0)));
    let close = Command::CloseIncomplete {
        reason: "seat cracked".into(),
    };
    site.does(close.clone(), FALK).unwrap();
    assert_eq!(site.rebuild().ended(), Some(Ended::Incomplete));
    let remains = site.last("remains");
    assert!(
        remains.as_array().is_some_and(|left| left
            .iter()
            .any(|item| item.as_str().is_some_and(|item| item.contains("Lock A-1")))),
        "{remains}"
    );
    assert_eq!(site.refused(close, FALK), "rebuild-ended");
}

#[test]
fn stop_is_there_at_every_moment_and_its_kinds_lead_back_through_proof() {
    for kind in StopKind::ALL {
        let mut site = Site::at("plug-on");
        site.does(Command::Stop { kind }, FALK).unwrap();
        site.seconds += 120;
        site.resumes(FALK);
        let short = kind == StopKind::CalledAway;
        assert_eq!(
            site.ask().point,
            if short {
                Point::LookAgain
            } else {
                Point::Gate(0)
            },
            "{kind:?}"
        );
        signed(site);
    }
}

#[test]
fn words_with_hidden_characters_are_refused_everywhere() {
    let site = Site::at("plug-on");
    let bad = || "a\u{202e}b".to_owned();
    for command in [
        Command::Find { words: bad() },
        Command::Dropped { what: bad() },
        Command::WaitForPart { part: bad() },
        Command::CloseIncomplete { reason: bad() },
        Command::Safer {
            step: None,
            words: bad(),
        },
        Command::HandOver {
            words: bad(),
            to: Some(ODDE),
            left: None,
        },
    ] {
        assert_eq!(site.refused(command, FALK), "bad-text");
    }
    assert_eq!(
        site.refused(
            Command::Deviate {
                text: bad(),
                reason: "x".into()
            },
            SEFTON
        ),
        "bad-text"
    );
}
