//! Every way zero goes stale, the gate it leads to, and the way from the gate to work; what makes safer is open throughout;
//! the clock that is doubted, steps back, or is given by a person.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod clock;
mod cut;
mod energy;
mod locks;
mod pauses;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;

use rebuild_site::Site;
use reseat_record::rebuild::{AbsentOwner, Command, Given, Point, Wants};

const WORK: &str = "plug-on";

fn lock_off(point: &str) -> Command {
    Command::LockOff {
        point: point.into(),
        absent_owner: None,
    }
}

fn absent(point: &str) -> Command {
    let facts = AbsentOwner {
        not_on_site: "gate log 14:10".into(),
        attempts: "phoned twice, home and mobile".into(),
        told: "at the gate before his next shift".into(),
    };
    Command::LockOff {
        point: point.into(),
        absent_owner: Some(facts),
    }
}

/// Work is refused by a hand-made point, the gate is asked, and proof with its release leads back to the same step.
fn gate_leads_back(site: &mut Site, released: bool) {
    let act = Command::Answer {
        point: Point::Act(WORK.into()),
        given: Given::Done,
    };
    assert_eq!(site.refused(act.clone(), site.performer), "not-asked-now");
    let mut signed = false;
    let mut asked = 0;
    while site.ask().point != Point::Act(WORK.into()) {
        let refused = site.refused(act.clone(), site.performer);
        assert!(
            matches!(refused, "not-asked-now" | "permit-ended"),
            "{refused}"
        );
        let ask = site.ask();
        signed |=
            matches!(ask.point, Point::Gate(_)) && matches!(ask.wants, Wants::Signature { .. });
        assert!(site.step());
        asked += 1;
        assert!(asked < 15, "{:#?}", site.ask());
    }
    assert_eq!(signed, released, "release of the gate");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}
