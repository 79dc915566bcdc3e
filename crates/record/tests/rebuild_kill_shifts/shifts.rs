//! One rebuild through everything that may come between: two handovers, a lock off and on, an absent owner, a pause by itself, an
//! hour without the laptop, a test by plant energy that fails, and the work taken back before it.

use reseat_procedure::Choices;
use reseat_record::log::{Id, Stamp};
use reseat_record::rebuild::{AbsentOwner, Ask, Command, Ended, Point};
use reseat_record::register::LEFT_STATES;

use crate::rebuild_site::{FALK, ODDE, SEFTON, Site};

/// Tested by the inlet's own pressure: locks come off for it and go on again.
pub(crate) const CO2: &[u8] = include_bytes!("../../../../procedures/PRV-CO2-04.json");

/// From the start to the signatures.
pub(crate) fn shifts() -> Site {
    let mut site = Site::following(CO2, Choices::default());
    site.permit = "4711, 72 h";
    site.start();
    site.until("fit-main-spring");
    handed_to_the_next_shift(&mut site);
    paused_by_itself(&mut site);
    locks_off_and_on(&mut site);
    left_to_nobody(&mut site);
    // The laptop dies; what was done meanwhile is entered late.
    site.until("tighten-j1-three-passes");
    enters_late_at_work(&mut site);
    // Energy comes in for the test, a long pause while it is in, and the test fails.
    site.until("soap-inlet-joints-250");
    site.pauses(90, FALK);
    site.until("soap-inlet-joints-250");
    fails_and_is_taken_back(&mut site);
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    site.restarts_alike();
    site
}

fn some_steps(site: &mut Site, steps: usize) {
    for _ in 0..steps {
        site.step();
    }
}

fn back_at_work(ask: &Ask) -> bool {
    !matches!(
        ask.point,
        Point::LockBack(_) | Point::Gate(_) | Point::LookAgain | Point::Observed
    )
}

fn lock_off(point: &str, absent_owner: Option<AbsentOwner>) -> Command {
    let point = point.into();
    Command::LockOff {
        point,
        absent_owner,
    }
}

/// Falk hands over to Odde, whose lock goes on before hers comes off.
fn handed_to_the_next_shift(site: &mut Site) {
    let words = "spring lies on the cloth".to_owned();
    let to = Some(ODDE);
    let left = None;
    site.does(Command::HandOver { words, to, left }, FALK)
        .unwrap();
    site.seconds += 1200;
    site.resumes(ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    site.does(lock_off("own", None), FALK).unwrap();
    site.goes_on(back_at_work);
    some_steps(site, 6);
}

/// Nobody touches a key for some minutes.
fn paused_by_itself(site: &mut Site) {
    site.does(Command::Pause { by_itself: true }, ODDE).unwrap();
    site.seconds += 240;
    site.resumes(ODDE);
    site.goes_on(back_at_work);
    some_steps(site, 6);
}

/// Odde's group lock comes off and goes on again; Falk came to help, and went home with her own lock still on the box.
fn locks_off_and_on(site: &mut Site) {
    site.does(lock_off("V-C42", None), ODDE).unwrap();
    site.goes_on(back_at_work);
    some_steps(site, 2);
    let number = Some("430".to_owned());
    let owner = FALK;
    site.does(Command::OwnLock { owner, number }, ODDE).unwrap();
    some_steps(site, 4);
    let facts = AbsentOwner {
        not_on_site: "gate log, out 14:10".into(),
        attempts: "phoned twice, home and mobile".into(),
        told: "note at the gate and on her locker".into(),
    };
    site.does(lock_off(&format!("own:{FALK}"), Some(facts)), ODDE)
        .unwrap();
    site.goes_on(back_at_work);
    some_steps(site, 4);
}

/// Odde leaves it to nobody; Falk comes back in the morning.
fn left_to_nobody(site: &mut Site) {
    let words = "end of shift".to_owned();
    let left = Some(LEFT_STATES[0].to_owned());
    let to = None;
    site.does(Command::HandOver { words, to, left }, ODDE)
        .unwrap();
    site.seconds += 10 * 3600;
    site.resumes(FALK);
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    site.does(lock_off("own", None), ODDE).unwrap();
    site.goes_on(back_at_work);
}

/// An act entered late, at the first question that takes it.
fn enters_late_at_work(site: &mut Site) {
    site.goes_on(|ask| matches!(ask.point, Point::Act(_)));
    site.seconds += 3600;
    let by = site.performer;
    site.restarts(by);
    let now = site.stamp(by);
    let then = chrono::DateTime::parse_from_rfc3339(&now.utc).unwrap();
    let then = then.with_timezone(&chrono::Utc) - chrono::Duration::minutes(30);
    let stamp = Stamp {
        acted: Some(then.to_rfc3339_opts(chrono::SecondsFormat::Millis, true)),
        ..now
    };
    let ask = site.rebuild().ask(&site.register, &stamp);
    let text = if ask.kind == "choice" { "1" } else { "" };
    let command = ask.answer(text).unwrap();
    let entry = site
        .rebuild()
        .decide(&site.register, command, &stamp)
        .unwrap_or_else(|refusal| panic!("{} at {ask:#?}", refusal.sentence()));
    site.keeps(entry, by);
}

/// Bubbles at the inlet: the finding is decided, the joint opened again, and all before the test done anew.
fn fails_and_is_taken_back(site: &mut Site) {
    site.readings
        .insert("inlet-bubbles".into(), vec!["3".into()]);
    site.goes_on(|ask| matches!(ask.point, Point::Finding(_)));
    site.decides("rework", SEFTON);
    let by: Id = site.performer;
    let joint = "J1".to_owned();
    let reason = "bubbles at the case".to_owned();
    site.does(Command::Reopen { joint, reason }, by).unwrap();
}
