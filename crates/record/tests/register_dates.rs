//! Days typed into the register: none that has not come, by a clock that is trusted, and no due date before the calibration.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod register_site;

use register_site::*;
use reseat_record::log::{Clock, Stamp};
use reseat_record::refusal::Refusal;
use reseat_record::register::{Calibration, Command, InstrumentSaid};

/// The stamp of a whole register in the evening of this UTC day, as a laptop two hours east of it has it.
fn evening(bench: &Bench, clock: Clock) -> Stamp {
    Stamp {
        utc: "2026-03-12T22:30:00.000Z".into(),
        offset: "+02:00".into(),
        clock,
        ..bench.stamp(Some(SEFTON))
    }
}

fn adds(calibrated: &str, due: &str) -> Command {
    Command::AddInstrument(InstrumentSaid {
        calibration: Calibration {
            calibrated: calibrated.into(),
            due: due.into(),
            ..calibration()
        },
        ..wrench("TW-34", "W-134")
    })
}

fn renews(calibrated: &str, due: &str) -> Command {
    Command::RenewCalibration {
        id: "TW-19".into(),
        calibration: Calibration {
            certificate: "C-2002".into(),
            calibrated: calibrated.into(),
            due: due.into(),
            ..calibration()
        },
    }
}

#[test]
fn a_calibration_of_a_day_to_come_is_refused_by_the_local_day() {
    let bench = Bench::whole();
    let stamp = evening(&bench, Clock::Trusted);
    let decide = |command, stamp: &Stamp| bench.register.decide(command, stamp);
    for command in [adds, renews] {
        // 22:30 UTC is the 13th already at +02:00.
        assert!(decide(command("2026-03-13", "2027-03-13"), &stamp).is_ok());
        let refused = decide(command("2026-03-14", "2027-03-13"), &stamp).unwrap_err();
        assert_eq!(
            refused,
            Refusal::DayAhead {
                field: "day of calibration",
                typed: "2026-03-14".into(),
                today: "2026-03-13".into(),
            }
        );
        assert!(refused.is_no_value());
        // The time a person gave counts; a clock nobody believes refuses no day.
        let given = evening(&bench, Clock::Given);
        let refused = decide(command("2029-06-01", "2030-05-01"), &given).unwrap_err();
        assert_eq!(refused.code(), "day-ahead");
        let doubted = evening(&bench, Clock::Doubted);
        assert!(decide(command("2029-06-01", "2030-05-01"), &doubted).is_ok());
        let refused = decide(command("2026-03-01", "2026-02-28"), &stamp).unwrap_err();
        assert_eq!(refused.code(), "due-before-calibrated");
    }
}

#[test]
fn a_walk_through_of_a_day_to_come_is_refused() {
    let bench = Bench::whole();
    let Command::Approve {
        number,
        revision,
        sha256,
        author,
        walked_by,
        read,
        ..
    } = approve("C")
    else {
        panic!("an approval")
    };
    let ahead = Command::Approve {
        number,
        revision,
        sha256,
        author,
        walked_by,
        walked_on: "2026-04-01".into(),
        read,
    };
    let stamp = Stamp {
        by: Some(QUIST),
        ..evening(&bench, Clock::Trusted)
    };
    let refused = bench.register.decide(ahead, &stamp).unwrap_err();
    assert_eq!(refused.code(), "day-ahead");
}
