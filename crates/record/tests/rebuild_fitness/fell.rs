//! An instrument that fell: out at once, and another goes on where it stopped.

use reseat_record::rebuild::{Command, Point, Wants};
use reseat_record::register::{self, InstrumentKind};

use crate::rebuild_site::{FALK, SEFTON, Site};
use crate::{tell, two_wrenches};

#[test]
fn a_wrench_that_fell_leaves_the_joint_and_another_goes_on_where_it_stopped() {
    let mut site = two_wrenches(InstrumentKind::DialWrench, "4 % of reading");
    site.picks("TW-19");
    for _ in 0..3 {
        site.step();
    }
    let due = site.ask().point;
    let fell = || Command::InstrumentDropped {
        instrument: "TW-19".into(),
    };
    site.does(fell(), FALK).unwrap();
    assert_eq!(site.last_kind(), "instrument_dropped/1");
    assert!(site.rebuild().booked().is_empty());
    let ask = site.ask();
    assert_eq!(ask.wants, Wants::Act, "{ask:#?}");
    assert!(
        ask.offered.lines()[0].contains("TW-19, quarantined: dropped"),
        "{ask:#?}"
    );
    // Before the register knows of it, and after.
    let take = || Command::TakeInstrument {
        instrument: "TW-19".into(),
    };
    assert_eq!(site.refused(take(), FALK), "instrument-quarantined");
    tell(&mut site);
    assert_eq!(site.refused(take(), FALK), "instrument-quarantined");
    let (id, reason) = ("TW-19".to_owned(), "bench, within".to_owned());
    site.types("").unwrap();
    assert_eq!(site.last("instrument")["id"], "TW-20");
    assert_eq!(site.ask().point, due, "the nuts pulled stand");
    site.keep(register::Command::Return { id, reason }, SEFTON);
    assert!(
        site.rebuild()
            .decide(&site.register, take(), &site.stamp(FALK))
            .is_ok()
    );
    let line = site.rebuild().record_lines(&site.register);
    let told = line
        .iter()
        .find(|line| line.text.contains("dropped or struck"))
        .unwrap();
    assert!(told.first_page && told.text.contains("recall"), "{told:?}");
    site.restarts(FALK);
}

/// What was put aside is told in a whole sentence with its joint, and no longer once another is in hand; with none left, the prompt
/// asks for none and the notice says who brings one back.
#[test]
fn a_wrench_put_aside_names_its_joint_and_with_none_left_the_way_on_is_told() {
    let mut site = two_wrenches(InstrumentKind::DialWrench, "4 % of reading");
    site.picks("TW-19");
    for _ in 0..3 {
        site.step();
    }
    let fell = |instrument: &str| Command::InstrumentDropped {
        instrument: instrument.into(),
    };
    site.does(fell("TW-19"), FALK).unwrap();
    let told = "TW-19 was put aside at J1; another wrench goes on from here.".to_owned();
    assert!(site.ask().notice.contains(&told), "{:#?}", site.ask());
    site.does(fell("TW-20"), FALK).unwrap();
    let ask = site.ask();
    assert_eq!(ask.prompt, "No wrench may be used at J1 now");
    assert!(
        ask.notice
            .iter()
            .any(|line| line.contains("A lead brings one into service")
                && line.contains("pause or hand over")),
        "{ask:#?}"
    );
    tell(&mut site);
    let (id, reason) = ("TW-20".to_owned(), "bench, within".to_owned());
    site.keep(register::Command::Return { id, reason }, SEFTON);
    site.types("").unwrap();
    assert_eq!(site.last("instrument")["id"], "TW-20");
    assert!(!site.ask().notice.contains(&told), "{:#?}", site.ask());
}

#[test]
fn what_fell_is_taken_while_paused_and_a_thing_dropped_that_is_an_instrument_is_quarantined() {
    let mut site = Site::at("plug-on");
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    let fell = Command::InstrumentDropped {
        instrument: "tw-19".into(),
    };
    site.does(fell, FALK).unwrap();
    assert_eq!(site.last("instrument")["id"], "TW-19");
    let unknown = Command::InstrumentDropped {
        instrument: "TW-99".into(),
    };
    assert_eq!(site.refused(unknown, FALK), "instrument-unknown");

    let mut site = Site::at("plug-on");
    let dropped = Command::Dropped {
        what: "RC-1".into(),
    };
    site.does(dropped, FALK).unwrap();
    assert_eq!(site.last_kind(), "instrument_dropped/1");
    assert_eq!(site.last("finding"), 1);
    assert!(matches!(site.ask().point, Point::Finding(1)));
}
